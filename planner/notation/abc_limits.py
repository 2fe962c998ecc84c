"""Is an ABC file larger in some way than music can be?

Reading takes time by the character; a file made to keep the reader busy has one tune
without end, or tunes without number. It is refused before anything is read of it.
"""

from __future__ import annotations

import re
from itertools import pairwise

from planner.errors import NotationError

# How long can a tune be? 512 bars written out with gracenotes take some 30,000 characters.
LONGEST_TUNE = 120_000
# How many tunes can a book hold? The largest printed collections have two thousand.
MOST_TUNES = 5_000
_TUNE_START = re.compile(r"^X:", re.MULTILINE)


def refuse_what_no_tune_has(name: str, text: str) -> None:
    """Stop at a tune, a file header or a book that is too long to be music.

    Raises:
        NotationError: one of the limits is passed.
    """
    text = text.replace("\r", "\n")
    starts = [found.start() for found in _TUNE_START.finditer(text)]
    if len(starts) > MOST_TUNES:
        problem = f"it holds {len(starts):,} tunes, more than the {MOST_TUNES:,} a file may have"
        raise NotationError(name, "", problem, "split it into smaller books")
    for start, end in pairwise([0, *starts, len(text)]):
        if end - start > LONGEST_TUNE:
            where = f"line {text.count(chr(10), 0, start) + 1}"
            problem = f"the tune has {end - start:,} characters, too many for one tune"
            raise NotationError(name, where, problem, "split it, or leave out what is no music")
