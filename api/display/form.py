"""What does a form show? What was typed, and what is not right about it.

A form that comes back keeps every word that was typed; each sentence stands beside its field, and
what belongs to no field stands above.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

Values = Mapping[str, tuple[str, ...]]

# How do the words of a check sound in plain speech?
PLAIN_WORDS = (
    (r"should be a valid (number|integer), unable to parse string as an? (number|integer)",
     "is not a number: write one such as 86"),
    (r"should be a valid integer, got a number with a fractional part", "must be a whole number"),
    (r"should be greater than or equal to ([\d.]+)", r"must be \1 or more"),
    (r"should be less than or equal to ([\d.]+)", r"must be \1 or less"),
    (r"should be greater than ([\d.]+)", r"must be more than \1"),
    (r"string should have at least 1 character", "is empty: write something here"),
    (r"string should have at most (\d+) characters", r"is longer than \1 letters: shorten it"),
    (r"string should match pattern .*", "has signs that cannot be kept: use plain text"),
    (r"should be a valid date.*", "is not a day: write it as 2027-06-19"),
    (r"should be in a valid time format.*", "is not a time of day: write it as 09:30"),
    (r"list should have at least 1 item.*", "is empty: add at least one"),
    (r"field required", "is missing: fill it in"),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class FormView:
    """A form: where it goes, what stands in its fields, and what is not right."""

    action: str
    values: Values = field(default_factory=dict)
    errors: Mapping[str, str] = field(default_factory=dict)
    version: str = ""
    notice: str = ""
    is_stale: bool = False
    newer: str = ""

    def value(self, name: str) -> str:
        """What stands in a field; empty text when nothing does."""
        return next(iter(self.values.get(name, ())), "")

    def all(self, name: str) -> tuple[str, ...]:
        """Everything chosen under one name."""
        return self.values.get(name, ())

    def has(self, name: str, value: str) -> bool:
        """True when a choice is among those chosen under one name."""
        return value in self.values.get(name, ())

    def error(self, name: str) -> str:
        """What is not right about a field; empty text when nothing is."""
        return self.errors.get(name, "")


@dataclass(frozen=True, slots=True)
class Refusal:
    """Why a form came back: a status, a sentence for the whole, and (field, sentence) pairs."""

    status: int
    sentence: str
    faults: tuple[tuple[str, str], ...] = ()
    newest_version: str = ""


def refused_form(form: FormView, refusal: Refusal, fields: Iterable[str]) -> FormView:
    """The form as it comes back: nothing typed is lost, each fault beside its field.

    ``fields`` are the names of the fields the page has; a fault of any other goes on top.
    """
    known = tuple(fields)
    errors: dict[str, str] = {}
    for path, sentence in refusal.faults:
        name = field_of(path, known)
        errors.setdefault(name, plain_sentence(sentence, path))
    on_top = errors.pop("", "")
    is_stale = refusal.status == 412
    notice = "" if errors and not on_top else on_top or refusal.sentence
    return FormView(
        action=form.action,
        values=form.values,
        errors=errors,
        version=refusal.newest_version or form.version,
        notice=notice,
        is_stale=is_stale,
        newer=form.newer,
    )


def field_of(path: str, known: Sequence[str]) -> str:
    """The field a fault belongs to: ``setting.sort`` is ``sort``; empty text for none."""
    steps = path.split(".")
    starts = [".".join(steps[:length]) for length in range(len(steps), 0, -1)]
    ends = [".".join(steps[start:]) for start in range(1, len(steps))]
    return next((name for name in (*starts, *ends) if name in known), "")


def plain_sentence(sentence: str, path: str) -> str:
    """A check's sentence without the field's inner name, in plain words."""
    words = sentence.removeprefix(f"{path}: ").strip()
    for pattern, plain in PLAIN_WORDS:
        words = re.sub(pattern, plain, words, flags=re.IGNORECASE)
    words = re.sub(r"^(must|is|has)\b", r"This \1", words)
    ended = words if words.endswith((".", "!", "?")) else f"{words}."
    return ended[:1].upper() + ended[1:]
