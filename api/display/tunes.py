"""What do the library and the page before keeping say of tunes?"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from api.display.choices import Choices
from api.display.music import MusicView, music_view
from api.display.planned_tune import FindingView, finding_view
from api.display.sets import tune_facts
from api.display.words import counted, length_words, sentence_start
from planner.event.event import Occasion
from planner.findings import Finding, Gravity
from planner.music.tune import Tune

# How many tunes of a file are drawn before they are kept? Each takes a second or two.
MOST_DRAWN = 3


@dataclass(frozen=True, slots=True)
class TuneLineView:
    """One tune in the list."""

    address: str
    title: str
    facts: str
    tags: tuple[str, ...]
    note: str


@dataclass(frozen=True, slots=True)
class ShelfTune:
    """A tune of the library as the list needs it; ``tune`` None where the music is unreadable."""

    key: str
    title: str
    tune: Tune | None
    tags: tuple[Occasion, ...]
    composer: str = ""


@dataclass(frozen=True, slots=True)
class TunesView:
    """The library: what was looked for, what was found, and what can be chosen."""

    lines: tuple[TuneLineView, ...]
    found: str
    is_empty: bool
    idioms: Choices
    metres: Choices
    tags: Choices


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is looked for: words of the title or composer, an idiom, a metre, a tag."""

    words: str = ""
    idiom: str = ""
    metre: str = ""
    tag: str = ""


@dataclass(frozen=True, slots=True)
class ReadTuneView:
    """One tune of a file before it is kept."""

    number: str
    title: str
    facts: str
    findings: tuple[FindingView, ...]
    may_be_kept: bool
    music: MusicView


def tunes_view(shelf: Sequence[ShelfTune], wanted: Wanted) -> TunesView:
    """The tunes that are wanted, and what there is to choose from."""
    found = [tune for tune in shelf if _is_wanted(tune, wanted)]
    is_all = len(found) == len(shelf)
    count = counted(len(found), "tune")
    return TunesView(
        lines=tuple(_line(tune) for tune in found),
        found=sentence_start(count if is_all else f"{count} of {len(shelf)}"),
        is_empty=not shelf,
        idioms=(("", "any idiom"), *_present(each.tune.idiom for each in shelf if each.tune)),
        metres=(("", "any metre"), *_present(str(each.tune.metre) for each in shelf if each.tune)),
        tags=(("", "any occasion"), *((each.value, each.words) for each in Occasion)),
    )


def _is_wanted(shelf: ShelfTune, wanted: Wanted) -> bool:
    heard = f"{shelf.title} {shelf.composer}".casefold()
    has_words = all(word in heard for word in wanted.words.casefold().split())
    has_idiom = not wanted.idiom or (shelf.tune is not None and shelf.tune.idiom == wanted.idiom)
    has_metre = not wanted.metre or (
        shelf.tune is not None and str(shelf.tune.metre) == wanted.metre
    )
    return has_words and has_idiom and has_metre and (not wanted.tag or wanted.tag in shelf.tags)


def _line(shelf: ShelfTune) -> TuneLineView:
    return TuneLineView(
        address=f"/tunes/{shelf.key}",
        title=shelf.title,
        facts=tune_facts(shelf.tune) if shelf.tune else "Its music cannot be read",
        tags=tuple(tag.words for tag in shelf.tags),
        note="" if shelf.tune is None or shelf.tune.has_notes else "no notes on file",
    )


def _present(words: Iterable[str | None]) -> Choices:
    return tuple((word, word) for word in sorted({word for word in words if word}))


def read_tune_views(
    read: Iterable[tuple[int, Tune, Sequence[Finding]]],
) -> tuple[ReadTuneView, ...]:
    """The tunes of a file, the first few of them drawn."""
    return tuple(_read_tune(*each) for each in read)


def _read_tune(number: int, tune: Tune, findings: Sequence[Finding]) -> ReadTuneView:
    is_refused = any(finding.gravity is Gravity.REFUSE for finding in findings)
    seconds = f", {length_words(tune.seconds(tune.tempo))} once through" if tune.tempo else ""
    return ReadTuneView(
        number=str(number),
        title=tune.title,
        facts=f"{tune_facts(tune)}, {counted(tune.bars_played, 'bar')} played{seconds}",
        findings=tuple(finding_view(finding) for finding in findings),
        may_be_kept=not is_refused,
        music=music_view(tune, (), f"t{number}-") if number <= MOST_DRAWN else MusicView(),
    )
