"""Which words can be chosen in the forms? (value, words) pairs, the same on every page."""

from __future__ import annotations

from planner.event.event import (
    SORTS_BY_OCCASION,
    Circumstance,
    Drums,
    Occasion,
    Setting,
    Sort,
)

Choices = tuple[tuple[str, str], ...]

SORT_WORDS = {
    Sort.OWN_BAND: "own band",
    Sort.MASSED: "massed bands",
    Sort.LONG_COLUMN: "long column",
    Sort.FLOOR: "",
    Sort.MARCH_STRATHSPEY_REEL: "march, strathspey and reel",
    Sort.MEDLEY: "medley",
    Sort.STANDING: "standing",
    Sort.SOLO: "solo piper at a ceremony",
}
OCCASIONS: Choices = tuple((each.value, each.words) for each in Occasion)
CIRCUMSTANCES: Choices = (
    (Circumstance.LEARNERS.value, "Learners in the line-up"),
    (Circumstance.FEW_PRACTICES.value, "Fewer than two practices together"),
    (Circumstance.LONG_COLUMN.value, "A column longer than about 20 m"),
    (Circumstance.NO_SIGHT.value, "Not everybody sees the pipe-major's foot"),
    (Circumstance.BORROWED_DRUMMERS.value, "Borrowed drummers"),
    (Circumstance.POOR_FOOTING.value, "Poor footing"),
)
DRUMS: Choices = (
    (Drums.FULL.value, "full corps"),
    (Drums.BASS.value, "bass drum alone"),
    (Drums.NONE.value, "no drums"),
)
RUNGS: Choices = (
    ("", "not said: rung 4 is taken"),
    ("1", "1: a steady beat"),
    ("2", "2: dots and cuts at full contrast"),
    ("3", "3: short notes joined into the movement beside them"),
    ("4", "4: pulsing together"),
)
TONAL_CENTRES: Choices = (
    ("", "not known"),
    *((name, name) for name in ("A", "B", "C", "D", "E", "F", "G", "low G")),
)


def kind_of(setting: Setting) -> str:
    """The occasion and its sort as one choice, such as ``parade:massed``."""
    return f"{setting.occasion.value}:{setting.sort.value}"


def _kinds() -> Choices:
    return tuple(
        (f"{occasion.value}:{sort.value}", kind_words(occasion, sort))
        for occasion, sorts in SORTS_BY_OCCASION.items()
        for sort in sorts
    )


def kind_words(occasion: Occasion, sort: Sort) -> str:
    """``Parade, massed bands``."""
    words = occasion.words + (f", {SORT_WORDS[sort]}" if SORT_WORDS[sort] else "")
    return words[:1].upper() + words[1:]


KINDS = _kinds()
