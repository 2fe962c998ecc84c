"""The small rooms of notation: texts, symbols, formats, idioms, our own fields."""

from fractions import Fraction
from pathlib import Path

import pytest

from planner.findings import Gravity
from planner.music.tempo import Metre
from planner.music.tune import Note
from planner.notation.abc_bar_signs import read_bar_sign, read_passes
from planner.notation.abc_book import cut_book
from planner.notation.abc_keys import key_signature, read_key
from planner.notation.abc_part_order import expanded_order
from planner.notation.abc_text import decoded_text, encoded_text, without_comment
from planner.notation.abc_values import read_length, read_metre, read_unit
from planner.notation.formats import Format, format_of
from planner.notation.idioms import NAMED_IDIOMS, idiom_of
from planner.notation.own_fields import own_count, own_parts, own_tempo
from planner.notation.readtune import MOST_REMARKS, Remarks
from planner.notation.written import WrittenBar, WrittenNote
from planner.rules import load

IDIOM_FILES = Path(load.__file__).parent / "data" / "idioms"


# ABC 2.1, 8.2, gives these spellings.
@pytest.mark.parametrize(
    ("written", "text"),
    [
        (r"caf\'e", "café"),
        ("caf&eacute;", "café"),
        (r"caf\u00e9", "café"),
        (r"\"o \~n \^a \`a \cc \vs", "ö ñ â à ç š"),
        (r"\AA \ae \/o \ss", "Å æ ø ß"),
        (r"100\% \& \\", "100% & \\"),
        ("&copy; &amp;", "© &"),
        ("&nonsense;", "&nonsense;"),
        ("plain", "plain"),
        ("a\x00b\tc", "a b c"),
    ],
)
def test_texts_of_abc_are_decoded(written, text):
    assert decoded_text(written) == text


@pytest.mark.parametrize("text", ["50 % & more", r"back\slash", r"\% odd", "&amp;", "café"])
def test_an_encoded_text_decodes_to_itself(text):
    assert decoded_text(encoded_text(text)) == text
    assert without_comment(encoded_text(text)) == encoded_text(text)


def test_a_comment_begins_at_a_bare_percent_sign():
    assert without_comment("A B % c") == "A B "
    assert without_comment(r"T:50\% off % really") == r"T:50\% off "
    assert without_comment("%all") == ""


@pytest.mark.parametrize(
    ("fifths", "signature"),
    [(0, {}), (1, {"F": 1}), (2, {"F": 1, "C": 1}), (-1, {"B": -1}), (-2, {"B": -1, "E": -1})],
)
def test_key_signatures_by_the_circle_of_fifths(fifths, signature):
    assert key_signature(fifths) == signature


def test_pipe_keys_are_known_and_nonsense_is_not():
    assert read_key("HP").signature == read_key("Hp").signature == {"C": 1, "F": 1}
    assert read_key("HP").text == "HP"
    assert not read_key("Q#").is_known


@pytest.mark.parametrize(
    ("sign", "closes", "opens"),
    [("|", 0, 0), (":|", 2, 0), ("|:", 0, 2), ("::", 2, 2), ("::|", 3, 0), ("|::", 0, 3)],
)
def test_bar_signs(sign, closes, opens):
    read = read_bar_sign(sign)
    assert (read.closes, read.opens) == (closes, opens)


def test_passes_of_endings():
    assert read_passes("1,3") == (1, 3)
    assert read_passes("1-3,5") == (1, 2, 3, 5)
    assert read_passes("3-1") is None
    assert read_passes("0") is None


def test_orders_of_parts():
    assert expanded_order("A2(BC)2.D") == "AABCBCD"
    assert expanded_order("((((A9)9)9)9)") == ""
    assert expanded_order("a-b") == ""


def test_values_that_make_no_sense_are_none():
    assert [read_metre(text) for text in ("0/4", "4/0", "4", "x/y", "3/5")] == [None] * 5
    assert [read_unit(text) for text in ("0", "1/0", "1/3", "x")] == [None] * 4
    assert [read_length(text) for text in ("0", "/0", "1/0", "2/3/4")] == [None] * 4


