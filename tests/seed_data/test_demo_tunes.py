"""Are the demo band's tunes playable pipe music, spelled the way pipers spell it?

Written before the engine could judge them: the movements come from the small table beside this
file, not from the rule book.
"""

from collections import Counter
from fractions import Fraction
from itertools import pairwise
from pathlib import Path

import pytest

from planner.notation.check import check_tune
from planner.notation.read import read_tunes
from tests.seed_data.movement_table import movement_name
from tests.seed_data.played import FILES, LETTERS, band, graces, heard, letter, passes, read

every_tune = pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)


@every_tune
def test_a_tune_reads_without_a_remark(file: Path) -> None:
    (found,) = read_tunes(file.name, file.read_bytes())

    assert [str(finding) for finding in (*found.findings, *check_tune(found.tune))] == []


@every_tune
def test_every_note_and_gracenote_is_on_the_chanter(file: Path) -> None:
    for part in read(file).parts:
        for bar in part.bars:
            for note in bar.notes:
                assert note.pitch is not None
                assert {p.name for p in (note.pitch, *note.gracenotes)} <= LETTERS.keys()


@every_tune
def test_every_gracenote_group_is_a_movement_right_for_its_note_and_the_note_before(
    file: Path,
) -> None:
    wrong = [
        f"{sound.where}: {sound.gracenotes} before {sound.note} coming from {sound.came_from}"
        for sound in heard(read(file))
        if sound.gracenotes and movement_name(sound.gracenotes, sound.note, sound.came_from) is None
    ]

    assert wrong == []


@every_tune
def test_two_notes_alike_are_separated_by_a_gracenote(file: Path) -> None:
    joined = [
        sound.where
        for sound in heard(read(file))
        if sound.note == sound.came_from and not sound.gracenotes
    ]

    assert joined == []


@every_tune
def test_a_part_has_eight_bars_or_four_repeated(file: Path) -> None:
    for part in read(file).parts:
        assert part.times == 2
        for bars in passes(part):
            assert sum(not bar.is_pickup for bar in bars) in (4, 8)


@every_tune
def test_every_pass_of_a_part_fills_its_bars_with_the_pick_up_borrowed_from_the_last(
    file: Path,
) -> None:
    tune = read(file)
    for part in tune.parts:
        for bars in passes(part):
            length = sum((bar.length for bar in bars), Fraction(0))
            full = sum(not bar.is_pickup for bar in bars)
            assert part.pickup is not None
            assert length == full * tune.metre.bar_length


@every_tune
def test_every_pass_of_a_part_ends_on_the_tonal_centre(file: Path) -> None:
    centre = {tune["key"]: tune["tonal_centre"] for tune in band()["tune"]}[file.stem]
    for part in read(file).parts:
        for bars in passes(part):
            assert letter(bars[-1].notes[-1]).upper() == centre


@every_tune
def test_most_movements_of_the_hands_fall_on_a_beat(file: Path) -> None:
    tune = read(file)
    grid = tune.metre.beat_length if tune.metre.is_compound else Fraction(1)
    on_beat = Counter(
        onset % grid == 0
        for part in tune.parts
        for bar in part.full_bars
        for note, onset in zip(bar.notes, bar.onsets(), strict=True)
        if len(note.gracenotes) > 1
    )

    four_in_five = 4 * on_beat[False]
    assert on_beat[True] >= four_in_five


@every_tune
def test_some_notes_are_plain_and_some_are_graced(file: Path) -> None:
    sounds = tuple(heard(read(file)))
    graced = sum(bool(sound.gracenotes) for sound in sounds)

    assert 0.3 < graced / len(sounds) < 0.8


@every_tune
def test_a_figure_comes_round_again(file: Path) -> None:
    tune = read(file)
    bars = Counter(
        tuple((graces(note), letter(note), note.length) for note in bar.notes)
        for part in tune.parts
        for bar in part.full_bars
    )

    assert any(times > 1 for times in bars.values())


def test_the_band_has_every_kind_of_tune_it_needs() -> None:
    tunes = [read(file) for file in FILES]
    by_idiom = Counter((tune.idiom, str(tune.metre)) for tune in tunes)

    assert by_idiom["march", "2/4"] >= 3
    assert by_idiom["march", "6/8"] >= 2
    assert by_idiom["strathspey", "C"] >= 3
    for kind in (("march", "4/4"), ("march", "9/8"), ("march", "3/4"), ("jig", "6/8")):
        assert by_idiom[kind] >= 1
    assert {"pointed reel", "round reel", "hornpipe", "slow air"} <= {t.idiom for t in tunes}


@pytest.mark.parametrize("idiom", ["march", "strathspey", "pointed reel"])
def test_the_contest_tunes_have_four_parts(idiom: str) -> None:
    assert any(len(tune.parts) == 4 for tune in map(read, FILES) if tune.idiom == idiom)


def test_the_tunes_centre_on_four_different_notes() -> None:
    assert {tune["tonal_centre"] for tune in band()["tune"]} == {"A", "B", "D", "G"}


def test_the_tunes_use_every_sort_of_movement_a_piper_learns() -> None:
    used = {
        movement_name(sound.gracenotes, sound.note, sound.came_from)
        for file in FILES
        for sound in heard(read(file))
    }

    assert used >= {
        "high G gracenote",
        "D gracenote",
        "E gracenote",
        "strike",
        "doubling",
        "thumb doubling",
        "half doubling",
        "throw on D",
        "grip",
        "taorluath",
        "taorluath from D",
        "half taorluath",
        "birl",
        "birl from low A",
    }


def test_a_strathspey_has_a_tachum() -> None:
    # High G on a short C, then a D gracenote on a long low A (Davidson, exercises for the tachum).
    pairs = [
        pair
        for tune in map(read, FILES)
        if tune.idiom == "strathspey"
        for part in tune.parts
        for bar in part.bars
        for pair in pairwise(bar.notes)
    ]

    assert any(
        (letter(short), letter(long)) == ("c", "A")
        and (graces(short), graces(long)) == ("g", "d")
        and 2 * short.length <= long.length
        for short, long in pairs
    )


@pytest.mark.parametrize(
    ("gracenotes", "note", "came_from"),
    [
        ("g", "e", "a"),  # high G cannot be sounded as a gracenote from high A
        ("GdG", "G", "A"),  # a grip never lands on low G
        ("GdGe", "A", "d"),  # from D the B gracenote is used
        ("AGAG", "A", "A"),  # from low A the birl starts with low G
    ],
)
def test_the_table_refuses_what_cannot_be_played(
    gracenotes: str, note: str, came_from: str
) -> None:
    assert movement_name(gracenotes, note, came_from) is None
