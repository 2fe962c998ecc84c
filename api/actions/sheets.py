"""How does an event get on paper? Everything is fetched, put into words and drawn; printing waits.

The library is asked first and let go; drawing and printing take their time without it. A sheet in
words knows what it will say before it is printed, so nobody waits for a sheet they have seen, and
the same sheet is printed once.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from enum import StrEnum

from api.actions.last_print import changes_since_last_print
from api.actions.paper_version import with_version_on_paper
from api.actions.print_order import PrintOrder, check_printable, take_order
from api.display.paper.call_sheet import call_sheet_view
from api.display.paper.drum_sheet import drum_sheet_view
from api.display.paper.joins import joins_view
from api.display.paper.learner_card import learner_card_view
from api.display.paper.outs import outs_card_view
from api.display.paper.phrased_music import PhrasedMusicView, TunePictures, phrased_music_view
from api.display.paper.pictures import (
    A4_MUSIC_MM,
    HALF,
    HALF_MUSIC_MM,
    LETTER_MUSIC_MM,
    beginning_picture,
    ending_picture,
    harmony_pictures,
    link_picture,
    opening_picture,
    scan_pictures,
    tune_pictures,
)
from api.display.paper.running_order import running_order_view
from api.display.paper.set_card import flagged_marks, front_card_view, pattern_card, set_card_views
from api.display.planned import PlannedEntry
from api.printing import sheets as printing
from api.printing.pdf import Section, folded_pdf, identity_of, sections_to_pdf
from api.printing.press import Press
from api.printing.scan import scanned_pages
from api.settings import PrintFormat
from api.storage.database import BandId, Database
from planner.engraving.layout import A4
from planner.errors import RequestError
from planner.event.event import Entry, Person


class Sheet(StrEnum):
    """The sheets of an event, by the names of their files."""

    SET_CARDS = "set-cards"
    PHRASED_MUSIC = "phrased-music"
    DRUM_SHEET = "drum-sheet"
    CALL_SHEET = "call-sheet"
    RUNNING_ORDER = "running-order"
    JOINS = "joins"
    OUTS = "outs"
    LEARNER_CARD = "learner-card"


OF_ONE_PLAYER = (Sheet.OUTS, Sheet.LEARNER_CARD)


@dataclass(frozen=True, slots=True)
class Wish:
    """How a sheet is wanted.

    ``is_half`` prints the music on half sheets, ``has_harmony`` the pipe harmony below its tune;
    ``is_folded`` lays the sides of cards two by two.
    ``address`` is the service's own for everybody, empty when it has none.
    """

    format: PrintFormat = PrintFormat.A4
    is_half: bool = False
    is_folded: bool = False
    address: str = ""
    has_harmony: bool = False


@dataclass(frozen=True, slots=True)
class Draft:
    """A sheet in words, ready to be printed. ``digest`` changes with whatever it says or shows."""

    file_name: str
    title: str
    sections: tuple[Section, ...]
    is_folded: bool = False

    @property
    def digest(self) -> str:
        """The same for the same sheet, whoever asks for it."""
        return identity_of(self.sections, f"{self.is_folded} {self.title}")

    def print(self) -> bytes:
        """The sheet as PDF.

        Raises:
            WorkerError: printing took too long, or too much memory.
        """
        if self.is_folded:
            return folded_pdf(self.sections, self.title)
        return sections_to_pdf(self.sections, self.title)


ANY_WISH = Wish()


def draft_sheet(
    database: Database,
    band: BandId,
    number: int,
    sheet: Sheet,
    person: int | None = None,
    wish: Wish = ANY_WISH,
) -> Draft:
    """One sheet of an event in words; with a ``person`` the set cards are that player's own.

    Raises:
        NotFoundError: the band has no such event or person.
        RequestError: a tune has no music to plan, the person does not play at the event, or the
            sheet is for one player and nobody is named.
        NotToBePrintedError: the event has a finding that blocks; the call sheet is printed anyway.
    """
    with database.reading() as session:
        order = take_order(session, band, number, person)
    if sheet is not Sheet.CALL_SHEET:
        check_printable(order)
    order = with_version(database, band, order)
    if sheet is Sheet.DRUM_SHEET:
        order = with_changes(database, band, order)
    return draft_of(order, sheet, wish)


def draft_of(order: PrintOrder, sheet: Sheet, wish: Wish = ANY_WISH) -> Draft:
    """One sheet of what has been fetched.

    Raises:
        RequestError: the sheet is for one player and nobody is named.
    """
    name = _file_name(sheet, order, wish)
    title = f"{order.planned.event.name}: {SHEET_WORDS[sheet]}"
    if order.reader is not None:
        title += f" of {order.reader.name}"
    is_folded = wish.is_folded and sheet is Sheet.SET_CARDS
    title += ", to be folded" if is_folded else ""
    return Draft(name, title, SECTIONS[sheet](order, wish), is_folded)


def with_version(database: Database, band: BandId, order: PrintOrder) -> PrintOrder:
    """The order under the version that stands on the paper."""
    planned = with_version_on_paper(database, band, order.planned, order.made_of)
    return replace(order, planned=planned)


def with_changes(database: Database, band: BandId, order: PrintOrder) -> PrintOrder:
    """The order with what has changed for the drummers since their sheet was last printed."""
    drums = drum_sheet_view(order.planned)
    version = order.planned.event.version
    changes = changes_since_last_print(database, band, order.number, version, drums)
    return replace(order, planned=replace(order.planned, changes=changes))


def press_of(order: PrintOrder, wish: Wish) -> Press:
    """On which paper, dated when, and where the newest version lies."""
    address = f"{wish.address}/events/{order.number}" if wish.address else ""
    return Press(wish.format, order.planned.made_at, address)


def set_cards(order: PrintOrder, wish: Wish) -> tuple[Section, ...]:
    """The cards of every set, the front card before them."""
    cards = set_card_views(order.to_play, openings_of(order), order.reader)
    front = front_card_view(order.to_play, order.reader)
    patterns = tuple(pattern_card(card, order.planned.line_up) for card in cards)
    alike = patterns if order.reader else ()
    return printing.set_card_sections(cards, front, press_of(order, wish), alike)


def phrased_music(order: PrintOrder, wish: Wish) -> tuple[Section, ...]:
    """The music of every tune with this event's marks, a section each, in playing order."""
    view = phrased_view(order, wish)
    return printing.phrased_sections(view, press_of(order, wish), wish.is_half)