def test_a_book_is_cut_at_its_numbers():
    header, tunes = cut_book("C:x\n\nX:1\nT:a\n\nX:2\nT:b\nX:3\nT:c\n")
    assert [line for _, line in header] == ["C:x"]
    assert [tune.lines[0] for tune in tunes] == [(3, "X:1"), (6, "X:2"), (8, "X:3")]


@pytest.mark.parametrize(
    ("name", "content", "kind"),
    [
        ("a.abc", b"X:1\n", Format.ABC),
        ("a.txt", b"anything", Format.ABC),
        ("a.abc", b"<free text>\n\nX:1\n", Format.ABC),
        ("a.musicxml", b"<?xml version='1.0'?>", Format.XML),
        ("a.mei", b"\xef\xbb\xbf \n<mei/>", Format.XML),
        ("a.xml", "<score/>".encode("utf-16"), Format.XML),
        ("a", b"PK\x03\x04", Format.COMPRESSED),
        ("a", b"MThd", Format.MIDI),
    ],
)
def test_formats_are_told_by_content_first(name, content, kind):
    assert format_of(name, content) is kind


@pytest.mark.parametrize(
    ("words", "idiom"),
    [
        ("march", "march"),
        ("6/8 March", "march"),
        ("Marches", None),
        ("Strathspey", "strathspey"),
        ("pointed reel", "pointed reel"),
        ("Round Reel", "round reel"),
        ("reel", "reel"),
        ("slip jig", "jig"),
        ("double jig", "jig"),
        ("hornpipe", "hornpipe"),
        ("Slow Air", "slow air"),
        ("waltz", "waltz"),
        ("nocturne", None),
        ("", None),
    ],
)
def test_tune_types_in_words(words, idiom):
    assert idiom_of(words) == idiom


def test_every_idiom_that_words_lead_to_is_in_the_rule_book():
    in_the_book = {path.stem.replace("_", " ") for path in IDIOM_FILES.glob("*.toml")}
    assert in_the_book >= NAMED_IDIOMS


def test_remarks_beyond_a_limit_are_counted_but_a_refusal_is_kept():
    remarks = Remarks()
    for _ in range(MOST_REMARKS + 5):
        remarks.add("odd", "odd")
    remarks.add("grave", "grave", Gravity.REFUSE)
    found = remarks.findings({})
    assert sum(one.code == "odd" for one in found) == MOST_REMARKS
    assert [one.text for one in found if one.code in ("grave", "more_findings")] == [
        "grave",
        "5 more findings of this tune are not listed",
    ]


def written(*lengths):
    notes = [WrittenNote(None, Fraction(length)) for length in lengths]
    return WrittenBar(0, Metre(2, 4), notes)


def test_notes_that_were_split_to_be_written_are_whole_again():
    own = {"bars": "p1b1e0", "joins": "00", "splits": "p1b1e0n0=2", "parts": "2"}
    (part,) = own_parts(own, [written("1", "1/4", "3/4")])
    assert part.times == 2
    assert part.bars[0].notes == (Note(None, Fraction(5, 4)), Note(None, Fraction(3, 4)))


@pytest.mark.parametrize(
    "own",
    [
        {},
        {"bars": "p1b1e0 p1b2e0", "joins": "00 00", "parts": "1"},
        {"bars": "nonsense", "joins": "00", "parts": "1"},
        {"bars": "p1b1e0", "joins": "0", "parts": "1"},
        {"bars": "p1b1e0", "joins": "00", "parts": "1 1"},
        {"bars": "p1b1e0", "joins": "00", "parts": "x"},
        {"bars": "p1b1e2", "joins": "00", "parts": "2:1"},
        {"bars": "p2b1e0", "joins": "00", "parts": "1"},
    ],
)
def test_own_fields_that_do_not_fit_the_notes_are_not_believed(own):
    assert own_parts(own, [written("1", "1")]) is None


def test_own_numbers_are_read_or_left_out():
    assert own_tempo({"tempo": "84.5"}).bpm == 84.5
    assert own_tempo({"tempo": "fast"}) is None
    assert own_count({"line-bars": "4"}, "line-bars") == 4
    assert own_count({"line-bars": "-4"}, "line-bars") is None
