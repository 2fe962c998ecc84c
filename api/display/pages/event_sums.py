"""What do the sums of an event say in words? One part of the page each, only where it applies."""

from __future__ import annotations

from dataclasses import dataclass

from api.display.drawing.ink import Figure
from api.display.drawing.route import route_figure
from api.display.people import GROUP_WORDS
from api.display.street import StreetView, street_view, strip_of
from api.display.times import TimesView, times_view
from api.display.words import length_words, metre_words, sentence, sentence_start, tempo_words
from planner.event.contest.contest import CONFIRM, TimeVerdict
from planner.event.contest.rulesets import RuleSet
from planner.event.joins import Join, Neighbour
from planner.event.ready import Submission
from planner.event.route import Route
from planner.event.sound import SoundDose
from planner.event.sums import ContestSums, DanceSums, EventSums, SetSums
from planner.music.scale import Pitch

LIFT_WORDS = {"lift": "it lifts", "even": "even", "flat": "it sounds flat"}
VERDICT_WORDS = {"under": "too short", "ok": "inside", "over": "too long"}
CAUTION_WORDS = {"dancers_tempo": "Dancers"}
# Which caution belongs to which kind of job? The others are for everybody.
OF_DANCERS = "dancers_tempo"


@dataclass(frozen=True, slots=True)
class JoinLineView:
    """One join: from, to, how it runs, whether it lifts, and why."""

    before: str
    before_facts: str
    after: str
    after_facts: str
    cue: str
    runs: str
    lifts: str
    why: str


@dataclass(frozen=True, slots=True)
class SetJoinsView:
    """The joins of one set."""

    name: str
    joins: tuple[JoinLineView, ...]


@dataclass(frozen=True, slots=True)
class ContestView:
    """A set against its window: ``times`` are (tempo, length, verdict, margin)."""

    name: str
    rules: str
    window: str
    times: tuple[tuple[str, str, str, str], ...]
    players: tuple[tuple[str, str, str, str], ...]
    requires: str
    clock: str
    source: str


@dataclass(frozen=True, slots=True)
class SubmissionView:
    """The sets entered under the same rules: ``sets`` are (name, ready or not, what is missing)."""

    rules: str
    text: str
    note: str
    sets: tuple[tuple[str, str, tuple[str, ...]], ...]


@dataclass(frozen=True, slots=True)
class DanceView:
    """A set against its dance, as (heading, words) pairs."""

    name: str
    facts: tuple[tuple[str, str], ...]
    problem: str = ""
    address: str = ""


@dataclass(frozen=True, slots=True)
class SumsView:
    """The parts of the page; an empty one is left out."""

    joins: tuple[SetJoinsView, ...]
    times: TimesView | None
    submitted: tuple[SubmissionView, ...]
    contests: tuple[ContestView, ...]
    dances: tuple[DanceView, ...]
    street: StreetView | None
    sound: tuple[str, ...]
    cautions: tuple[tuple[str, str], ...]
    route: Figure | None = None


def sums_view(
    sums: EventSums, route: Route | None, measured_where: str, is_danced: bool
) -> SumsView:
    """The sums in words; the cautions about dancers only where there are dancers."""
    return SumsView(
        joins=tuple(_joins(each) for each in sums.sets if each.joins),
        times=times_view(sums.times) if sums.times and sums.times.items else None,
        submitted=tuple(_submitted(each) for each in sums.submitted),
        contests=tuple(_contest(each.name, each.contest) for each in sums.sets if each.contest),
        dances=tuple(_dance(each.name, each.dance) for each in sums.sets if each.dance),
        street=street_view(sums.street, route) if sums.street and route else None,
        sound=_sound(sums.dose, measured_where) if sums.dose else (),
        cautions=tuple(
            (
                CAUTION_WORDS.get(name, sentence_start(name)),
                sentence_start(words.partition(": ")[2] or words),
            )
            for name, words in sums.cautions.items()
            if name != OF_DANCERS or is_danced
        ),
        route=_drawn(sums),
    )


def _drawn(sums: EventSums) -> Figure | None:
    if sums.street is None:
        return None
    return route_figure(strip_of(sums.street), {each.name: str(each.number) for each in sums.sets})


def _joins(sums: SetSums) -> SetJoinsView:
    return SetJoinsView(f"{sums.number} {sums.name}", tuple(_join(join) for join in sums.joins))


