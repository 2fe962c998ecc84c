"""Which notes does a ``K:`` field sharpen or flatten?

``HP`` and ``Hp`` are the Highland pipe keys of ABC 2.1, 3.1.14: both sound C sharp, F sharp and
G natural; they differ in what is printed. Any other key has its usual signature by tonic and mode.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

PIPE_KEYS = ("HP", "Hp")
PIPE_SIGNATURE = {"C": 1, "F": 1}

_FIFTHS = {"F": -1, "C": 0, "G": 1, "D": 2, "A": 3, "E": 4, "B": 5}
_SHARPS = "FCGDAEB"
_MODES = {
    "": 0,
    "maj": 0,
    "ion": 0,
    "mix": -1,
    "dor": -2,
    "m": -3,
    "min": -3,
    "aeo": -3,
    "phr": -4,
    "loc": -5,
    "lyd": 1,
    "exp": 0,
}
_KEY = re.compile(r"([A-Ga-g])([#b]?)\s*([A-Za-z]*)")
_ACCIDENTAL = re.compile(r"(\^\^?|__?|=)([A-Ga-g])")
_ALTER = {"^^": 2, "^": 1, "=": 0, "_": -1, "__": -2}
# Words that say which clef is drawn, and nothing of the notes.
_CLEF = re.compile(
    r"(?:\b(?:clef|middle|m|transpose|t|octave|stafflines|style|shift|score|sound|instrument)="
    r"\S*|(?<=\s)(?:treble|bass|tenor|alto|perc)\S*)"
)


@dataclass(frozen=True, slots=True)
class Key:
    """A key: its text as written, and the alteration of each step its signature names.

    ``is_known`` is False when the text names no key; the signature is then that of the pipes.
    """

    text: str
    signature: dict[str, int]
    is_known: bool = True


def read_key(value: str) -> Key:
    """The key of a ``K:`` field's value; what it says of clefs is left out."""
    text = " ".join(_CLEF.sub("", f" {value}").split())
    accidentals = {step.upper(): _ALTER[sign] for sign, step in _ACCIDENTAL.findall(text)}
    plain = _ACCIDENTAL.sub("", text).strip()
    first = plain.split(" ")[0]
    if first.upper() == "HP":
        name = first if first in PIPE_KEYS else "HP"
        return Key(text.replace(first, name, 1), PIPE_SIGNATURE | accidentals)
    if first.lower() in ("", "none"):
        return Key(text or "none", accidentals)
    match = _KEY.match(plain)
    if match is None or _mode(match.group(3)) is None:
        return Key(text, dict(PIPE_SIGNATURE), is_known=False)
    if match.group(3).lower() == "exp" or plain.lower().endswith(" exp"):
        return Key(text, accidentals)
    return Key(text, key_signature(_fifths(match)) | accidentals)


def key_signature(fifths: int) -> dict[str, int]:
    """The signature with so many sharps (negative: flats)."""
    if fifths >= 0:
        return {step: 1 for step in _SHARPS[: min(fifths, 7)]}
    return {step: -1 for step in _SHARPS[::-1][: min(-fifths, 7)]}


def _fifths(match: re.Match[str]) -> int:
    raised = {"#": 7, "b": -7, "": 0}[match.group(2)]
    return _FIFTHS[match.group(1).upper()] + raised + (_mode(match.group(3)) or 0)


def _mode(word: str) -> int | None:
    """How many fifths a mode lies from its major key, or None for no mode. Three letters count."""
    return _MODES.get(word if word in ("", "m") else word[:3].lower())
