"""What stands around every page: the band's name, the way to every room, and where we are."""

from __future__ import annotations

from dataclasses import dataclass

# The rooms of the house, in the order of the work: the day first, then what it is made of.
ROOMS = (
    ("/events", "Events"),
    ("/sets", "Sets"),
    ("/tunes", "Tunes"),
    ("/people", "People"),
    ("/rules", "Rules"),
    ("/about", "About"),
)

SAID = {
    "added": "Added.",
    "saved": "Saved.",
    "recast": "The same notes in another idiom, as a tune of its own. Change it as you like.",
    "removed": "Removed.",
    "undone": "Undone.",
    "loaded": "The demo band has moved in. Everything and everybody in it is invented.",
    "back": "The rule book's own value holds again.",
}


@dataclass(frozen=True, slots=True)
class RoomView:
    """One way through the house; ``is_here`` where the reader stands in that room."""

    address: str
    name: str
    is_here: bool


@dataclass(frozen=True, slots=True)
class ChromeView:
    """Around the page. ``said`` is what has just been done, in one sentence.

    ``home`` is where the name of the house leads: empty for a reader whose link leads nowhere.
    """

    band: str
    rooms: tuple[RoomView, ...]
    said: str = ""
    home: str = "/"
    is_home: bool = False


def chrome(band: str, path: str, said: str = "") -> ChromeView:
    """The surroundings of the page at this path; ``said`` is a word of ``SAID``."""
    rooms = tuple(
        RoomView(address, name, path == address or path.startswith(f"{address}/"))
        for address, name in ROOMS
    )
    return ChromeView(band, rooms, SAID.get(said, ""), "/", path == "/")


def reader_chrome(band: str, home: str) -> ChromeView:
    """The surroundings for a reader by the link: the players' pages are all there is."""
    return ChromeView(band, (), home=home)
