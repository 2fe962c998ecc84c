"""What can stop an action, besides a row that is gone or stale?"""

from __future__ import annotations

from dataclasses import dataclass

from planner.errors import PacestickError
from planner.findings import Finding


class TooLargeError(PacestickError):
    """A file is larger than the service takes."""

    def __init__(self, name: str, limit: int) -> None:
        super().__init__(f"{name} is larger than {limit / 1e6:g} MB: choose a smaller file.")


class WrongKindError(PacestickError):
    """A file is of a kind that is not kept."""

    def __init__(self, name: str, wanted: str) -> None:
        super().__init__(f"{name} is not {wanted}: choose another file.")


class RefusedMusicError(PacestickError):
    """A tune cannot be stored as it stands; ``findings`` has everything that was found."""

    def __init__(self, name: str, title: str, findings: tuple[Finding, ...], first: str) -> None:
        self.findings = findings
        super().__init__(f"{name}, “{title}”: {first}; correct it and upload the file again.")


class NotToBePrintedError(PacestickError):
    """An event has something that has to be put right before anybody plays from its paper."""

    def __init__(self, event: str, finding: Finding) -> None:
        self.finding = finding
        text = str(finding).removesuffix(".")
        super().__init__(f"{event} cannot be printed yet: {text}; put it right, then print.")


@dataclass(frozen=True, slots=True)
class TuneOnOffer:
    """One of several tunes of a file: its number there, from 1, and its title."""

    number: int
    title: str


class SeveralTunesError(PacestickError):
    """The file holds several tunes and nobody said which; ``tunes`` lists them."""

    def __init__(self, name: str, tunes: tuple[TuneOnOffer, ...]) -> None:
        self.tunes = tunes
        super().__init__(
            f"{name} holds {len(tunes)} tunes: choose one or more by number, or choose all."
        )


@dataclass(frozen=True, slots=True)
class RefusedRow:
    """A row of a list, by its number in the file, and why it cannot be taken."""

    number: int
    sentence: str


class RefusedRowsError(PacestickError):
    """Rows of a list cannot be taken, so none was; ``rows`` has every one of them."""

    def __init__(self, rows: tuple[RefusedRow, ...], count: int) -> None:
        self.rows = rows
        super().__init__(
            f"{len(rows)} of {count} rows cannot be taken, so none was stored: mend them and send "
            "the list again."
        )
