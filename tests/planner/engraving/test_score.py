"""Is a tune written as MusicXML 4.0 says, and does another program read the same music?"""

from fractions import Fraction
from xml.etree import ElementTree
from xml.etree.ElementTree import Element

import pytest
from music21 import converter

from planner.engraving.score import write_musicxml
from planner.errors import EngravingError
from planner.music.scale import Pitch
from planner.music.tempo import Metre
from planner.music.tune import Bar, Note, Part, Tune, note_id, outline
from planner.notation.read import read_tune
from tests.builders import tune
from tests.planner.engraving.demo import CORNERS, ENDINGS, NAMES, THREE_TIMES, TRIPLETS, demo_tune
from tests.planner.engraving.musicxml_schema import schema_faults


def score_of(written: Tune) -> Element:
    return ElementTree.fromstring(write_musicxml(written))


def melody(score: Element) -> list[Element]:
    return [note for note in score.iter("note") if note.find("grace") is None]


def gracenotes(score: Element) -> list[Element]:
    return [note for note in score.iter("note") if note.find("grace") is not None]


def words(notes: list[Element], name: str) -> set[str | None]:
    return {note.findtext(name) for note in notes}


@pytest.mark.parametrize("name", NAMES)
def test_a_demo_tune_keeps_to_the_schema(name: str) -> None:
    assert schema_faults(write_musicxml(demo_tune(name))) == []


@pytest.mark.parametrize("corner", CORNERS, ids=lambda corner: corner.title)
def test_the_corners_of_notation_keep_to_the_schema(corner: Tune) -> None:
    assert schema_faults(write_musicxml(corner)) == []


def test_the_schema_check_sees_a_wrong_order() -> None:
    score = write_musicxml(TRIPLETS)
    voice = "<voice>1</voice>"
    turned = score.replace(voice, "").replace("</note>", voice + "</note>")
    assert "note holds" in schema_faults(turned)[0]


@pytest.mark.parametrize("name", NAMES)
def test_every_note_has_its_identity_once(name: str) -> None:
    written = demo_tune(name)
    expected = [
        note_id(part.number, bar.number, bar.ending, index)
        for part in written.parts
        for bar in part.bars
        for index in range(len(bar.notes))
    ]
    assert [note.get("id") for note in melody(score_of(written))] == expected


def test_gracenotes_are_numbered_after_their_note() -> None:
    score = score_of(tune("2/4 | {GdGe}A4 |]"))
    assert [note.get("id") for note in gracenotes(score)] == [f"p1b1e0n0g{i}" for i in range(4)]


def test_melody_stems_go_down_and_gracenote_stems_up() -> None:
    score = score_of(demo_tune(NAMES[0]))
    assert words(melody(score), "stem") == {"down"}
    assert words(gracenotes(score), "stem") == {"up"}


def test_gracenotes_are_demisemiquavers_on_three_beams_a_single_one_with_flags() -> None:
    score = score_of(tune("2/4 | {GdGe}A2 {g}B2 |]"))
    assert words(gracenotes(score), "type") == {"32nd"}
    beams = [[beam.text for beam in note.findall("beam")] for note in gracenotes(score)]
    assert beams == [["begin"] * 3, ["continue"] * 3, ["continue"] * 3, ["end"] * 3, []]


def test_the_key_is_hidden_and_no_accidental_is_written() -> None:
    score = score_of(demo_tune(NAMES[0]))
    key = score.find(".//key")
    assert key is not None
    assert (key.get("print-object"), key.findtext("fifths")) == ("no", "2")
    assert score.find(".//accidental") is None


def test_a_note_off_the_chanter_gets_its_accidental() -> None:
    off = Bar(1, Metre(2, 4), (Note(Pitch("C", 0, 5), Fraction(2)),))
    score = score_of(Tune("Odd", Metre(2, 4), (Part(1, (off,)),)))
    assert score.findtext(".//accidental") == "natural"


def test_a_pickup_is_implicit_and_numbers_start_again_with_each_part() -> None:
    score = score_of(tune("2/4 |: A | B4 | c3 :: d | e4 | f3 :|"))
    bars = [(bar.get("number"), bar.get("implicit")) for bar in score.iter("measure")]
    assert bars == [("0", "yes"), ("1", None), ("2", None)] * 2


def test_endings_share_their_bar_numbers_and_name_their_passes() -> None:
    score = score_of(ENDINGS)
    assert [bar.get("number") for bar in score.iter("measure")] == list("0123434")
    endings = [(ending.get("number"), ending.get("type")) for ending in score.iter("ending")]
    assert endings == [("1", "start"), ("1", "stop"), ("2", "start"), ("2", "stop")]
    numbers = [ending.get("number") for ending in score_of(THREE_TIMES).iter("ending")]
    assert numbers == ["1, 2", "1, 2", "3", "3"]


def test_bar_lines_end_a_repeat_a_part_and_the_tune() -> None:
    styles = [style.text for style in score_of(tune("2/4 | A4 || B4 |]")).iter("bar-style")]
    assert styles == ["light-light", "light-heavy"]
    repeats = score_of(tune("2/4 |: A4 :|")).iter("repeat")
    assert [repeat.get("direction") for repeat in repeats] == ["forward", "backward"]


