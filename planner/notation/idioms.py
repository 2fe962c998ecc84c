"""Which idiom does a tune type in words mean?

The words of an ``R:`` field, a title or a MusicXML file are free text. The idioms' names are those
of the rule book. A plain "reel" does not say whether it is pointed or round: the notes decide, and
a finding says so.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from planner.music.tune import Part

# The first word found decides, so that "slip jig" comes before "jig" and "slow air" before "march".
_WORDS = (
    ("slow air", "slow air"),
    ("strathspey", "strathspey"),
    ("pointed reel", "pointed reel"),
    ("round reel", "round reel"),
    ("reel", "reel"),
    ("slip jig", "jig"),
    ("jig", "jig"),
    ("hornpipe", "hornpipe"),
    ("waltz", "waltz"),
    ("lament", "slow air"),
    ("hymn", "slow air"),
    ("air", "slow air"),
    ("retreat", "march"),
    ("quickstep", "march"),
    ("quick step", "march"),
    ("march", "march"),
)
#: Every idiom these words can lead to; a plain "reel" is one of the two.
NAMED_IDIOMS = frozenset(idiom for _, idiom in _WORDS) - {"reel"}


def idiom_of(rhythm: str) -> str | None:
    """The idiom a tune type in words names; ``reel`` where it does not say which; None if none."""
    words = " ".join(re.sub(r"[^a-z]", " ", rhythm.lower()).split())
    for word, idiom in _WORDS:
        if re.search(rf"\b{word}s?\b", words):
            return idiom
    return None


def reel_idiom(parts: Iterable[Part]) -> str:
    """``pointed reel`` when the tune has dotted or cut pairs, else ``round reel``."""
    return "pointed reel" if any(_has_pair(part) for part in parts) else "round reel"


def _has_pair(part: Part) -> bool:
    for bar in part.bars:
        for first, second in zip(bar.notes, bar.notes[1:], strict=False):
            if first.length == 3 * second.length or second.length == 3 * first.length:
                return True
    return False
