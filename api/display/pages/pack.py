"""What does the page of a pack say? How far it is, what is in it, and what to ask before."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from api.display.words import counted, sentence_start

ONE_PLAYER = "players/"


@dataclass(frozen=True, slots=True)
class PackView:
    """The page of a pack.

    ``asks`` has the titles that nobody has allowed to be copied yet. ``done`` and ``total`` count
    printed sheets while it is being printed, and ``said`` puts that into words. ``sheets`` and
    ``players`` are (title, address) of what is ready. ``is_old`` is true where the event has
    changed since.
    """

    address: str
    name: str
    asks: tuple[str, ...] = ()
    is_running: bool = False
    is_ready: bool = False
    is_old: bool = False
    done: int = 0
    total: int = 0
    said: str = ""
    version: str = ""
    problem: str = ""
    sheets: tuple[tuple[str, str], ...] = ()
    players: tuple[tuple[str, str], ...] = ()

    @property
    def back(self) -> str:
        """The page of the event."""
        return self.address.removesuffix("/pack")


def progress_words(done: int, total: int) -> str:
    """How far it is, for those who wait."""
    if not total:
        return "The music is being engraved."
    return f"{done} of {counted(total, 'sheet')} printed."


def file_links(
    address: str, event: str, files: Sequence[tuple[str, str]]
) -> tuple[tuple[tuple[str, str], ...], tuple[tuple[str, str], ...]]:
    """The sheets for everybody and those of the players, each as (title, address)."""
    links = [(_short(title, event), f"{address}/files/{name}", name) for name, title in files]
    players = tuple((said, to) for said, to, name in links if name.startswith(ONE_PLAYER))
    sheets = tuple((said, to) for said, to, name in links if not name.startswith(ONE_PLAYER))
    return sheets, players


def _short(title: str, event: str) -> str:
    """A title without what all of them say."""
    return sentence_start(title.removeprefix(f"{event}: ").removeprefix("sheets of "))