def test_an_excerpt_ends_with_a_plain_bar_line() -> None:
    assert "bar-style" not in write_musicxml(tune("2/4 | A4 | B4 |]"), is_excerpt=True)


def test_the_tempo_counts_felt_beats_and_sounds_in_crotchets() -> None:
    score = score_of(tune("6/8 | A3 B3 |]", tempo=84))
    metronome, sound = score.find(".//metronome"), score.find(".//sound")
    assert metronome is not None
    assert sound is not None
    assert [each.tag for each in metronome] == ["beat-unit", "beat-unit-dot", "per-minute"]
    assert (metronome.findtext("per-minute"), sound.get("tempo")) == ("84", "126")


@pytest.mark.parametrize(("metre", "symbol"), [("C", "common"), ("C|", "cut"), ("4/4", None)])
def test_the_metre_keeps_its_symbol(metre: str, symbol: str | None) -> None:
    time = score_of(tune(f"{metre} | A8 |]")).find(".//time")
    assert time is not None
    assert time.get("symbol") == symbol


def test_a_note_no_head_can_show_is_tied_and_noted_down() -> None:
    score = score_of(tune("3/4 | d5 e |]"))
    assert [note.get("id") for note in melody(score)] == ["p1b1e0n0", "p1b1e0n0t1", "p1b1e0n1"]
    assert [tied.get("type") for tied in score.iter("tied")] == ["start", "stop"]
    fields = {each.get("name"): each.text for each in score.iter("miscellaneous-field")}
    assert fields["pacestick-splits"] == "p1b1e0n0=2"


def test_characters_that_xml_cannot_hold_are_left_out() -> None:
    score = score_of(outline("Bell \x07 & <co>", Metre(2, 4), ((1, 1),)))
    assert score.findtext(".//work-title") == "Bell   & <co>"


def test_bars_without_notes_stay_blank() -> None:
    rest = score_of(outline("Scan", Metre(6, 8), ((4, 2),))).find(".//note")
    assert rest is not None
    assert rest.get("print-object") == "no"


def test_the_same_tune_gives_the_same_bytes() -> None:
    assert write_musicxml(demo_tune(NAMES[0])) == write_musicxml(demo_tune(NAMES[0]))


def test_a_tune_that_cannot_be_written_is_refused() -> None:
    with pytest.raises(EngravingError, match="there are no bars to draw"):
        write_musicxml(Tune("Empty", Metre(2, 4), ()))


# music21 is an independent reader of MusicXML; it counts lengths in crotchets as we do


def read_by_music21(written: Tune) -> list[list[tuple[str, Fraction, int]]]:
    """Each measure's melody as (pitch, length), and how many gracenotes came before."""
    score = converter.parseData(write_musicxml(written), format="musicxml")
    return [_measure_notes(measure) for measure in score.parts[0].getElementsByClass("Measure")]


def _measure_notes(measure: object) -> list[tuple[str, Fraction, int]]:
    found, graces = [], 0
    for note in measure.recurse().notesAndRests:  # type: ignore[attr-defined]
        if note.duration.isGrace:
            graces += 1
            continue
        name = "rest" if note.isRest else note.pitch.nameWithOctave
        found.append((name, Fraction(note.duration.quarterLength), graces))
        graces = 0
    return found


def as_music21_names(written: Tune) -> list[list[tuple[str, Fraction, int]]]:
    signs = {-1: "-", 0: "", 1: "#"}
    return [
        [
            (
                f"{note.pitch.step}{signs[note.pitch.alter]}{note.pitch.octave}"
                if note.pitch
                else "rest",
                note.length,
                len(note.gracenotes),
            )
            for note in bar.notes
        ]
        for part in written.parts
        for bar in part.bars
    ]


@pytest.mark.parametrize("name", NAMES)
def test_another_reader_finds_the_same_pitches_lengths_and_gracenotes(name: str) -> None:
    assert read_by_music21(demo_tune(name)) == as_music21_names(demo_tune(name))


@pytest.mark.parametrize("corner", [TRIPLETS, ENDINGS, THREE_TIMES], ids=lambda one: one.title)
def test_another_reader_finds_the_corners_of_notation(corner: Tune) -> None:
    assert read_by_music21(corner) == as_music21_names(corner)


def test_another_reader_unrolls_the_same_repeats_and_endings() -> None:
    score = converter.parseData(write_musicxml(ENDINGS), format="musicxml")
    unrolled = score.parts[0].expandRepeats()
    played = [bar.number for part in ENDINGS.parts for bar in part.played_bars()]
    assert [measure.number for measure in unrolled.getElementsByClass("Measure")] == played


@pytest.mark.parametrize("written", [*map(demo_tune, NAMES), *CORNERS], ids=lambda one: one.title)
def test_reading_a_score_back_gives_the_same_tune(written: Tune) -> None:
    assert read_tune("back.musicxml", write_musicxml(written).encode()).tune == written
