"""What should a reader of the plan know before trusting it? One finding a remark."""

from __future__ import annotations

from planner.analysis.analyse import TuneAnalysis
from planner.analysis.beats import PlacedNote
from planner.analysis.structure import structure_findings
from planner.findings import Finding, Gravity
from planner.licence.licence import Licence
from planner.marks.choices import Choices
from planner.marks.mark_tune import Marked
from planner.marks.marks import Mark
from planner.marks.stage import Stage
from planner.music.tune import Tune


def remarks(
    stage: Stage, marked: Marked, asked_idiom: str | None, choices: Choices
) -> list[Finding]:
    """What a reader of the plan should know before trusting it."""
    licence, tune = stage.licence, stage.analysis.tune
    found: list[Finding] = []
    if asked_idiom is None and tune.idiom is None:
        found.append(Finding("idiom_assumed", "the tune names no idiom; it is planned as a march"))
    if licence.setting.control.rung is None:
        found.append(Finding("rung_assumed", "nobody has named the players' rung; 4 is taken"))
    if not licence.carries_pulse:
        found.append(Finding("rung_work", _RUNG_WORK[licence.rung]))
    if licence.has_drums and choices.drum_score is None:
        found.append(Finding("no_drum_score", "no drum score: strict means strict on the beats"))
    return [
        *found,
        *structure_findings(tune, stage.analysis.notes, stage.analysis.grouping),
        *_corners(stage.analysis, stage.rules.number("thresholds.gracenote.shortest")),
        *_names(stage.analysis),
        *_no_mark(tune, licence, marked.marks),
    ]


def _no_mark(tune: Tune, licence: Licence, marks: tuple[Mark, ...]) -> list[Finding]:
    """No mark is a good plan, and says so."""
    if not tune.has_notes:
        text = "no notes on file: marks only by hand"
        return [Finding("no_notes", text, "", Gravity.NOTE)]
    if licence.carries_pulse and not marks:
        return [Finding("no_mark", _no_mark_words(licence), "", Gravity.NOTE)]
    return []


_RUNG_WORK = {
    1: "rung 1: steady beat first, so the plan carries no marks; practise with the metronome",
    2: "rung 2: dots and cuts at full contrast first, so the plan carries no marks",
    3: "rung 3: join the short notes into the movements first, so the plan carries no marks",
}


def _no_mark_words(licence: Licence) -> str:
    if licence.marks_per_line == 0:
        return "the licence leaves no marks here: play it as written"
    return "no note both stands out and has room for a mark: play it as written"


def _corners(analysis: TuneAnalysis, shortest_ms: float) -> list[Finding]:
    tight = [note for note in analysis.notes if note.index in analysis.written.tight]
    return [
        Finding("tight_corner", _corner_words(analysis, note, shortest_ms), str(note.address))
        for note in tight
    ]


def _corner_words(analysis: TuneAnalysis, note: PlacedNote, shortest_ms: float) -> str:
    each_ms = analysis.written.gracenote_ms[note.index]
    if each_ms < shortest_ms:
        said = f"there is time for gracenotes of {each_ms:.0f} ms only"
        return f"what is written on {note.place.note} does not fit at this tempo: {said}"
    return f"{note.place.note} only just sounds between its neighbours' gracenotes"


def _names(analysis: TuneAnalysis) -> list[Finding]:
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
