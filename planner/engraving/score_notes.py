"""How are the notes of one bar written in MusicXML?

Gracenotes come before their note; a note that no single head can show becomes several tied ones.
The order of the elements is that of the MusicXML 4.0 schema.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from xml.etree.ElementTree import Element, SubElement

from planner.engraving.beams import bar_beams, gracenote_beams
from planner.engraving.note_values import NoteValue, note_values, tuplet_edges, written_length
from planner.music.scale import Pitch
from planner.music.tune import Note, Part, Tune, note_id

ACCIDENTALS = {-2: "flat-flat", -1: "flat", 0: "natural", 1: "sharp", 2: "double-sharp"}


def add_notes(
    measure: Element, tune: Tune, part: Part, bar_index: int, divisions: int, is_joined: bool
) -> None:
    """Write the notes of a bar into its measure; ``is_joined`` keeps the writer's beams."""
    bar = part.bars[bar_index]
    if not bar.notes:
        _add_filler(measure, bar.length, divisions)
        return
    beams = bar_beams(bar, is_joined)
    starts, stops = tuplet_edges(bar.notes)
    before = _note_before(tune, part, bar_index)
    for index, note in enumerate(bar.notes):
        identity = note_id(part.number, bar.number, bar.ending, index)
        _add_gracenotes(measure, identity, note.gracenotes)
        edges = [word for word, at in (("start", starts), ("stop", stops)) if index in at]
        ties = _ties(before, note, _note_after(tune, part, bar_index, index))
        _add_note(measure, identity, note, divisions, beams[index], edges, ties)
        before = note


def _add_filler(measure: Element, length: Fraction, divisions: int) -> None:
    """A bar without notes on file stays blank: a hidden rest holds its place."""
    element = SubElement(measure, "note", {"print-object": "no"})
    SubElement(element, "rest", measure="yes")
    SubElement(element, "duration").text = str(length * divisions)
    SubElement(element, "voice").text = "1"


def _note_before(tune: Tune, part: Part, bar_index: int) -> Note | None:
    bars = [bar for other in tune.parts for bar in other.bars]
    place = _place(tune, part) + bar_index
    return bars[place - 1].notes[-1] if place > 0 and bars[place - 1].notes else None


def _note_after(tune: Tune, part: Part, bar_index: int, index: int) -> Note | None:
    notes = part.bars[bar_index].notes
    if index + 1 < len(notes):
        return notes[index + 1]
    bars = [bar for other in tune.parts for bar in other.bars]
    place = _place(tune, part) + bar_index
    return bars[place + 1].notes[0] if place + 1 < len(bars) and bars[place + 1].notes else None


def _place(tune: Tune, part: Part) -> int:
    """How many bars are printed before the part."""
    return sum(len(other.bars) for other in tune.parts[: tune.parts.index(part)])


def _ties(before: Note | None, note: Note, after: Note | None) -> list[str]:
    """``stop`` and ``start``, the latter only where the next note has the pitch to tie to."""
    ends = before is not None and before.tied_on and before.pitch == note.pitch
    begins = note.tied_on and after is not None and after.pitch == note.pitch
    return [] if note.is_rest else ["stop"] * ends + ["start"] * begins


def _add_gracenotes(measure: Element, identity: str, gracenotes: Sequence[Pitch]) -> None:
    for index, words in enumerate(gracenote_beams(len(gracenotes))):
        element = SubElement(measure, "note", id=f"{identity}g{index}")
        SubElement(element, "grace", slash="no")
        _add_pitch(element, gracenotes[index])
        SubElement(element, "voice").text = "1"
        SubElement(element, "type").text = "32nd"
        _add_accidental(element, gracenotes[index])
        SubElement(element, "stem").text = "up"
        _add_beams(element, words)


def _add_note(
    measure: Element,
    identity: str,
    note: Note,
    divisions: int,
    beams: tuple[str, ...],
    edges: Sequence[str],
    ties: Sequence[str],
) -> None:
    values = note_values(written_length(note))
    shortened = note.length / written_length(note)
    for piece, value in enumerate(values):
        is_first, is_last = piece == 0, piece + 1 == len(values)
        inner = ["stop"] * (not is_first) + ["start"] * (not is_last)
        outer = [t for t in ties if (t == "stop" and is_first) or (t == "start" and is_last)]
        piece_ties = sorted(outer + (inner if note.pitch else []), reverse=True)
        piece_edges = [e for e in edges if (is_first if e == "start" else is_last)]
        element = SubElement(measure, "note", id=identity if is_first else f"{identity}t{piece}")
        is_left_open = note.tied_on and is_last and "start" not in piece_ties
        sounding_ties = piece_ties + ["start"] * is_left_open
        _add_sound(element, note.pitch, value.length * shortened * divisions, sounding_ties)
        _add_value(element, note, value)
        _add_beams(element, beams)
        _add_notations(element, piece_ties, piece_edges)


def _add_sound(element: Element, pitch: Pitch | None, duration: Fraction, ties: list[str]) -> None:
    if pitch is None:
        SubElement(element, "rest")
    else:
        _add_pitch(element, pitch)
    SubElement(element, "duration").text = str(duration)
    for tie in ties:
        SubElement(element, "tie", type=tie)
    SubElement(element, "voice").text = "1"


def _add_pitch(element: Element, pitch: Pitch) -> None:
    child = SubElement(element, "pitch")
    SubElement(child, "step").text = pitch.step
    if pitch.alter:
        SubElement(child, "alter").text = str(pitch.alter)
    SubElement(child, "octave").text = str(pitch.octave)


def _add_value(element: Element, note: Note, value: NoteValue) -> None:
    SubElement(element, "type").text = value.kind
    for _ in range(value.dots):
        SubElement(element, "dot")
    if note.pitch is not None:
        _add_accidental(element, note.pitch)
    if note.tuplet is not None:
        modification = SubElement(element, "time-modification")
        SubElement(modification, "actual-notes").text = str(note.tuplet[0])
        SubElement(modification, "normal-notes").text = str(note.tuplet[1])
    if note.pitch is not None:
        SubElement(element, "stem").text = "down"


def _add_accidental(element: Element, pitch: Pitch) -> None:
    """Only for a note the chanter does not have: it would be read as the one it has."""
    if pitch.chanter_name is None and pitch.alter in ACCIDENTALS:
        is_silent = pitch.alter == (1 if pitch.step in "CF" else 0)
        if not is_silent:
            SubElement(element, "accidental").text = ACCIDENTALS[pitch.alter]


def _add_beams(element: Element, words: tuple[str, ...]) -> None:
    for number, word in enumerate(words, start=1):
        SubElement(element, "beam", number=str(number)).text = word


def _add_notations(element: Element, ties: Sequence[str], edges: Sequence[str]) -> None:
    if not ties and not edges:
        return
    notations = SubElement(element, "notations")
    for tie in ties:
        SubElement(notations, "tied", type=tie)
    for edge in edges:
        tuplet = SubElement(notations, "tuplet", type=edge)
        if edge == "start":
            tuplet.set("bracket", "yes")
            tuplet.set("show-number", "actual")
            tuplet.set("placement", "below")
