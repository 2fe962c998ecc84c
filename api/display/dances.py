"""What do the pages of dances say? What is on record, who says so, and which tunes fit."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass
from typing import Any

from api.display.words import join_words, sentence, sentence_start, tempo_words
from planner.event.citation import cite
from planner.event.dance import Dance, DanceTempo
from planner.event.dancing.tunes import FittingTune, TempoTunes
from planner.rules.rulebook import Quantity, RuleBook

CONFIRM = "Confirm with the dancers or their teacher, and with the current rules of their body."
BY_LEVEL = (
    "Lower categories dance slightly faster, stronger dancers want a slower tune; by how much is "
    "not on record."
)
LEVEL_SOURCE = "highland_dancing_list"
NOT_ON_RECORD = "not on record: ask the dancers"


@dataclass(frozen=True, slots=True)
class DanceLineView:
    """One dance in the list."""

    address: str
    title: str
    tunes: str
    steps: str
    tempo: str


@dataclass(frozen=True, slots=True)
class TunesView:
    """The tunes for one tempo of a dance: (address, title, how it is played, facts)."""

    heading: str
    fitting: tuple[tuple[str, str, str, str], ...]
    others: str
    nothing: str


@dataclass(frozen=True, slots=True)
class DancePageView:
    """The page of a dance: facts as (heading, words, who says so), and the tunes that fit."""

    title: str
    address: str
    steps: str
    usual: str
    facts: tuple[tuple[str, str, str], ...]
    notes: tuple[str, ...]
    tunes: tuple[TunesView, ...]
    problem: str = ""


def dance_lines(dances: Iterable[Dance]) -> tuple[DanceLineView, ...]:
    """Every dance in one line."""
    return tuple(
        DanceLineView(
            address=f"/rules/dances/{dance.name}",
            title=dance.title,
            tunes=" then ".join(filter(None, (tempo.tune_type for tempo in dance.tempos))),
            steps=usual_steps(dance),
            tempo=" then ".join(_tempo(tempo) for tempo in dance.tempos if tempo.tempo)
            or NOT_ON_RECORD,
        )
        for dance in dances
    )


def usual_steps(dance: Dance) -> str:
    """The usual steps: ``4 or 6``, ``3+1 or 4+2``."""
    return " or ".join("+".join(map(str, each)) for each in dance.usual_steps)


def dance_page(
    dance: Dance,
    steps: str,
    found: Iterable[TempoTunes],
    book: RuleBook,
    problem: str = "",
) -> DancePageView:
    """The page of a dance for these steps; ``problem`` says why no tunes could be looked for."""
    source = book.sources.get(LEVEL_SOURCE)
    said_by = ", ".join(filter(None, (source.by, source.title))) if source else ""
    return DancePageView(
        title=dance.title,
        address=f"/rules/dances/{dance.name}",
        steps=steps,
        usual=usual_steps(dance),
        facts=tuple(_facts(dance, book)),
        notes=(f"{BY_LEVEL} ({said_by})", CONFIRM),
        tunes=tuple(_tunes(each) for each in found),
        problem=sentence_start(problem),
    )


def _facts(dance: Dance, book: RuleBook) -> Iterable[tuple[str, str, str]]:
    steps = book.find(f"dances.{dance.name.replace('-', '_')}.steps")
    yield "Steps", usual_steps(dance) or NOT_ON_RECORD, _who(steps, book)
    yield "Introduction", f"{dance.introduction.value} bars", _who(dance.introduction, book)
    if dance.opening:
        yield "Danced once first", f"{dance.opening} bars", ""
    order = book.find(f"dances.{dance.name.replace('-', '_')}.order")
    if order is not None:
        yield "Order of tunes", str(order.value), _who(order, book)
    for tempo in dance.tempos:
        when = f", {tempo.name}" if tempo.name else ""
        if tempo.tune_type:
            yield f"Type of tune{when}", tempo.tune_type, ""
        beats = tempo.beats_per_bar
        yield (
            f"A bar{when}",
            f"{beats.value} felt beats" if beats else NOT_ON_RECORD,
            _who(beats, book),
        )
        a_step = tempo.bars_per_step
        yield f"A step{when}", f"{a_step.value} bars", _who(a_step, book)
        yield f"Tempo{when}", _tempo(tempo), _who(tempo.tempo, book)


def _tempo(tempo: DanceTempo) -> str:
    rule = tempo.tempo
    if rule is None:
        return NOT_ON_RECORD
    usual = tempo_words(float(str(rule.value)))
    if rule.low is None or rule.high is None:
        return usual
    return f"{usual} ({tempo_words(rule.low)} to {tempo_words(rule.high)})"


def _who(rule: Quantity | None, book: RuleBook) -> str:
    if rule is None:
        return ""
    since = f", since {rule.since}" if rule.since else ""
    why = f"{sentence(sentence_start(rule.why))} " if rule.why else ""
    return f"{why}{cite(rule, book)} ({rule.status}{since})"


def _tunes(found: TempoTunes) -> TunesView:
    when = f"{sentence_start(found.tempo.name)} time: " if found.tempo.name else ""
    kind = found.tempo.tune_type
    heading = f"{when}{found.bars} bars of {kind}" if kind else f"{when}{found.bars} bars"
    if not kind:
        nothing = "The type of tune is not on record: ask the dancers."
    elif not found.fitting:
        nothing = f"No {kind} of the band comes out at {found.bars} bars alone: put two together."
    else:
        nothing = ""
    return TunesView(
        heading=sentence_start(heading),
        fitting=tuple(_fitting(each) for each in found.fitting),
        others=join_words(list(found.others)),
        nothing=nothing,
    )


def _fitting(each: FittingTune) -> tuple[str, str, str, str]:
    return f"/tunes/{each.key}", each.title, each.words, f"{each.bars:g} bars once through"


def dance_document(dance: Dance, book: RuleBook) -> dict[str, Any]:
    """A dance for programs: what is on record, each value with its source and status."""
    return {
        "name": dance.name,
        "title": dance.title,
        "usual_steps": ["+".join(map(str, each)) for each in dance.usual_steps],
        "usual_tempo": [each.tempo.value if each.tempo else None for each in dance.tempos],
        "introduction_bars": _value(dance.introduction, book),
        "opening_bars": dance.opening,
        "tempos": [
            {
                "name": tempo.name,
                "tune_type": tempo.tune_type,
                "beats_per_bar": _value(tempo.beats_per_bar, book),
                "bars_per_step": _value(tempo.bars_per_step, book),
                "tempo_bpm": _value(tempo.tempo, book),
            }
            for tempo in dance.tempos
        ],
        "confirm": CONFIRM,
    }


def tunes_document(found: Iterable[TempoTunes]) -> list[dict[str, Any]]:
    """The tunes that fit a dance, for programs."""
    return [
        {
            "name": each.tempo.name,
            "tune_type": each.tempo.tune_type,
            "bars": each.bars,
            "fitting": [{**asdict(one), "words": one.words} for one in each.fitting],
            "others": list(each.others),
        }
        for each in found
    ]


def _value(rule: Quantity | None, book: RuleBook) -> Mapping[str, Any] | None:
    if rule is None:
        return None
    return {
        "value": rule.value,
        "low": rule.low,
        "high": rule.high,
        "source": cite(rule, book),
        "status": str(rule.status),
        "since": rule.since,
    }
