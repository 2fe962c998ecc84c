"""How is a tune written down as MusicXML 4.0?

One staff in treble clef, read by our own engraver and by any program that takes MusicXML. As pipe
music is printed: melody stems down, gracenote stems up with three beams, no key signature and no
accidentals for the nine notes (C and F sound sharp all the same), bar numbers that start again
with each part.

Every note has its identity of ``planner.music.tune.note_id`` as ``id``, gracenotes add ``g0``,
``g1`` ..., the further pieces of a note written as several tied ones add ``t1``, ``t2`` ...; a
measure has the identity of its bar. What MusicXML has no place for stands in the fields that
``own_data.py`` lists, so that reading the file back gives the same tune. Composer, arranger and
source are where MusicXML wants them; the title is the work's title.
"""

from __future__ import annotations

import math
import re
from dataclasses import replace
from fractions import Fraction
from xml.etree import ElementTree
from xml.etree.ElementTree import Element, SubElement

from planner.engraving.beams import is_joined_by_writer
from planner.engraving.lines import line_starts
from planner.engraving.note_values import KINDS
from planner.engraving.own_data import own_data
from planner.engraving.score_notes import add_notes
from planner.engraving.writable import refuse_unwritable
from planner.music.tempo import Metre, Tempo
from planner.music.tune import Bar, Part, Tune, bar_id

DOCTYPE = (
    '<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" '
    '"http://www.musicxml.org/dtds/partwise.dtd">'
)
SYMBOLS = {"C": "common", "C|": "cut"}
# What XML 1.0 has no way to say, not even escaped.
_NOT_XML = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


def write_musicxml(
    tune: Tune,
    *,
    labels_parts: bool = True,
    is_excerpt: bool = False,
    breaks: frozenset[str] | None = None,
    is_indented: bool = True,
) -> str:
    """The tune as a MusicXML document.

    ``labels_parts`` writes "Part 1" and so on above the first bars of a tune of several parts. An
    excerpt ends with a plain bar line, for it does not end where the tune does. ``breaks`` are the
    bars that begin a line, those of ``lines.py`` if it is None.

    Raises:
        EngravingError: the tune has a length, a metre or a bar number that cannot be written.
    """
    refuse_unwritable(tune)
    score = Element("score-partwise", version="4.0")
    _add_heading(score, tune)
    music = SubElement(score, "part", id="P1")
    lines = line_starts(tune) if breaks is None else breaks
    has_labels = labels_parts and len(tune.parts) > 1
    for part in tune.parts:
        _add_part(music, tune, part, lines, has_labels, is_excerpt)
    for number, harmony in enumerate(tune.harmonies, start=2):
        _add_harmony(score, tune, harmony, number)
    if is_indented:
        ElementTree.indent(score, " ")
    body = ElementTree.tostring(score, encoding="unicode")
    return f'<?xml version="1.0" encoding="UTF-8"?>\n{DOCTYPE}\n{body}\n'


def _add_harmony(score: Element, tune: Tune, harmony: tuple[Part, ...], number: int) -> None:
    """A further pipe voice on a staff of its own, its ids told from the melody's by ``v2`` ..."""
    music = SubElement(score, "part", id=f"P{number}")
    voice = replace(tune, parts=harmony, harmonies=(), tempo=None)
    for part in harmony:
        _add_part(music, voice, part, frozenset(), False, False)
    for element in music.iter():
        if element is not music and "id" in element.attrib:
            element.set("id", f"v{number}{element.get('id')}")


def _add_heading(score: Element, tune: Tune) -> None:
    _add_text(SubElement(score, "work"), "work-title", tune.title)
    identification = SubElement(score, "identification")
    for role in ("composer", "arranger"):
        _add_text(identification, "creator", getattr(tune.credits, role), {"type": role})
    SubElement(SubElement(identification, "encoding"), "software").text = "Pacestick"
    _add_text(identification, "source", tune.credits.source)
    fields = own_data(tune)
    if fields:
        miscellaneous = SubElement(identification, "miscellaneous")
        for name, text in fields.items():
            _add_text(miscellaneous, "miscellaneous-field", text, {"name": name})
    part_list = SubElement(score, "part-list")
    for number in range(1, len(tune.harmonies) + 2):
        name = "Pipes" if number == 1 else f"Pipe harmony {number - 1}"
        part = SubElement(part_list, "score-part", id=f"P{number}")
        SubElement(part, "part-name", {"print-object": "no"}).text = name


def _add_text(
    parent: Element, name: str, text: str, attributes: dict[str, str] | None = None
) -> None:
    if text:
        SubElement(parent, name, attributes or {}).text = _NOT_XML.sub(" ", text)


def _add_part(
    music: Element,
    tune: Tune,
    part: Part,
    lines: frozenset[str],
    has_labels: bool,
    is_excerpt: bool,
) -> None:
    is_joined = is_joined_by_writer(tune)
    divisions = _divisions(tune)
    for index, bar in enumerate(part.bars):
        is_first = part is tune.parts[0] and index == 0
        identity = bar_id(part.number, bar.number, bar.ending)
        measure = SubElement(music, "measure", number=str(bar.number), id=identity)
        if bar.is_pickup:
            measure.set("implicit", "yes")
        if identity in lines and not is_first:
            SubElement(measure, "print", {"new-system": "yes"})
        _add_left_barline(measure, part, index)
        _add_attributes(measure, _metre_before(tune, part, index), bar.metre, divisions)
        if has_labels and index == 0:
            _add_label(measure, f"Part {part.number}")
        if is_first and tune.tempo is not None:
            _add_tempo(measure, tune.tempo, tune.metre)
        add_notes(measure, tune, part, index, divisions, is_joined)
        _add_right_barline(measure, tune, part, index, is_excerpt)


