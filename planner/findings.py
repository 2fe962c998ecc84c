"""What is not right, or not what was hoped, and why is an answer what it is?

Findings are values: a stage collects all of them and goes on. Reasons tie an answer to the line of
the rule book it came from.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Gravity(StrEnum):
    """How grave a finding is: ``refuse`` stops the file from being stored or planned."""

    NOTE = "note"
    WARN = "warn"
    REFUSE = "refuse"


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing a person should know: a stable code, one sentence, where, and how grave."""

    code: str
    text: str
    where: str = ""
    gravity: Gravity = Gravity.WARN

    def __str__(self) -> str:
        return f"{self.where}: {self.text}" if self.where else self.text


@dataclass(frozen=True, slots=True)
class Reason:
    """Why an answer is what it is: the rule's key, its value, its source, and the sentence."""

    rule: str
    text: str
    value: str = ""
    source: str = ""
