"""The tunes of the open collections that fit the chanter's nine notes, as they stand in print.

Four tune books ship with music21 and are read where it installed them; nothing of them is kept
here. Their tunes are fiddle and flute music with few gracenotes, so each is also dressed: the rule
book's movements are put, by chance, on notes that may carry them.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from itertools import cycle, islice, pairwise
from pathlib import Path
from random import Random

import music21

from planner.music.scale import CHANTER, chanter_pitch
from planner.music.tune import Note, Part, Tune
from planner.notation.abc import read_abc
from planner.notation.abc_book import cut_book
from planner.plan import chosen_tempo
from tests.properties.graced_tunes import IDIOMS, SPELLINGS
from tests.properties.plans import RULES

CORPUS = Path(music21.__file__).parent / "corpus"
COLLECTIONS = ("airdsAirs", "ryansMammoth", "oneills1850", "miscFolk")
#: What is not a note of the tune: fields, texts, decorations, gracenotes.
_NO_MELODY = re.compile(
    r'^[A-Za-z]:(?![|:]).*|%.*|"[^"\n]*"|![^!\n]*!|\[[A-Za-z]:[^\]\n]*\]|\{[^}\n]*\}', re.MULTILINE
)
_OFF_THE_CHANTER = re.compile(r"[C-Fb_,]")
"""Letters of notes below low G or above high A, whatever the key."""


@cache
def open_tunes(every: int = 1) -> tuple[Tune, ...]:
    """Every so many-th of the tunes, as printed and dressed, each in an idiom and at a tempo."""
    chosen = list(_tunes_that_fit())[::every]
    ready = [_ready(tune, idiom) for tune, idiom in zip(chosen, cycle(IDIOMS), strict=False)]
    return tuple(tune for seed, plain in enumerate(ready) for tune in (plain, dressed(plain, seed)))


def dressed(tune: Tune, seed: int) -> Tune:
    """The tune with movements on some two thirds of its notes, the same on every machine."""
    chance = Random(seed)
    notes = [note for part in tune.parts for bar in part.bars for note in bar.notes]
    worn = iter([_dressed_note(note, before, chance) for before, note in pairwise([None, *notes])])
    return replace(tune, parts=tuple(_with_notes(part, worn) for part in tune.parts))


def _with_notes(part: Part, notes: Iterator[Note]) -> Part:
    bars = (replace(bar, notes=tuple(islice(notes, len(bar.notes)))) for bar in part.bars)
    return replace(part, bars=tuple(bars))


def _dressed_note(note: Note, before: Note | None, chance: Random) -> Note:
    is_tied_over = before is not None and before.tied_on
    if note.pitch is None or is_tied_over or chance.random() < 0.35:
        return note
    came_from = before.pitch.name if before and before.pitch else "low A"
    spellings = SPELLINGS[note.pitch.name, came_from, chance.random() < 0.5]
    if not spellings:
        return note
    return replace(note, gracenotes=tuple(map(chanter_pitch, chance.choice(spellings))))


def _ready(tune: Tune, idiom: str) -> Tune:
    played = tune.idiom or idiom
    return replace(tune, idiom=played, tempo=chosen_tempo(tune, played, RULES))


def _tunes_that_fit() -> Iterator[Tune]:
    for text in _texts():
        if not _OFF_THE_CHANTER.search(_NO_MELODY.sub("", text)):
            yield from (read.tune for read in read_abc(text) if _fits(read.tune))


def _texts() -> Iterator[str]:
    for collection in COLLECTIONS:
        for path in sorted((CORPUS / collection).rglob("*.abc")):
            for lines in cut_book(path.read_bytes().decode("utf-8", errors="replace"))[1]:
                yield "\n".join(line for _, line in lines.lines) + "\n"


def _fits(tune: Tune) -> bool:
    notes = [note for part in tune.parts for bar in part.bars for note in bar.notes]
    sounds = [pitch for note in notes for pitch in (note.pitch, *note.gracenotes) if pitch]
    return bool(sounds) and all(pitch in CHANTER for pitch in sounds)
