"""The demo tunes as they are read, and their notes in the order in which they are heard."""

import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

from planner.music.tune import Bar, Note, Part, Tune
from planner.notation.read import read_tunes

SEED_DATA = Path(__file__).parents[2] / "seed_data"
FILES = tuple(sorted((SEED_DATA / "tunes").glob("*.abc")))
LETTERS = dict(
    zip(
        ("low G", "low A", "B", "C", "D", "E", "F", "high G", "high A"),
        "GABcdefga",
        strict=True,
    )
)


@dataclass(frozen=True)
class Heard:
    """A note as it is heard, with the note before it; the last note leads to the first again."""

    note: str
    gracenotes: str
    came_from: str
    where: str


def read(file: Path) -> Tune:
    """The one tune of a file, without looking at what the reader found."""
    return read_tunes(file.name, file.read_bytes())[0].tune


def heard(tune: Tune) -> Iterator[Heard]:
    """Every note of the tune in playing order, repeats and endings unrolled, tune played again."""
    notes = [
        (note, f"part {part.number}, bar {bar.number}, ending {bar.ending}, note {index + 1}")
        for part in tune.parts
        for bar in part.played_bars()
        for index, note in enumerate(bar.notes)
    ]
    for (before, _), (note, where) in pairwise([notes[-1], *notes]):
        yield Heard(letter(note), graces(note), letter(before), where)


def passes(part: Part) -> Iterator[tuple[Bar, ...]]:
    """The bars of each time through the part."""
    for number in range(1, part.times + 1):
        yield tuple(part.bars_in_pass(number))


def letter(note: Note) -> str:
    """The note as one letter, low G to high A: G A B c d e f g a."""
    assert note.pitch is not None, "the demo tunes have no rests"
    return LETTERS[note.pitch.name]


def graces(note: Note) -> str:
    """The gracenotes before a note as letters."""
    return "".join(LETTERS[pitch.name] for pitch in note.gracenotes)


def band() -> dict[str, list[dict[str, object]]]:
    """The demo band's file as it stands."""
    return tomllib.loads((SEED_DATA / "band.toml").read_text(encoding="utf-8"))
