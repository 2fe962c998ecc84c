"""What do the library and the page before keeping say of tunes?"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from api.display.choices import Choices
from api.display.music import MusicView, music_view
from api.display.pages.sets import facts_of, tune_facts
from api.display.planned_tune import FindingView, finding_view
from api.display.turn import TurnView, turn_view
from api.display.words import counted, length_words, metre_words, sentence_start
from planner.event.event import Occasion
from planner.findings import Finding, Gravity
from planner.music.tempo import Metre
from planner.music.tune import Tune

# How many tunes of a file are drawn before they are kept? Each takes a second or two.
MOST_DRAWN = 3
RUNGS = (1, 2, 3, 4)
# How far must the players have a tune? Each level counts those above it too.
LEVELS: Choices = (
    ("", "ready or not"),
    ("chanter", "on the chanter"),
    ("pipes-standing", "on pipes, standing"),
    ("pipes-marching", "on pipes, marching"),
)


@dataclass(frozen=True, slots=True)
class TuneLineView:
    """One tune in the list."""

    key: str
    address: str
    title: str
    facts: str
    tags: tuple[str, ...]
    note: str


@dataclass(frozen=True, slots=True)
class ShelfTune:
    """A tune as the list needs it; ``metre`` None where the music is unreadable."""

    key: str
    title: str
    idiom: str
    metre: Metre | None
    part_count: int
    tempo_bpm: float | None
    tags: tuple[Occasion, ...]
    has_notes: bool


@dataclass(frozen=True, slots=True)
class Found:
    """What was found: one page (from 1) of so many tunes a page, of how many found of how many."""

    tunes: tuple[ShelfTune, ...]
    count: int
    total: int
    page: int
    page_size: int


@dataclass(frozen=True, slots=True)
class TunesView:
    """The library: what was found, and the pages before and after."""

    lines: tuple[TuneLineView, ...]
    found: str
    is_empty: bool
    turn: TurnView


@dataclass(frozen=True, slots=True)
class FilterChoices:
    """What there is to choose from, each with ``any`` before it."""

    idioms: Choices
    metres: Choices
    tags: Choices
    centres: Choices
    levels: Choices
    rungs: Choices


@dataclass(frozen=True, slots=True)
class ReadTuneView:
    """One tune of a file before it is kept."""

    number: str
    title: str
    facts: str
    findings: tuple[FindingView, ...]
    may_be_kept: bool
    music: MusicView


def tunes_view(found: Found, looked: Mapping[str, str]) -> TunesView:
    """One page of the tunes that were looked for; ``looked`` are the words of the search."""
    turn = turn_view("/tunes", looked, found.page, -(-found.count // found.page_size))
    return TunesView(
        lines=tuple(tune_line(tune) for tune in found.tunes),
        found=found_words(found),
        is_empty=not found.total,
        turn=turn,
    )


def filter_choices(
    idioms: Sequence[str], metres: Sequence[tuple[str, Metre]], centres: Sequence[str]
) -> FilterChoices:
    """What there is to choose from; ``metres`` as (value, metre)."""
    return FilterChoices(
        idioms=(("", "any idiom"), *((idiom, idiom) for idiom in idioms)),
        metres=(("", "any metre"), *((value, metre_words(metre)) for value, metre in metres)),
        tags=(("", "any occasion"), *((each.value, each.words) for each in Occasion)),
        centres=(("", "any centre"), *((centre, centre) for centre in centres)),
        levels=LEVELS,
        rungs=(("", "all players"), *((str(rung), f"players on rung {rung}") for rung in RUNGS)),
    )


def found_words(found: Found) -> str:
    """``18 tunes``, ``3 of 18 tunes``, and which of them when they take several pages."""
    is_all = found.count == found.total
    count = counted(found.count, "tune") if is_all else f"{found.count} of {found.total} tunes"
    first = (found.page - 1) * found.page_size + 1
    here = f", {first} to {first + len(found.tunes) - 1} on this page"
    return sentence_start(count + (here if found.tunes and found.count > found.page_size else ""))


def tune_line(tune: ShelfTune) -> TuneLineView:
    """One tune in a list to look at or to choose from."""
    return TuneLineView(
        key=tune.key,
        address=f"/tunes/{tune.key}",
        title=tune.title,
        facts=_facts(tune),
        tags=tuple(tag.words for tag in tune.tags),
        note="" if tune.metre is None or tune.has_notes else "no notes on file",
    )


def _facts(tune: ShelfTune) -> str:
    if tune.metre is None:
        return "Its music cannot be read"
    return facts_of(tune.idiom, tune.metre, tune.part_count, tune.tempo_bpm)


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