def _divisions(tune: Tune) -> int:
    """How many parts a crotchet is cut into so that every length is a whole number."""
    bars = [bar for part in tune.parts for bar in part.bars]
    lengths = [note.length for bar in bars for note in bar.notes] + [bar.length for bar in bars]
    return math.lcm(*(length.denominator for length in lengths))


def _metre_before(tune: Tune, part: Part, index: int) -> Metre | None:
    if index > 0:
        return part.bars[index - 1].metre
    earlier = [other for other in tune.parts[: tune.parts.index(part)] if other.bars]
    return earlier[-1].bars[-1].metre if earlier else None


def _add_attributes(measure: Element, before: Metre | None, metre: Metre, divisions: int) -> None:
    if before == metre:
        return
    attributes = SubElement(measure, "attributes")
    if before is None:
        SubElement(attributes, "divisions").text = str(divisions)
        key = SubElement(attributes, "key", {"print-object": "no"})
        SubElement(key, "fifths").text = "2"
    symbol = {"symbol": SYMBOLS[metre.symbol]} if metre.symbol in SYMBOLS else {}
    time = SubElement(attributes, "time", symbol)
    SubElement(time, "beats").text = str(metre.count)
    SubElement(time, "beat-type").text = str(metre.unit)
    if before is None:
        clef = SubElement(attributes, "clef")
        SubElement(clef, "sign").text = "G"
        SubElement(clef, "line").text = "2"


def _add_label(measure: Element, words: str) -> None:
    direction = SubElement(measure, "direction", placement="above")
    rehearsal = SubElement(SubElement(direction, "direction-type"), "rehearsal", enclosure="none")
    rehearsal.text = words


def _add_tempo(measure: Element, tempo: Tempo, metre: Metre) -> None:
    direction = SubElement(measure, "direction", placement="above")
    metronome = SubElement(SubElement(direction, "direction-type"), "metronome")
    beat = metre.beat_length
    is_dotted = beat not in KINDS
    plain = beat * Fraction(2, 3) if is_dotted else beat
    SubElement(metronome, "beat-unit").text = KINDS[plain]
    if is_dotted:
        SubElement(metronome, "beat-unit-dot")
    SubElement(metronome, "per-minute").text = f"{tempo.bpm:g}"
    SubElement(direction, "sound", tempo=f"{tempo.bpm * float(beat):g}")


def _add_left_barline(measure: Element, part: Part, index: int) -> None:
    bar = part.bars[index]
    is_ending = bar.ending > 0 and not _is_only_ending(part)
    begins_ending = is_ending and (index == 0 or part.bars[index - 1].ending != bar.ending)
    opens_repeat = index == 0 and part.is_repeated
    if not (begins_ending or opens_repeat):
        return
    barline = SubElement(measure, "barline", location="left")
    if opens_repeat:
        SubElement(barline, "bar-style").text = "heavy-light"
    if begins_ending:
        _add_ending(barline, part, bar, "start")
    if opens_repeat:
        SubElement(barline, "repeat", direction="forward")


def _add_right_barline(
    measure: Element, tune: Tune, part: Part, index: int, is_excerpt: bool
) -> None:
    bar = part.bars[index]
    is_part_end = index + 1 == len(part.bars)
    is_ending = bar.ending > 0 and not _is_only_ending(part)
    ends_ending = is_ending and (is_part_end or part.bars[index + 1].ending != bar.ending)
    goes_back = part.is_repeated and _plays_again_after(part, bar, is_part_end, ends_ending)
    if not (ends_ending or is_part_end) or (is_excerpt and not goes_back and not ends_ending):
        return
    barline = SubElement(measure, "barline", location="right")
    is_tune_end = is_part_end and part is tune.parts[-1]
    if goes_back or is_part_end:
        is_heavy = (goes_back or is_tune_end) and not is_excerpt
        SubElement(barline, "bar-style").text = "light-heavy" if is_heavy else "light-light"
    if ends_ending:
        _add_ending(barline, part, bar, "stop")
    if goes_back:
        again = {"times": str(part.times)} if part.times > 2 and not part.endings else {}
        SubElement(barline, "repeat", {"direction": "backward"} | again)


def _is_only_ending(part: Part) -> bool:
    """True for a part played once of which one ending is left: it needs no bracket."""
    return not part.is_repeated and () in part.endings


def _plays_again_after(part: Part, bar: Bar, is_part_end: bool, ends_ending: bool) -> bool:
    """True where the players go back: after each ending but that of the last pass."""
    if part.endings and ends_ending:
        passes = part.endings[bar.ending - 1]
        return part.times not in passes and min(passes) < part.times
    return is_part_end and not part.endings


def _add_ending(barline: Element, part: Part, bar: Bar, kind: str) -> None:
    passes = ", ".join(map(str, part.endings[bar.ending - 1]))
    ending = SubElement(barline, "ending", number=passes, type=kind)
    if kind == "start":
        ending.text = passes
