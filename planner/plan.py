"""How is this tune played on this occasion? The stages in order.

``plan_tune`` is the engine's front door: a tune and an occasion go in, a plan comes out, the same
bytes every time. Nothing is read, drawn or stored here.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from planner.analysis.analyse import TuneAnalysis, analyse, rule_name
from planner.analysis.pointedness import npvi
from planner.errors import RequestError
from planner.event.event import Setting
from planner.findings import Finding
from planner.licence.grant import grant_licence, lift
from planner.licence.licence import Licence
from planner.marks.anchors import Anchors
from planner.marks.choices import NO_CHOICES, Choices, Lifted
from planner.marks.choose import Candidate, candidates
from planner.marks.drum_map import DrumMap, map_drums
from planner.marks.mark_tune import mark_tune
from planner.marks.marks import Agreement, LeftOut, Mark, Verdict
from planner.marks.played import Change, PlayedNote, combine, play
from planner.marks.remarks import remarks
from planner.marks.rung_work import RungWork, work_for_rung
from planner.marks.stage import Stage
from planner.marks.strain import Strain, strain_findings, strain_of
from planner.marks.unrolled import HeardNote, play_through
from planner.music.tempo import Tempo
from planner.music.tune import Tune
from planner.rules.rulebook import RuleBook

SLOWEST_BPM, FASTEST_BPM = 20.0, 300.0
FALLBACK_IDIOM = "march"


@dataclass(frozen=True, slots=True)
class TunePlan:
    """A tune on an occasion: its licence, its marks, the drums, and when every sound falls.

    ``change`` is what all marks together do to the written time, ``played`` lists each printed note
    once. ``work`` is what a band below rung 4 practises instead of marks.
    """

    analysis: TuneAnalysis
    licence: Licence
    marks: tuple[Mark, ...]
    left_out: tuple[LeftOut, ...]
    drums: DrumMap
    change: Change
    played: tuple[PlayedNote, ...]
    strain: Strain
    work: RungWork | None
    warnings: tuple[Finding, ...]

    @property
    def tune(self) -> Tune:
        """The tune as written."""
        return self.analysis.tune

    @property
    def heard(self) -> tuple[HeardNote, ...]:
        """One time through, repeats unrolled; worked out when asked for, since few ask."""
        return self.played_through()[0]

    def played_through(
        self, passes: Sequence[tuple[int, int]] | None = None
    ) -> tuple[tuple[HeardNote, ...], float]:
        """One time through and its length in ms; ``passes`` other than the tune's own, if given."""
        return play_through(self.analysis, self.played, self.change, passes)

    @property
    def is_ready_to_print(self) -> bool:
        """True when no mark is in conflict and none still waits for the drums' word."""
        return not any(
            mark.drums is Verdict.CONFLICT or mark.agreement is Agreement.TO_BE_AGREED
            for mark in self.marks
        )

    @property
    def above_ceiling(self) -> tuple[Mark, ...]:
        """The marks by hand that go beyond what the occasion allows, and nobody agreed to."""
        told = {each.where for each in self.warnings if each.code == "beyond_licence"}
        return tuple(
            mark
            for mark in self.marks
            if mark.by_hand
            and str(mark.place.address) in told
            and mark.agreement is not Agreement.AGREED
        )

    @property
    def pointedness(self) -> float:
        """How pointed the notes are as the idiom has them played, before any mark: the nPVI."""
        lengths = self.analysis.written.length_ms
        return npvi([lengths[n.index] for n in self.analysis.notes if not n.note.is_rest])

    @property
    def seconds(self) -> float:
        """Seconds of one time through, repeats unrolled."""
        return self.tune.seconds(self.analysis.tempo)


def plan_tune(
    tune: Tune,
    setting: Setting,
    rules: RuleBook,
    *,
    idiom: str | None = None,
    tempo_bpm: float | None = None,
    choices: Choices = NO_CHOICES,
) -> TunePlan:
    """Plan one tune; ``idiom`` and ``tempo_bpm`` go before the tune's own.

    Raises:
        RequestError: an idiom the rule book does not have, or a tempo nobody can play.
    """
    ground = prepare(tune, setting, rules, idiom=idiom, tempo_bpm=tempo_bpm, choices=choices)
    return plan_marks(ground, choices)


@dataclass(frozen=True, slots=True, eq=False)
class Ground:
    """What stays as it is while people set marks by hand and agree on them.

    ``ranked`` are the figures that stand out, best first; ``asked_idiom`` is the idiom that was
    asked for, None where the tune's own holds. ``unmarked`` is the tune played without marks.
    """

    stage: Stage
    asked_idiom: str | None
    ranked: tuple[Candidate, ...]
    unmarked: tuple[PlayedNote, ...]
    work: RungWork | None


