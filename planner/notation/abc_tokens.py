"""Which signs stand in a line of ABC music, one after the other?

One pattern names every sign of the standard's tune body. No alternative runs past a sign that
could begin another of its kind, so the cost is linear in the length of the line.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

_LENGTH = r"\d*(?:/+\d*)?"

_TOKEN = re.compile(
    rf"""
     (?P<note>(?P<accidental>\^\^?|__?|=)?(?P<step>[A-Ga-g])(?P<octave>[,']*)(?P<length>{_LENGTH}))
    |(?P<space>[ \t]+)
    |(?P<gracenotes>\{{[^{{}}]*\}})
    |(?P<bar>\.?\[\|\](?!\|)|\.?(?:\[\||:*\|)(?:[|:\]]|\[(?=\|))*|::+)
    |(?P<ending>\[?\d{{1,3}}(?:[,-]\d{{1,3}})*)
    |(?P<field>\[[A-Za-z]:[^\[\]]*\])
    |(?P<chord>\[[^\[\]|]*\]{_LENGTH})
    |(?P<long_rest>[ZX]\d{{0,4}})
    |(?P<rest>[zx](?P<rest_length>{_LENGTH}))
    |(?P<broken><+|>+)
    |(?P<tuplet>\(\d{{1,2}}(?::\d{{0,2}}){{0,2}})
    |(?P<slur>\.?[()])
    |(?P<tie>\.?-)
    |(?P<text>"[^"]*")
    |(?P<decoration>![^!|\s][^!|]*!|\+[^+|\s]+\+|[~.HLMOPSTuv])
    |(?P<line_break>[$!])
    |(?P<glue>`+|y\d*|\*+)
    |(?P<continued>\\)
    |(?P<overlay>&)
    |(?P<stray>.)
    """,
    re.VERBOSE | re.ASCII,
)

GRACENOTE = re.compile(
    rf"(?P<accidental>\^\^?|__?|=)?(?P<step>[A-Ga-g])(?P<octave>[,']*){_LENGTH}|(?P<other>[^\s/<>])"
)
CHORD_NOTE = re.compile(
    r"(?P<accidental>\^\^?|__?|=)?(?P<step>[A-Ga-g])(?P<octave>[,']*)(?P<length>\d*(?:/+\d*)?)"
)


def tokens(line: str) -> Iterator[re.Match[str]]:
    """The signs of a line in order; ``lastgroup`` of each names its kind."""
    return _TOKEN.finditer(line)
