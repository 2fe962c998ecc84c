"""Every file is read, or refused in one sentence that says what, where and what to do."""

import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.errors import NotationError
from planner.findings import Gravity
from planner.notation.read import read_tune, read_tunes, refuse
from planner.notation.write import write_abc
from tests.builders import tune

TUNE = write_abc(tune("2/4 |: e | {g}A2 (3Bcd | [1 A4 :| [2 [M:3/4] e6 |]", rhythm="reel"))


def sentence(content, name="my tune.abc"):
    with pytest.raises(NotationError) as error:
        read_tunes(name, content)
    text = str(error.value)
    assert text.startswith(name)
    assert text.endswith(".")
    assert "\n" not in text
    return text


def test_an_abc_file_gives_its_tunes():
    (read,) = read_tunes("a.abc", TUNE.encode())
    assert read.tune.title == "Test tune"


@pytest.mark.parametrize("content", [b"", b"  \n\n", b"\r\n"])
def test_an_empty_file(content):
    assert "the file is empty; choose a file that holds a tune" in sentence(content)


def test_a_file_beyond_two_megabytes_is_not_even_looked_at():
    started = time.process_time()
    assert "5.0 MB, more than the 2 MB allowed" in sentence(b"X:1\n" * 1_250_000)
    assert time.process_time() - started < 0.1


def test_text_that_is_no_music():
    assert "no tune was found in it" in sentence(b"Dear band,\npractice is on Tuesday.\n")


def test_binary_rubbish():
    assert "it is no music file" in sentence(bytes(range(256)) * 20)
    assert "it is no music file" in sentence(b"\x89PNG\r\n\x1a\n" + b"\x00\x01\x02" * 900, "a.png")


@pytest.mark.parametrize(
    "content",
    [b"<html><body>X:1</body></html>", b"<a><b></a>", b"<?xml version='1.0'?><svg/>", b"<"],
)
def test_xml_that_is_no_music(content):
    assert "export" in sentence(content, "tune.xml")


@pytest.mark.parametrize("content", [b"PK\x03\x04", b"PK\x03\x04" + b"x" * 500])
def test_a_broken_archive(content):
    assert "compressed file is broken" in sentence(content, "tune.mxl")


def test_old_encodings_are_read_with_a_finding():
    text = TUNE.replace("Test tune", "Café")
    (latin,) = read_tunes("a.abc", text.encode("latin-1"))
    assert latin.tune.title == "Café"
    assert "encoding" in {one.code for one in latin.findings}


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16"])
def test_unicode_with_and_without_its_mark(encoding):
    (read,) = read_tunes("a.abc", TUNE.replace("Test tune", "Café").encode(encoding))
    assert read.tune.title == "Café"
    assert "encoding" not in {one.code for one in read.findings}


def test_findings_of_reading_come_before_those_of_checking():
    (read,) = read_tunes("a.abc", b"X:1\nT:x\nR:reel\nM:C|\nL:1/8\nK:HP\nA8|B9|=c8|]\n")
    codes = [one.code for one in read.findings]
    assert codes == ["reel_sort", "bar_length", "off_chanter"]


def test_one_tune_is_asked_for_and_several_are_named():
    assert read_tune("a.abc", TUNE.encode()).tune.title == "Test tune"
    with pytest.raises(NotationError, match=r"it holds 2 tunes .*; choose one of them"):
        read_tune("a.abc", (TUNE + "\n" + TUNE).encode())


def test_the_first_grave_finding_becomes_the_sentence():
    (read,) = read_tunes("a.abc", b"X:1\nT:x\nM:2/4\nL:1/8\nK:HP\nA4|B3|c4|]\n")
    with pytest.raises(NotationError, match=r"a\.abc, part 1, bar 2: the bar holds 1 1/2"):
        refuse("a.abc", read.findings)


def test_the_remedy_of_a_finding_is_the_remedy_of_the_sentence():
    (read,) = read_tunes("a.abc", b"X:1\nT:x\nM:2/4\nL:1/8\nK:Q\nA4|]\n")
    with pytest.raises(NotationError) as error:
        refuse("a.abc", read.findings)
    assert str(error.value) == "a.abc, line 5: the key Q is not known; write K:HP for the pipes."


def test_lighter_findings_refuse_nothing():
    (read,) = read_tunes("a.abc", TUNE.encode())
    assert all(one.gravity is not Gravity.REFUSE for one in read.findings)
    refuse("a.abc", read.findings)


@pytest.mark.parametrize("sign", ["{", "[", '"', "(", "[A:", "!", "<", "|:", "^", "%", "\\", "3"])
def test_a_hundred_thousand_of_one_sign_take_no_time(sign):
    started = time.process_time()
    read_tunes("a.abc", (TUNE + sign * (100_000 // len(sign)) + "\n").encode())
    assert time.process_time() - started < 3


@st.composite
def damaged(draw):
    text = bytearray(TUNE.encode())
    for _ in range(draw(st.integers(1, 8))):
        place = draw(st.integers(0, len(text)))
        length = draw(st.integers(0, 6))
        signs = draw(st.binary(max_size=2) | st.sampled_from(MEANINGFUL))
        text[place : place + length] = signs
    return bytes(text)


SIGNS = "|:,:|,[1,{,},[M:,[,],(,(3,>,<<,-,\n,%,!,x,Z9,Q:,K:,V:2"
MEANINGFUL = [sign.encode() for sign in SIGNS.split(",")]


@settings(max_examples=150, deadline=None)
@given(damaged())
def test_a_damaged_file_is_read_or_refused_and_never_fails_otherwise(content):
    try:
        tunes = read_tunes("a.abc", content)
    except NotationError as refusal:
        assert str(refusal).startswith("a.abc")  # noqa: PT017 - either outcome is right
    else:
        assert all(read.tune.title for read in tunes)


@settings(max_examples=60, deadline=None)
@given(st.binary(max_size=200))
def test_any_bytes_are_read_or_refused(content):
    try:
        read_tunes("a.abc", content)
    except NotationError as refusal:
        assert str(refusal).endswith(".")  # noqa: PT017 - either outcome is right
