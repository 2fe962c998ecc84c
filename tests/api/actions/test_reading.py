"""What an uploaded file holds, and what the band lays over it."""

from dataclasses import replace

import pytest

from api.actions import reading
from api.actions.faults import RefusedMusicError, SeveralTunesError, TooLargeError
from api.actions.reading import (
    as_the_band_has_it,
    choose_tunes,
    forget_read,
    library_tune,
    read_music,
    refuse_music,
)
from api.actions.records import NewFile, StoredFile, TuneRecord
from api.storage.uploads import content_hash
from planner.errors import RequestError
from planner.findings import Finding, Gravity
from planner.music.tune import Credits
from planner.notation.read import ReadTune, read_tunes
from tests.api.library import march

LIMIT = 2_000_000
TWO = march("First") + b"\n" + march("Second", 2)


def abc(content: bytes, name: str = "tune.abc") -> NewFile:
    return NewFile(name, "text/vnd.abc", content)


def a_record(content: bytes, number: int = 1) -> TuneRecord:
    file = StoredFile(1, "tune.abc", "text/vnd.abc", content_hash(content), len(content))
    return TuneRecord(key="1", title="Our Name", file=file, file_number=number)


def test_the_limit_itself_is_allowed_and_one_byte_more_is_not() -> None:
    content = march()
    assert read_music(abc(content), len(content))
    with pytest.raises(TooLargeError, match=r"tune\.abc is larger than"):
        read_music(abc(content), len(content) - 1)


def test_a_file_of_one_tune_needs_no_choice() -> None:
    chosen = choose_tunes("tune.abc", read_music(abc(march()), LIMIT), None)
    assert [(number, read.tune.title) for number, read in chosen] == [(1, "The Wicker Gate")]


def test_a_file_of_two_tunes_offers_them() -> None:
    with pytest.raises(SeveralTunesError, match="holds 2 tunes") as refused:
        choose_tunes("two.abc", read_music(abc(TWO), LIMIT), None)
    assert [(tune.number, tune.title) for tune in refused.value.tunes] == [
        (1, "First"),
        (2, "Second"),
    ]


@pytest.mark.parametrize(("numbers", "chosen"), [([], [1, 2]), ([2], [2]), ([2, 1, 2], [2, 1])])
def test_a_choice_is_taken_in_its_order_and_once(numbers: list[int], chosen: list[int]) -> None:
    found = choose_tunes("two.abc", read_music(abc(TWO), LIMIT), numbers)
    assert [number for number, _ in found] == chosen


def test_a_number_beyond_the_file_is_refused() -> None:
    with pytest.raises(RequestError, match="no tune 3; choose 1 to 2"):
        choose_tunes("two.abc", read_music(abc(TWO), LIMIT), [3])


def test_only_a_grave_finding_keeps_a_tune_out() -> None:
    read = read_music(abc(march()), LIMIT)[0]
    mild, grave = Finding("mild", "odd"), Finding("grave", "wrong", "bar 2", Gravity.REFUSE)
    refuse_music("tune.abc", [replace(read, findings=(mild,))])
    with pytest.raises(RefusedMusicError, match="bar 2: wrong; correct it"):
        refuse_music("tune.abc", [replace(read, findings=(mild, grave))])


def test_the_bands_words_are_laid_over_the_file_and_the_rest_stays() -> None:
    record = replace(
        a_record(march()), tempo_bpm=70.0, phrase_bars=4, credits=Credits(arranger="Nan Ridd")
    )
    tune = library_tune(record, march()).tune
    assert tune is not None
    assert tune.tempo is not None
    assert (tune.title, tune.tempo.bpm, tune.phrase_bars) == ("Our Name", 70.0, 4)
    assert (tune.idiom, tune.credits.arranger, tune.has_notes) == ("march", "Nan Ridd", True)


def test_the_second_tune_of_a_file_is_the_second() -> None:
    content = march("First", bars="A4|B4|") + b"\n" + march("Second", 2)
    tune = library_tune(a_record(content, 2), content).tune
    assert tune is not None
    assert tune.bars_played == as_the_band_has_it(a_record(content), tune).bars_played == 16


@pytest.mark.parametrize(("content", "number"), [(b"no music", 1), (march(), 2)])
def test_a_stored_file_that_can_no_longer_be_read_leaves_a_finding(
    content: bytes, number: int
) -> None:
    found = library_tune(a_record(content, number), content)
    assert found.tune is None
    assert [finding.code for finding in found.findings] == ["unreadable"]


def test_a_file_that_is_known_by_its_content_is_not_read_again(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    read: list[str] = []

    def counted(name: str, content: bytes) -> tuple[ReadTune, ...]:
        read.append(name)
        return read_tunes(name, content)

    monkeypatch.setattr(reading, "read_tunes", counted)
    forget_read()
    content = march("Told Once")
    first = read_music(abc(content), LIMIT)
    assert read_music(abc(content), LIMIT) is first
    assert library_tune(a_record(content), content).tune is not None
    # another name is another file: its messages name it, and a few formats go by the name
    read_music(abc(content, "again.abc"), LIMIT)
    assert read == ["tune.abc", "again.abc"]
