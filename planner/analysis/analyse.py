"""What does the engine know of a tune before it knows where the tune is played?

One call gathers the answers of this folder for a tune, an idiom and a tempo. Everything is listed
once for each printed note, in printed order.
"""

from __future__ import annotations

from dataclasses import dataclass

from planner.analysis.beats import PlacedNote, notes_before, place_notes
from planner.analysis.figures import number_figures
from planner.analysis.movements import Movement, name_movements
from planner.analysis.phrases import (
    Grouping,
    PartShape,
    cadence_notes,
    grouping_of,
    shape_part,
)
from planner.analysis.salience import Salience, contour_accents, weigh_notes
from planner.analysis.structure import PhraseShape, phrase_shapes
from planner.analysis.tonal import tonal_centre
from planner.analysis.written import WrittenTime, time_written
from planner.music.tempo import Tempo
from planner.music.tune import Tune
from planner.rules.rulebook import RuleBook


@dataclass(frozen=True, slots=True)
class TuneAnalysis:
    """A tune as a piper knows it, at a tempo and in an idiom.

    ``before`` holds, for each note, the notes that ever sound just before it; ``figures`` the
    number of its place in its figure, the same wherever the figure comes round.
    """

    tune: Tune
    idiom: str
    tempo: Tempo
    tonal_centre: str
    grouping: Grouping
    shapes: tuple[PartShape, ...]
    phrases: tuple[PhraseShape, ...]
    notes: tuple[PlacedNote, ...]
    movements: tuple[Movement | None, ...]
    cadences: frozenset[int]
    before: tuple[tuple[int, ...], ...]
    figures: tuple[int, ...]
    salience: tuple[Salience, ...]
    written: WrittenTime


def analyse(tune: Tune, idiom: str, tempo: Tempo, rules: RuleBook) -> TuneAnalysis:
    """Everything about the tune that the licence and the marks rest on."""
    notes = place_notes(tune)
    named = dict(name_movements(tune, rules, idiom))
    movements = tuple(named.get(note.place.note_id) for note in notes)
    grouping = grouping_of(tune, rules)
    cadences = cadence_notes(notes, grouping)
    written = time_written(
        notes,
        [movement.beat_index if movement else 0 for movement in movements],
        tempo,
        rules.number(f"idioms.{rule_name(idiom)}.pointing"),
        rules,
    )
    contour = contour_accents(tune, notes)
    return TuneAnalysis(
        tune=tune,
        idiom=idiom,
        tempo=tempo,
        tonal_centre=tonal_centre(tune, rules),
        grouping=grouping,
        shapes=tuple(shape_part(part, grouping) for part in tune.parts),
        phrases=phrase_shapes(tune, notes, grouping),
        notes=notes,
        movements=movements,
        cadences=cadences,
        before=notes_before(notes),
        figures=number_figures(notes),
        salience=weigh_notes(notes, written.length_ms, cadences, grouping, contour, rules),
        written=written,
    )


def rule_name(words: str) -> str:
    """A name of the trade as the rule book keys it: ``slow air`` is ``slow_air``."""
    return words.replace(" ", "_").replace("-", "_")