def prepare(
    tune: Tune,
    setting: Setting,
    rules: RuleBook,
    *,
    idiom: str | None = None,
    tempo_bpm: float | None = None,
    choices: Choices = NO_CHOICES,
) -> Ground:
    """Everything that comes before the marks; of ``choices`` only the drum score and the lift.

    Raises:
        RequestError: an idiom the rule book does not have, or a tempo nobody can play.
    """
    played_idiom = chosen_idiom(tune, rules, idiom)
    tempo = chosen_tempo(tune, played_idiom, rules, tempo_bpm)
    analysis = analyse(tune, played_idiom, tempo, rules)
    licence = grant_licence(setting, played_idiom, rules)
    if choices.lifted is not None:
        licence = _lifted(licence, choices.lifted, rules)
    stage = Stage(analysis, licence, Anchors(setting.drums, choices.drum_score), rules)
    return Ground(
        stage=stage,
        asked_idiom=idiom,
        ranked=tuple(candidates(stage)) if licence.carries_pulse else (),
        unmarked=play(analysis),
        work=work_for_rung(licence.rung, analysis, rules),
    )


def _lifted(licence: Licence, lifted: Lifted, rules: RuleBook) -> Licence:
    """The licence with those layers open that a person lifts above where they stand."""
    higher = {
        layer: level
        for layer, level in lifted.levels
        if level.rank > getattr(licence.layers, layer).rank
    }
    return lift(licence, lifted.by, rules, lifted.day, **higher) if higher else licence


def plan_marks(ground: Ground, choices: Choices = NO_CHOICES) -> TunePlan:
    """The plan on ground that is prepared; it must have been prepared for the same choices' drums.

    Setting one mark by hand needs only this, which takes a fraction of the whole.
    """
    stage, rules = ground.stage, ground.stage.rules
    analysis, licence = stage.analysis, stage.licence
    marked = mark_tune(stage, choices, ground.ranked)
    change = combine(marked.changes)
    played = play(analysis, change)
    strain = strain_of(analysis, ground.unmarked, played, change)
    return TunePlan(
        analysis=analysis,
        licence=licence,
        marks=marked.marks,
        left_out=marked.left_out,
        drums=map_drums(analysis.tune, marked.marks, licence),
        change=change,
        played=played,
        strain=strain,
        work=ground.work,
        warnings=(
            *marked.since_agreed,
            *remarks(stage, marked, ground.asked_idiom, choices),
            *marked.findings,
            *strain_findings(strain, _bars_by_hand(marked.marks), rules),
        ),
    )


def _bars_by_hand(marks: Sequence[Mark]) -> frozenset[tuple[int, int, int]]:
    """The bars in which a mark set by hand gives or takes time."""
    ends = [end.address for mark in marks if mark.by_hand for end in (mark.place, mark.moved)]
    return frozenset((end.part, end.bar, end.ending) for end in ends)


def chosen_idiom(tune: Tune, rules: RuleBook, asked: str | None = None) -> str:
    """The idiom the tune is played in: as asked, else its own, else a march.

    Raises:
        RequestError: the rule book does not have it.
    """
    idiom = (asked or tune.idiom or FALLBACK_IDIOM).replace("-", " ").replace("_", " ")
    known = [name.replace("_", " ") for name in rules.names("idioms")]
    if idiom not in known:
        raise RequestError("idiom", f"{idiom!r} is not in the rule book", f"use {_either(known)}")
    return idiom


def chosen_tempo(tune: Tune, idiom: str, rules: RuleBook, asked_bpm: float | None = None) -> Tempo:
    """The tempo in felt beats a minute: as asked, else the tune's own, else the idiom's usual.

    Raises:
        RequestError: slower than 20 or faster than 300.
    """
    if asked_bpm is None and tune.tempo is not None:
        asked_bpm = tune.tempo.bpm
    if asked_bpm is None:
        place = f"idioms.{rule_name(idiom)}.tempo"
        rule = rules.find(f"{place}.{tune.metre.count}/{tune.metre.unit}", f"{place}.any")
        asked_bpm = rules.number(rule.key) if rule else 80.0
    if not SLOWEST_BPM <= asked_bpm <= FASTEST_BPM:
        remedy = f"give {SLOWEST_BPM:g} to {FASTEST_BPM:g} felt beats a minute"
        raise RequestError("tempo", f"{asked_bpm:g} cannot be played", remedy)
    return Tempo(asked_bpm)


def _either(names: list[str]) -> str:
    return f"{', '.join(names[:-1])} or {names[-1]}"
