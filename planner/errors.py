"""What can go wrong so badly that the walk must stop?

Anything milder is a Finding. The sentence a user reads is made here, so every raise is one line.
"""

from __future__ import annotations


class PacestickError(Exception):
    """Base of the errors a user can mend. ``str()`` is one sentence fit to show."""


class NotationError(PacestickError):
    """A music file cannot be read: what is wrong, where, and what to do."""

    def __init__(self, file: str, where: str, problem: str, remedy: str) -> None:
        self.file, self.where, self.problem, self.remedy = file, where, problem, remedy
        place = f"{file}, {where}" if where else file
        super().__init__(f"{place}: {problem}; {remedy}.")


class RulebookError(PacestickError):
    """The rule book is wrong: file, key, and what is the matter with it."""

    def __init__(self, file: str, key: str, problem: str) -> None:
        self.file, self.key, self.problem = file, key, problem
        super().__init__(f"{file}, {key}: {problem}.")


class RequestError(PacestickError):
    """A value that was asked for makes no sense: which one, what is wrong, what to do."""

    def __init__(self, field: str, problem: str, remedy: str) -> None:
        self.field, self.problem, self.remedy = field, problem, remedy
        super().__init__(f"{field}: {problem}; {remedy}.")


class EngravingError(PacestickError):
    """The engraver could not draw a tune."""
