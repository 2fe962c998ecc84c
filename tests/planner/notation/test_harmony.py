"""Further pitched staves of MusicXML: pipe harmony, or a finding that says what is the matter."""

import re
from dataclasses import replace

import pytest

from planner.engraving.score import write_musicxml
from planner.event.event import Occasion, Setting, Sort
from planner.marks.on_harmony import marks_on_harmony
from planner.notation.imported import read_score
from planner.notation.xml_head import read_xml_head
from planner.plan import plan_tune
from planner.rules.load import load_rulebook
from tests.builders import tune

MELODY = tune(
    "2/4 |: e | {g}A>B {gcd}c2 | {Gdc}d2 {g}e2 | {ag}a>f {g}e2 |1 {GdGe}A3 :|2 {gAGAG}A4 |]",
    rhythm="march",
    tempo=80,
)
SECOND = tune("2/4 |: c | {g}c>d {gef}e2 | {g}f4 | {g}c>d {g}c2 |1 z3 :|2 {g}c4 |]")
BOTH = replace(MELODY, harmonies=(SECOND.parts,))


def read_here(xml):
    content = xml.encode()
    (read,) = read_score("tune.musicxml", content, read_xml_head("tune.musicxml", content))
    return read


def texts(read):
    return {finding.code: finding.text for finding in read.findings}


def with_staff(notes, pitch="A4", more=""):
    """The melody with a second staff of crotchets, as another program writes it."""
    xml = re.sub("<miscellaneous>.*</miscellaneous>", "", write_musicxml(MELODY), flags=re.DOTALL)
    step, octave = pitch[0], pitch[-1]
    note = f"<pitch><step>{step}</step><octave>{octave}</octave></pitch>"
    bars = "".join(
        f"<measure number='{n}'>{'<attributes><divisions>4</divisions></attributes>' * (not n)}"
        f"<note>{note}<duration>{int(4 * length)}</duration></note></measure>"
        for n, length in enumerate(notes)
    )
    part = f"<score-part id='P2'><part-name>{more}Second</part-name></score-part></part-list>"
    return xml.replace("</part-list>", part).replace(
        "</score-partwise>", f"<part id='P2'>{bars}</part></score-partwise>"
    )


def test_a_tune_with_a_harmony_comes_back_whole_from_its_own_musicxml():
    read = read_here(write_musicxml(BOTH))
    assert read.tune == BOTH
    assert texts(read)["harmony"] == "staff 2 is kept as pipe harmony; the first staff is the tune"


def test_a_harmony_keeps_its_notes_and_gracenotes_in_another_programs_file():
    xml = write_musicxml(BOTH)
    read = read_here(re.sub("<miscellaneous>.*</miscellaneous>", "", xml, flags=re.DOTALL))
    (harmony,) = read.tune.harmonies
    kept = [(bar.number, bar.ending, bar.notes) for bar in harmony[0].bars]
    assert kept == [(bar.number, bar.ending, bar.notes) for bar in SECOND.parts[0].bars]


def test_every_id_of_a_file_with_a_harmony_is_its_own():
    ids = re.findall(r' id="([^"]*)"', write_musicxml(BOTH).partition("</part-list>")[2])
    assert len(ids) == len(set(ids)) > 40


def test_a_staff_of_another_program_becomes_a_harmony():
    read = read_here(with_staff([0.5, 2, 2, 2, 1.5, 2]))
    (harmony,) = read.tune.harmonies
    assert [bar.notes[0].pitch.name for bar in harmony[0].bars] == ["low A"] * 6


@pytest.mark.parametrize(
    ("notes", "pitch", "why"),
    [
        ([0.5, 2, 2], "A4", "it has 3 bars and the tune 6"),
        ([0.5, 2, 1, 2, 1.5, 2], "A4", "part 1, bar 2 is not as long as in the tune"),
        ([0.5, 2, 2, 2, 1.5, 2], "A3", "it needs a A (octave 3), which the chanter does not have"),
    ],
)
def test_a_staff_that_cannot_be_a_harmony_is_left_out_with_the_reason(notes, pitch, why):
    read = read_here(with_staff(notes, pitch))
    assert read.tune.harmonies == ()
    assert texts(read)["second_voice"] == f"staff 2 is left out: {why}"


def test_the_plan_is_the_melodys_and_its_marks_stand_on_the_harmony_too():
    rules = load_rulebook()
    standing = Setting(Occasion.EXHIBITION, Sort.STANDING)
    plan = plan_tune(BOTH, standing, rules)
    assert plan.marks == plan_tune(MELODY, standing, rules).marks
    placed = marks_on_harmony(plan.marks, SECOND.parts)
    notes = {
        (bar.number, bar.ending, index): note.pitch
        for bar in SECOND.parts[0].bars
        for index, note in enumerate(bar.notes)
    }
    assert placed
    for mark in placed:
        at = mark.place.address
        assert notes[at.bar, at.ending, mark.place.index].name == mark.place.note


def test_a_mark_stands_on_the_note_that_sounds_and_nowhere_in_a_rest():
    plan = plan_tune(MELODY, Setting(Occasion.EXHIBITION, Sort.STANDING), load_rulebook())
    mark = plan.marks[0]
    at = mark.place.address
    rests = tune("2/4 |: z | z4 | z4 | z4 |1 z3 :|2 z4 |]").parts
    assert marks_on_harmony([mark], rests) == ()
    long = tune("2/4 |: c | f4 | f4 | f4 |1 f3 :|2 f4 |]").parts
    (placed,) = marks_on_harmony([mark], long)
    assert (placed.place.note, placed.place.index, placed.place.address.bar) == ("F", 0, at.bar)
