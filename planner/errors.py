"""What can go wrong so badly that the walk must stop?

Anything milder is a Finding. The sentence a user reads is made here, so every raise is one line.
"""

from __future__ import annotations

from typing import Any


class PacestickError(Exception):
    """Base of the errors a user can mend. ``str()`` is one sentence fit to show."""

    def __reduce__(self) -> tuple[Any, ...]:
        """Pickle by content: the sentence is finished, so ``__init__`` must not run again."""
        return _rebuild_error, (type(self), self.args, self.__dict__)


def _rebuild_error(kind: type[PacestickError], args: Any, state: dict[str, Any]) -> PacestickError:
    error = kind.__new__(kind, *args)
    error.__dict__.update(state)
    return error


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


class WorkerError(PacestickError):
    """A worker process gave no answer; ``worker`` is its name, the work can be asked for again."""

    def __init__(self, worker: str, sentence: str) -> None:
        self.worker = worker
        super().__init__(sentence)


class WorkerTimeout(WorkerError):  # noqa: N818 - what happened, in the trade's words
    """The work took longer than its limit and was stopped."""

    def __init__(self, worker: str, limit_s: float) -> None:
        super().__init__(
            worker,
            f"The {worker} needed more than {limit_s:g} s and was stopped; "
            "try again with less music in one file.",
        )


class WorkerOutOfMemory(WorkerError):  # noqa: N818
    """The work took more memory than its limit and was stopped."""

    def __init__(self, worker: str, limit_mb: int) -> None:
        super().__init__(
            worker,
            f"The {worker} needed more than {limit_mb} MB of memory and was stopped; "
            "try again with less music in one file.",
        )


class WorkerCrashed(WorkerError):  # noqa: N818
    """The worker process ended in the middle of the work."""

    def __init__(self, worker: str) -> None:
        super().__init__(
            worker,
            f"The {worker} broke off without an answer; "
            "try again, and if it happens twice with this music, leave it out.",
        )
