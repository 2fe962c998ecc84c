"""A drum score in a file of either kind: JSON as the grid keeps it, or MusicXML."""

from __future__ import annotations

from planner.music.drums import DrumScore
from planner.notation.drum_text import read_drum_text
from planner.notation.imported import read_drum_score


def read_drum_file(name: str, content: bytes) -> DrumScore:
    """The drum score of a file; its name tells which kind it is.

    Raises:
        NotationError: it is neither, or holds no drum notes.
        WorkerError: reading took too long.
    """
    if name.casefold().endswith(".json"):
        return read_drum_text(name, content.decode("utf-8", errors="replace"))
    return read_drum_score(name, content)
