"""How is this tune played on this occasion? The stages in order.

``plan_tune`` is the engine's front door: a tune and an occasion go in, a plan comes out, the same
bytes every time. Nothing is read, drawn or stored here.
"""

from __future__ import annotations

from dataclasses import dataclass

from planner.analysis.analyse import TuneAnalysis, analyse, rule_name
from planner.errors import RequestError
from planner.event.event import Drums, Setting
from planner.findings import Finding, Gravity
from planner.licence.grant import grant_licence
from planner.licence.licence import Licence
from planner.marks.anchors import Anchors
from planner.marks.choose import choose_marks
from planner.marks.describe import make_mark
from planner.marks.drum_map import DrumMap, map_drums
from planner.marks.marks import LeftOut, Mark
from planner.marks.played import PlayedNote, play
from planner.marks.stage import Stage
from planner.music.drums import DrumScore
from planner.music.tempo import Tempo
from planner.music.tune import Tune
from planner.rules.rulebook import RuleBook

SLOWEST_BPM, FASTEST_BPM = 20.0, 300.0
FALLBACK_IDIOM = "march"


@dataclass(frozen=True, slots=True)
class TunePlan:
    """A tune on an occasion: its licence, its marks, the drums, and when every sound falls."""

    analysis: TuneAnalysis
    licence: Licence
    marks: tuple[Mark, ...]
    left_out: tuple[LeftOut, ...]
    drums: DrumMap
    played: tuple[PlayedNote, ...]
    warnings: tuple[Finding, ...]

    @property
    def tune(self) -> Tune:
        """The tune as written."""
        return self.analysis.tune

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
    drum_score: DrumScore | None = None,
) -> TunePlan:
    """Plan one tune; ``idiom`` and ``tempo_bpm`` go before the tune's own.

    Raises:
        RequestError: an idiom the rule book does not have, or a tempo nobody can play.
    """
    played_idiom = chosen_idiom(tune, rules, idiom)
    tempo = chosen_tempo(tune, played_idiom, rules, tempo_bpm)
    analysis = analyse(tune, played_idiom, tempo, rules)
    licence = grant_licence(setting, played_idiom, rules)
    stage = Stage(analysis, licence, Anchors(setting.drums, drum_score), rules)
    choice = choose_marks(stage)
    marks = tuple(make_mark(stage, proposal) for proposal in choice.chosen)
    return TunePlan(
        analysis=analysis,
        licence=licence,
        marks=marks,
        left_out=tuple(LeftOut(analysis.notes[index].place, why) for index, why in choice.left_out),
        drums=map_drums(tune, marks, licence),
        played=play(analysis, (proposal.draft.change for proposal in choice.chosen)),
        warnings=tuple(_warnings(tune, analysis, licence, marks, idiom, drum_score)),
    )


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


def _warnings(
    tune: Tune,
    analysis: TuneAnalysis,
    licence: Licence,
    marks: tuple[Mark, ...],
    asked_idiom: str | None,
    drum_score: DrumScore | None,
) -> list[Finding]:
    """What a reader of the plan should know before trusting it."""
    found: list[Finding] = []
    if asked_idiom is None and tune.idiom is None:
        found.append(Finding("idiom_assumed", "the tune names no idiom; it is planned as a march"))
    if licence.setting.control.rung is None:
        found.append(Finding("rung_assumed", "nobody has named the players' rung; 4 is taken"))
    if not licence.carries_pulse:
        found.append(Finding("rung_work", _RUNG_WORK[licence.rung]))
    if licence.setting.drums is not Drums.NONE and drum_score is None:
        found.append(Finding("no_drum_score", "no drum score: strict means strict on the beats"))
    found += _corner_warnings(analysis)
    found += _name_warnings(analysis)
    if not tune.has_notes:
        found.append(Finding("no_notes", "no notes on file: marks only by hand", "", Gravity.NOTE))
    elif licence.carries_pulse and not marks:
        found.append(Finding("no_mark", _no_mark_words(licence), "", Gravity.NOTE))
    return found


_RUNG_WORK = {
    1: "rung 1: steady beat first, so the plan carries no marks; practise with the metronome",
    2: "rung 2: dots and cuts at full contrast first, so the plan carries no marks",
    3: "rung 3: join the short notes into the movements first, so the plan carries no marks",
}


def _no_mark_words(licence: Licence) -> str:
    if licence.marks_per_line == 0:
        return "the licence leaves no marks here: play it as written"
    return "no note both stands out and has room for a mark: play it as written"


def _corner_warnings(analysis: TuneAnalysis) -> list[Finding]:
    return [
        Finding(
            "tight_corner",
            f"{note.place.note} only just sounds between its neighbours' gracenotes",
            str(note.address),
        )
        for note in analysis.notes
        if note.index in analysis.written.tight
    ]


def _name_warnings(analysis: TuneAnalysis) -> list[Finding]:
    return [
        Finding(
            "unnamed_movement",
            f"unnamed movement on {note.place.note} ({movement.in_words})",
            str(note.address),
            Gravity.NOTE,
        )
        for note, movement in zip(analysis.notes, analysis.movements, strict=True)
        if movement is not None and not movement.is_named
    ]
