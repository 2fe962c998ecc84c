"""What does the rule book say, since when, and who says so?

A rule is a ``Quantity`` under a key such as ``idioms.march.pointing``: the file's path and the name
in the file. The engine asks for a key and gets a value whose unit was checked when the book was
read; a person who asks "why?" gets the same line of the same file.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from enum import StrEnum
from types import MappingProxyType

from planner.findings import Reason

Value = float | int | str | bool | tuple[float | int | str, ...]


class Status(StrEnum):
    """How sure a value is."""

    PUBLISHED = "published"
    COMMON_PRACTICE = "common practice"
    FROM_MEMORY = "from memory"
    DESIGN_CHOICE = "design choice"
    OWN = "the band's own"


AS_IN_THE_BOOK, ON_THE_BEAT, BEFORE_THE_BEAT = "as in the book", "on the beat", "before the beat"
PLACES_ON_THE_BEAT = (
    AS_IN_THE_BOOK,
    ON_THE_BEAT,
    *(f"{count} before the beat" for count in (1, 2, 3, 4)),
    BEFORE_THE_BEAT,
)
"""Where a movement can sit: the numbers are gracenotes, and "before" alone is all of them."""


@dataclass(frozen=True, slots=True)
class Source:
    """A publication, rule book or convention that values are taken from."""

    key: str
    title: str
    by: str = ""
    year: str = ""
    where: str = ""


@dataclass(frozen=True, slots=True)
class Quantity:
    """One rule: a value (or a value with a range), unit, source key, status and date.

    ``why`` is the sentence printed beside an answer. ``set_by`` and ``set_on`` are filled when the
    band has put its own value in place of the book's.
    """

    key: str
    value: Value
    unit: str
    source: str
    status: Status
    since: str = ""
    low: float | None = None
    high: float | None = None
    why: str = ""
    set_by: str = ""
    set_on: str = ""

    def reason(self, text: str = "") -> Reason:
        """The reason this rule gives for an answer."""
        return Reason(self.key, text or self.why or self.key, str(self.value), self.source)


@dataclass(frozen=True, slots=True)
class MovementRule:
    """How one embellishment is spelt and how it sits on the beat.

    ``gracenotes`` are chanter names in order; ``on`` the melody notes it precedes; ``coming_from``
    the notes it may come from, empty for any; ``not_from`` those it may not. ``beat_index`` is the
    number of gracenotes before the beat: 0 starts on it, ``len(gracenotes)`` finishes on it.
    ``beat_index_by_idiom`` holds exceptions. ``is_named`` is False where no cited source names the
    family: such a group is shown as its gracenotes in words.
    """

    key: str
    name: str
    gracenotes: tuple[str, ...]
    on: tuple[str, ...]
    coming_from: tuple[str, ...]
    not_from: tuple[str, ...]
    beat_index: int
    source: str
    status: Status
    is_named: bool = True
    beat_index_by_idiom: Mapping[str, int] = field(default_factory=dict)
    family: str = ""


@dataclass(frozen=True)
class RuleBook:
    """Every rule by key, the movements, and the sources they cite."""

    quantities: Mapping[str, Quantity]
    movements: tuple[MovementRule, ...]
    sources: Mapping[str, Source]

    def __getitem__(self, key: str) -> Quantity:
        """The rule under a key.

        Raises:
            KeyError: no such rule.
        """
        return self.quantities[key]

    def number(self, key: str) -> float:
        """The value of a numeric rule, in the rule's own unit."""
        value = self.quantities[key].value
        if type(value) is float or type(value) is int:  # asked thousands of times in a plan
            return float(value)
        raise TypeError(f"rule {key} is not a number: {value!r}")

    def word(self, key: str) -> str:
        """The value of a rule that is a word."""
        value = self.quantities[key].value
        if not isinstance(value, str):
            raise TypeError(f"rule {key} is not a word: {value!r}")
        return value

    def find(self, *keys: str) -> Quantity | None:
        """The first of these rules that exists: from the special case to the general."""
        return next((self.quantities[key] for key in keys if key in self.quantities), None)

    def names(self, prefix: str) -> tuple[str, ...]:
        """The names one level below a prefix, in the order of the files: ``names("idioms")``."""
        start = f"{prefix}."
        below = (key[len(start) :] for key in self.quantities if key.startswith(start))
        return tuple(dict.fromkeys(key.split(".", 1)[0] for key in below))

    def section(self, prefix: str) -> Mapping[str, Quantity]:
        """The rules below a prefix, by the rest of their key."""
        start = f"{prefix}."
        return MappingProxyType(
            {
                key[len(start) :]: rule
                for key, rule in self.quantities.items()
                if key.startswith(start)
            }
        )

    def with_own(self, own: Mapping[str, Quantity]) -> RuleBook:
        """This book with the band's own values laid over it."""
        return replace(self, quantities=MappingProxyType({**self.quantities, **own}))
