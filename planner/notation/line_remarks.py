"""Where in an ABC file is the reader just now, and what does it remark there?"""

from __future__ import annotations

import re

from planner.findings import Gravity
from planner.notation.readtune import Remarks


class LineRemarks:
    """Remarks with the line, column and bar they were made at."""

    def __init__(self, remarks: Remarks) -> None:
        self.remarks = remarks
        self.line = 0
        self.bar_index = 0

    def warn(self, code: str, text: str, match: re.Match[str] | None = None) -> None:
        """Remark on something that was read in spite of a doubt."""
        self._add(code, text, Gravity.WARN, match)

    def refuse(self, code: str, text: str, match: re.Match[str] | None = None) -> None:
        """Remark on something that keeps the tune from being stored or planned."""
        self._add(code, text, Gravity.REFUSE, match)

    def _add(self, code: str, text: str, gravity: Gravity, match: re.Match[str] | None) -> None:
        column = match.start() + 1 if match else 0
        self.remarks.add(code, text, gravity, self.line, column, self.bar_index)
