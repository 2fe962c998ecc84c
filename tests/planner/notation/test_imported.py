"""MusicXML, MEI and MIDI come in through music21, in a process of its own."""

import io
import re
import zipfile

import pytest
from hypothesis import HealthCheck, given, settings
from music21 import chord, meter, note, stream, tempo
from music21.midi.translate import streamToMidiFile
from music21.musicxml.m21ToXml import GeneralObjectExporter

from planner.engraving.score import write_musicxml
from planner.errors import NotationError, WorkerTimeout
from planner.notation import imported
from planner.notation.imported import read_score
from planner.notation.read import read_tunes
from planner.notation.xml_head import read_xml_head
from tests.builders import tune
from tests.planner.notation.strategies import tunes

SLOW_TO_DRAW = [HealthCheck.too_slow, HealthCheck.data_too_large]
MARCH = tune(
    "2/4 |: e2 | {g}A4 {GdGe}A3B | (3gag (3aea {ag}a3e |\n{Gdc}d5 c3 | {gBd}B3A {GdG}B2 :|\n"
    "|: e2 | A4 A4- | A4 z4 | [1 e4 c2 :| [2 A4 e2 |]",
    length="1/16",
    tempo=84,
    rhythm="march",
    header="C:Somebody\nC:arr. Somebody Else\nS:an old book\nN:one\nN:two\nZ:me\nO:nowhere",
)


def read_here(xml, name="tune.musicxml"):
    """Read without the worker process, for tests that read many."""
    content = xml.encode()
    (read,) = read_score(name, content, read_xml_head(name, content))
    return read


def without_own_fields(xml):
    return re.sub("<miscellaneous>.*</miscellaneous>", "", xml, flags=re.DOTALL)


def codes(read):
    return {finding.code for finding in read.findings}


def music_of(built):
    """What a plain MusicXML file holds of a tune: everything but beams, lines and our own words."""
    return [
        (part.times, part.endings, [(bar.number, bar.ending, notes_of(bar)) for bar in part.bars])
        for part in built.parts
    ]


def notes_of(bar):
    return [(n.pitch, n.length, n.gracenotes, n.tied_on, n.tuplet) for n in bar.notes]


# -- our own MusicXML ------------------------------------------------------------------------------


def test_a_tune_comes_back_whole_from_its_own_musicxml():
    (read,) = read_tunes("tune.musicxml", write_musicxml(MARCH).encode())
    assert read.tune == MARCH
    assert codes(read) == set()


@settings(max_examples=15, deadline=None, suppress_health_check=SLOW_TO_DRAW)
@given(tunes())
def test_any_tune_comes_back_whole_from_its_own_musicxml(written):
    assert read_here(write_musicxml(written)).tune == written


@settings(max_examples=10, deadline=None, suppress_health_check=SLOW_TO_DRAW)
@given(tunes())
def test_the_music_comes_back_without_our_own_fields(written):
    read = read_here(without_own_fields(write_musicxml(written)))
    assert music_of(read.tune) == music_of(written)


def test_a_file_another_program_changed_is_read_plainly_and_says_so():
    xml = write_musicxml(MARCH)
    changed = re.sub('<note id="p1b1e0n2">.*?</note>', "", xml, flags=re.DOTALL)
    read = read_here(changed)
    assert "changed" in codes(read)
    assert len(read.tune.parts[0].bars[1].notes) == len(MARCH.parts[0].bars[1].notes) - 1


# -- MusicXML of other programs --------------------------------------------------------------------


def test_title_credits_tempo_lines_and_metre_of_a_plain_file():
    read = read_here(without_own_fields(write_musicxml(MARCH)))
    assert read.tune.title == MARCH.title
    assert (read.tune.credits.composer, read.tune.credits.arranger) == ("Somebody", "Somebody Else")
    assert read.tune.tempo == MARCH.tempo
    assert read.tune.metre == MARCH.metre
    assert [bar.starts_line for bar in read.tune.parts[0].bars] == [True, False, False, True, False]


def test_a_file_without_any_sharps_is_taken_as_pipe_music_with_a_finding():
    xml = without_own_fields(write_musicxml(MARCH))
    plain = re.sub(r"<alter>1</alter>", "", xml.replace("<fifths>2", "<fifths>0"))
    read = read_here(plain)
    assert "sharps_unwritten" in codes(read)
    assert music_of(read.tune) == music_of(read_here(xml).tune)


@pytest.mark.parametrize(
    ("addition", "code"),
    [
        ("<lyric><text>la</text></lyric>", "left_out"),
        ("<notations><articulations><staccato/></articulations></notations>", "left_out"),
        ("<notations><fermata/></notations>", "left_out"),
    ],
)
def test_what_the_model_does_not_hold_is_a_finding(addition, code):
    xml = write_musicxml(tune("2/4 A4 | B4 |]", length="1/8"))
    assert code in codes(read_here(xml.replace("</note>", f"{addition}</note>", 1)))


def test_chords_and_second_voices_are_findings():
    xml = write_musicxml(tune("2/4 A4 | B4 |]"))
    first = re.search("<note .*?</note>", xml, re.DOTALL).group()
    in_chord = re.sub(' id="[^"]*"', "", first).replace("<pitch>", "<chord/><pitch>", 1)
    read = read_here(xml.replace(first, first + in_chord.replace("<step>A", "<step>E")))
    assert "chord" in codes(read)
    assert read.tune.parts[0].bars[0].notes[0].pitch.name == "low A"