def phrased_view(order: PrintOrder, wish: Wish) -> PhrasedMusicView:
    """The music of every tune in words and drawings."""
    pictures = {each.entry: _pictures(each, order, wish) for each in order.entries}
    return phrased_music_view(order.to_play, pictures, order.unpermitted)


def openings_of(order: PrintOrder) -> dict[Entry, str]:
    """The first two bars of every tune as a set plays it, with the signs its card speaks of."""
    return {
        each.entry: opening_picture(each.tune, flagged_marks(each.plan.marks))
        for each in order.entries
    }


def _drum_sheet(order: PrintOrder, wish: Wish) -> tuple[Section, ...]:
    return printing.drum_sections(drum_sheet_view(order.planned), press_of(order, wish))


def _call_sheet(order: PrintOrder, wish: Wish) -> tuple[Section, ...]:
    return printing.call_sections(call_sheet_view(order.planned), press_of(order, wish))


def _running_order(order: PrintOrder, wish: Wish) -> tuple[Section, ...]:
    view = running_order_view(order.planned)
    return printing.running_order_sections(view, press_of(order, wish))


def _joins(order: PrintOrder, wish: Wish) -> tuple[Section, ...]:
    view = joins_view(order.planned, ending_picture, beginning_picture, link_picture)
    return printing.joins_sections(view, press_of(order, wish))


def _outs(order: PrintOrder, wish: Wish) -> tuple[Section, ...]:
    view = outs_card_view(order.planned, _reader(order))
    return printing.outs_sections(view, press_of(order, wish))


def _learner_card(order: PrintOrder, wish: Wish) -> tuple[Section, ...]:
    view = learner_card_view(order.to_play, _reader(order), openings_of(order))
    return printing.learner_sections(view, press_of(order, wish))


SECTIONS: dict[Sheet, Callable[[PrintOrder, Wish], tuple[Section, ...]]] = {
    Sheet.SET_CARDS: set_cards,
    Sheet.PHRASED_MUSIC: phrased_music,
    Sheet.DRUM_SHEET: _drum_sheet,
    Sheet.CALL_SHEET: _call_sheet,
    Sheet.RUNNING_ORDER: _running_order,
    Sheet.JOINS: _joins,
    Sheet.OUTS: _outs,
    Sheet.LEARNER_CARD: _learner_card,
}
SHEET_WORDS = {
    Sheet.SET_CARDS: "set cards",
    Sheet.PHRASED_MUSIC: "phrased music",
    Sheet.DRUM_SHEET: "drum sheet",
    Sheet.CALL_SHEET: "call sheet",
    Sheet.RUNNING_ORDER: "running order",
    Sheet.JOINS: "joins",
    Sheet.OUTS: "tunes and outs",
    Sheet.LEARNER_CARD: "learner's card",
}


def _reader(order: PrintOrder) -> Person:
    if order.reader is None:
        raise RequestError("person", "this sheet is for one player", "name the player")
    return order.reader


def _pictures(each: PlannedEntry, order: PrintOrder, wish: Wish) -> TunePictures:
    file = order.scans.get(each.entry.tune_key)
    pages = scanned_pages(file.content, file.media_type) if file else ()
    scans = scan_pictures([(one.jpeg, one.width, one.height) for one in pages], each.tune.title)
    full_mm = LETTER_MUSIC_MM if wish.format is PrintFormat.LETTER else A4_MUSIC_MM
    layout, most_mm = (HALF, HALF_MUSIC_MM) if wish.is_half else (A4, full_mm)
    drawn = tune_pictures(each.tune, each.plan.marks, scans, layout=layout, most_mm=most_mm)
    if wish.has_harmony:
        harmony = harmony_pictures(each.tune, each.plan.marks, layout=layout, most_mm=most_mm)
        drawn = replace(drawn, harmony=harmony)
    if each.link is not None:
        line = replace(layout, single_line=True, shows_bar_numbers=False)
        link = tune_pictures(each.link.tune, each.link.marks, layout=line, most_mm=most_mm)
        signs = dict((*drawn.signs, *link.signs))
        drawn = replace(drawn, link=link.systems, signs=tuple(signs.items()))
    return replace(drawn, kept_as=file.name) if file and not scans else drawn


def _file_name(sheet: Sheet, order: PrintOrder, wish: Wish) -> str:
    """Such as ``harvest-parade-drum-sheet-v3.pdf``; letters a file system may not know are gone."""
    event = order.planned.event
    said = [plain_name(event.name) or "event", str(sheet)]
    said += ["folded"] if wish.is_folded else []
    said += ["half"] if wish.is_half else []
    said += ["with-harmony"] if wish.has_harmony else []
    said += [plain_name(order.reader.name)] if order.reader else []
    return f"{'-'.join(said)}-v{event.version}.pdf"


def plain_name(words: str) -> str:
    """Words as part of a file's name."""
    plain = "".join(c if c.isascii() and c.isalnum() else " " for c in words.lower())
    return "-".join(plain.split())
