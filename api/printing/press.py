"""On which paper is a sheet printed, dated when, and where does its current version lie?"""

from __future__ import annotations

import base64
import io
from dataclasses import dataclass
from datetime import datetime

import segno

from api.settings import PrintFormat


@dataclass(frozen=True, slots=True)
class CodeView:
    """An address to be read by a telephone: in words, and as a picture."""

    address: str
    picture: str


@dataclass(frozen=True, slots=True)
class Press:
    """How sheets are printed.

    ``made_at`` is when what they say was last changed, never when they are printed: the same sheet
    printed twice is the same to the byte. ``address`` is that of the event for whoever holds the
    sheet; it is empty where the service has no address outside its own machine.
    """

    format: PrintFormat = PrintFormat.A4
    made_at: datetime | None = None
    address: str = ""

    @property
    def created(self) -> str:
        """When the sheet was made, for its description; empty where nobody knows."""
        return f"{self.made_at:%Y-%m-%dT%H:%M:%SZ}" if self.made_at else ""

    def code(self, name: str) -> CodeView | None:
        """The code that opens the current version of a sheet; None without an address."""
        if not self.address:
            return None
        address = f"{self.address}/{name}" if name else self.address
        return CodeView(address, code_picture(address))


def code_picture(address: str) -> str:
    """An address as a square code, written into the sheet; one path, white rim included."""
    code = segno.make(address, error="m", micro=False)
    drawn = io.BytesIO()
    code.save(drawn, kind="svg", xmldecl=False, svgns=True, border=4, omitsize=True, nl=False)
    return f"data:image/svg+xml;base64,{base64.b64encode(drawn.getvalue()).decode()}"
