"""What can a change of the library run into? Not there, changed meanwhile, still in use."""

from __future__ import annotations

from sqlalchemy.exc import IntegrityError, OperationalError

from planner.errors import PacestickError

DatabaseBusyError = OperationalError
"""The database is locked for longer than we wait, is gone, or has no room left."""

DatabaseRefusedError = IntegrityError
"""The database refused a change because something else still needs the row."""


class NotFoundError(PacestickError):
    """There is no such thing in this band's library."""

    def __init__(self, what: str, number: int | str) -> None:
        self.what, self.number = what, number
        super().__init__(f"There is no {what} {number} in this library: it may have been deleted.")


class StaleError(PacestickError):
    """Somebody changed the thing after it was read; ``newest`` is its present version."""

    def __init__(self, what: str, seen: int, newest: int) -> None:
        self.what, self.seen, self.newest = what, seen, newest
        super().__init__(
            f"This {what} was changed by somebody else (you saw version {seen}, it is now version "
            f"{newest}): look at the newer version, then change it again."
        )


class InUseError(PacestickError):
    """The thing cannot go while others use it."""

    def __init__(self, what: str, name: str, users: str, remedy: str) -> None:
        super().__init__(f"The {what} “{name}” is used by {users}; {remedy}.")