def test_a_second_staff_is_kept_as_harmony_with_a_finding():
    score = stream.Score([a_staff(), a_staff()])
    read = read_here(exported(score))
    assert "harmony" in codes(read)
    assert len(read.tune.parts[0].bars) == 2


def a_staff():
    notes = [note.Note(name, quarterLength=2) for name in ("A4", "B4")]
    return stream.Part([meter.TimeSignature("2/4"), *notes])


def exported(score):
    return GeneralObjectExporter(score).parse().decode()


# -- compressed MusicXML, MEI, MIDI ----------------------------------------------------------------


def archive(**members):
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as writer:
        for name, content in members.items():
            writer.writestr(name.replace("__", "/"), content)
    return packed.getvalue()


CONTAINER = '<container><rootfiles><rootfile full-path="score.xml"/></rootfiles></container>'


def test_compressed_musicxml_is_the_same_tune():
    packed = archive(**{"META-INF/container.xml": CONTAINER, "score.xml": write_musicxml(MARCH)})
    (read,) = read_tunes("tune.mxl", packed)
    assert read.tune == MARCH


MEI = """<?xml version="1.0" encoding="UTF-8"?>
<mei xmlns="http://www.music-encoding.org/ns/mei" meiversion="4.0.0">
 <meiHead><fileDesc><titleStmt><title>An MEI Tune</title>
  <respStmt><persName role="composer">Somebody</persName></respStmt></titleStmt>
  <pubStmt/></fileDesc></meiHead>
 <music><body><mdiv><score>
  <scoreDef meter.count="2" meter.unit="4"><staffGrp>
   <staffDef n="1" lines="5" clef.shape="G" clef.line="2" key.sig="2s"/></staffGrp></scoreDef>
  <section>
   <measure n="1"><staff n="1"><layer n="1">
    <note pname="g" oct="5" dur="8" grace="acc"/><note pname="a" oct="4" dur="4"/>
    <note pname="c" oct="5" dur="4" accid.ges="s"/></layer></staff></measure>
   <measure n="2" right="end"><staff n="1"><layer n="1">
    <note pname="e" oct="5" dur="2"/></layer></staff></measure>
  </section></score></mdiv></body></music></mei>"""


def test_mei_is_read_with_its_gracenotes():
    (read,) = read_tunes("tune.mei", MEI.encode())
    first = read.tune.parts[0].bars[0].notes[0]
    assert (read.tune.title, read.tune.credits.composer) == ("An MEI Tune", "Somebody")
    assert [pitch.name for pitch in first.gracenotes] == ["high G"]
    assert [bar.length for bar in read.tune.parts[0].bars] == [2, 2]
    assert str(read.tune.metre) == "2/4"


def test_bars_of_mei_that_the_library_passes_over_refuse_the_tune():
    ending = '<ending n="1"><measure n="3"/></ending></section></score>'
    text = MEI.replace("</section></score>", ending)
    assert "bars_lost" in codes(read_tunes("tune.mei", text.encode())[0])


def test_midi_is_read_with_a_finding():
    staff = a_staff()
    staff.insert(0, tempo.MetronomeMark(number=80))
    content = midi_bytes(staff)
    (read,) = read_tunes("drill.mid", content)
    assert read.tune.title == "drill"
    assert [bar.notes[0].pitch.name for bar in read.tune.parts[0].bars] == ["low A", "B"]
    assert "midi" in codes(read)


def midi_bytes(staff):
    return streamToMidiFile(staff).writestr()


# -- safety ----------------------------------------------------------------------------------------


def refusal(name, content):
    with pytest.raises(NotationError) as error:
        read_tunes(name, content)
    assert "\n" not in str(error.value)
    return str(error.value)


def test_a_score_without_notes_is_refused():
    score = stream.Score([stream.Part([meter.TimeSignature("2/4"), note.Rest(quarterLength=2)])])
    assert "it holds no notes" in refusal("a.xml", exported(score).encode())


def test_an_archive_that_grows_without_end_is_refused():
    bomb = archive(**{"META-INF/container.xml": CONTAINER, "score.xml": b" " * 9_000_000})
    assert len(bomb) < 20_000
    assert "grows beyond 8 MB" in refusal("a.mxl", bomb)


def test_an_archive_without_a_score_is_refused():
    assert "holds no score" in refusal("a.mxl", archive(**{"readme.txt": "hello"}))


def test_a_reading_that_takes_too_long_is_refused_in_one_sentence(monkeypatch):
    class Busy:
        def call(self, *_):
            raise WorkerTimeout("reader of music files", 30)

    monkeypatch.setattr(imported, "_reader", Busy())
    assert "too much time or memory; split it" in refusal("a.mid", midi_bytes(a_staff()))


def test_a_chord_of_the_library_gives_its_first_note():
    staff = stream.Part([meter.TimeSignature("2/4"), chord.Chord(["A4", "E5"], quarterLength=2)])
    read = read_here(exported(stream.Score([staff])))
    assert [n.pitch.name for n in read.tune.parts[0].bars[0].notes] == ["low A"]