def _join(join: Join) -> JoinLineView:
    why = "; ".join(reason.text for reason in join.reasons)
    return JoinLineView(
        join.before,
        _facts(join.leaving, join.leaving.last_note, "ends on"),
        join.after,
        _facts(join.coming, join.coming.first_note, "begins on"),
        join.leaving.cue or "not said",
        join.smoothness.value,
        LIFT_WORDS[join.lift.value],
        sentence(why) if why else "Nothing stands in the way.",
    )


def _facts(tune: Neighbour, note: Pitch | None, what: str) -> str:
    """``84 crotchets a minute, 2/4, A, ends on low A``."""
    facts = [
        f"{tempo_words(tune.tempo_bpm)} {tune.metre.beat_unit}s a minute",
        metre_words(tune.metre),
        tune.tonal_centre,
        f"{what} {note.name}" if note else "",
    ]
    return ", ".join(filter(None, facts))


def _submitted(each: Submission) -> SubmissionView:
    several = "One of them is drawn at the line; the running order counts each of them."
    return SubmissionView(
        rules=each.rules.whose,
        text=each.text,
        note=f"{several} {CONFIRM}" if each.rules.sets > 1 else CONFIRM,
        sets=tuple(
            (one.name, "ready" if one.is_ready else "not ready", one.problems) for one in each.sets
        ),
    )


def _contest(name: str, sums: ContestSums) -> ContestView:
    rules, judged, lengths = sums.rules, sums.verdict, sums.lengths
    times = (
        ("nerves slow it by 3 %", lengths.slower, judged.slower if judged else None),
        ("as planned", lengths.planned, judged.planned if judged else None),
        ("nerves drive it by 3 %", lengths.quicker, judged.quicker if judged else None),
    )
    return ContestView(
        name=name,
        rules=rules.whose,
        window=rules.window_words,
        times=tuple(
            (words, length_words(float(length)), *_judged(verdict, rules))
            for words, length, verdict in times
        ),
        players=tuple(
            (GROUP_WORDS[one], str(there), str(needed), _short(there, needed))
            for one, needed, there in sums.players
        ),
        requires=sentence(sentence_start(rules.requires)) if rules.requires else "",
        clock=clock_words(rules),
        source=f"Source: {rules.source}, since {rules.since}. {CONFIRM}",
    )


def clock_words(rules: RuleSet) -> str:
    """How many sets are submitted, and what the clock counts, in a sentence or two."""
    submitted = f"{rules.sets} sets are submitted. " if rules.sets > 1 else ""
    return f"{submitted}The clock runs from the {rules.clock_from} to the last note."


def _judged(verdict: TimeVerdict | None, rules: RuleSet) -> tuple[str, str]:
    if verdict is None:
        return ("until the cue" if rules.has_window else "no limit on record", "")
    margin = f"{abs(verdict.margin_seconds):.1f} s"
    return VERDICT_WORDS[verdict.verdict.value], margin


def _short(there: int, needed: int) -> str:
    return f"{needed - there} too few" if there < needed else "enough"


def _dance(name: str, sums: DanceSums) -> DanceView:
    steps = sums.said or "not said"
    address = f"/rules/dances/{sums.dance.name}?steps={sums.said.replace('+', '%2B')}"
    facts = [("Dance", sums.dance.title), ("Steps", steps)]
    tempos = " then ".join(tempo_words(bpm) for bpm in sums.tempos_bpm)
    bars = f" ({sums.bars_a_minute:.3g} bars a minute)" if sums.bars_a_minute else ""
    facts.append(
        ("Tempo", f"{tempos} beats a minute{bars}, {sums.tolerance:.1%} either way at most")
    )
    if sums.length is None:
        return DanceView(name, tuple(facts), sums.problem, address)
    length = sums.length
    facts += [
        ("Introduction", f"{length.introduction_bars} bars"),
        ("Bars", f"{length.bars} with the introduction"),
        ("Length", f"{length_words(length.seconds)} ({length.seconds:.1f} s)"),
        ("At the tolerance", f"{length.shortest_s:.1f} s to {length.longest_s:.1f} s"),
    ]
    if length.quick_from_bar:
        facts.append(("Quick time from", f"bar {length.quick_from_bar} of the dance"))
    return DanceView(name, tuple(facts), address=address)


def _sound(dose: SoundDose, where: str) -> tuple[str, ...]:
    lines = [sentence(f"{dose.text.rstrip('.')}{f' (measured {where})' if where else ''}")]
    if dose.dose_percent is not None:
        lines.append(f"The running order once is {dose.dose_percent:.0f} % of the daily value.")
    source = f"Source: {dose.source}, since {dose.since}."
    return (*lines, *dose.notes, source)
