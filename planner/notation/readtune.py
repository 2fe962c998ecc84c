"""What comes out of a music file? A tune, and everything a person should know about the reading.

``Remarks`` is the reader's notepad: remarks are made while the parts are still unknown, so they
carry a line and the running index of a bar, and become Findings once the bars have addresses.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from planner.findings import Finding, Gravity
from planner.music.tune import Tune

# How many remarks of one tune are worth reading? A file of rubbish must not fill the memory.
MOST_REMARKS = 60


@dataclass(frozen=True, slots=True)
class ReadTune:
    """One tune of a file with its findings: the reader's first, then those of ``check_tune``."""

    tune: Tune
    findings: tuple[Finding, ...] = ()


@dataclass(frozen=True, slots=True)
class Remark:
    """One remark of a reader; ``bar_index`` counts the written bars of the file from 0."""

    code: str
    text: str
    gravity: Gravity = Gravity.WARN
    line: int = 0
    column: int = 0
    bar_index: int | None = None


@dataclass(slots=True)
class Remarks:
    """The remarks on one tune, and how many signs of each kind were left out of it."""

    kept: list[Remark] = field(default_factory=list)
    left_out: dict[str, int] = field(default_factory=dict)
    dropped: int = 0

    def add(
        self,
        code: str,
        text: str,
        gravity: Gravity = Gravity.WARN,
        line: int = 0,
        column: int = 0,
        bar_index: int | None = None,
    ) -> None:
        """Keep a remark; one that refuses is always kept, others up to a limit."""
        if len(self.kept) >= MOST_REMARKS and (gravity is not Gravity.REFUSE or self.is_refused):
            self.dropped += 1
            return
        self.kept.append(Remark(code, text, gravity, line, column, bar_index))

    def leave_out(self, kind: str) -> None:
        """Count one sign that the model does not hold, such as a slur."""
        self.left_out[kind] = self.left_out.get(kind, 0) + 1

    @property
    def is_refused(self) -> bool:
        """True when one of the remarks stops the tune from being stored or planned."""
        return any(remark.gravity is Gravity.REFUSE for remark in self.kept)

    def findings(self, places: Mapping[int, str]) -> tuple[Finding, ...]:
        """The remarks as findings; ``places`` names the part and bar of each written bar."""
        found = [
            Finding(remark.code, remark.text, _where(remark, places), remark.gravity)
            for remark in self.kept
        ]
        found += [
            Finding("left_out", f"{count} {kind} not kept with the tune", "", Gravity.NOTE)
            for kind, count in self.left_out.items()
        ]
        if self.dropped:
            text = f"{self.dropped} more findings of this tune are not listed"
            found.append(Finding("more_findings", text))
        return tuple(found)


def _where(remark: Remark, places: Mapping[int, str]) -> str:
    words = []
    if remark.bar_index is not None and remark.bar_index in places:
        words.append(places[remark.bar_index])
    if remark.line:
        words.append(f"line {remark.line}")
    if remark.column:
        words.append(f"column {remark.column}")
    return ", ".join(words)
