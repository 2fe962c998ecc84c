"""How does everybody get their paper at once? In one zip: sheets, a file a player, one to hang up.

A page that several files share is printed once. The noticeboard's file names nobody, says nothing
of who can play what, and leaves open questions out, unless the band has said that outs may hang.
"""

from __future__ import annotations

import io
import zipfile
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from api.actions.print_order import PrintOrder, check_printable, take_order
from api.actions.sheets import (
    ANY_WISH,
    OF_ONE_PLAYER,
    Draft,
    Sheet,
    Wish,
    draft_of,
    openings_of,
    phrased_music,
    plain_name,
    press_of,
    set_cards,
    with_changes,
    with_version,
)
from api.display.paper.call_sheet import call_sheet_view, for_the_noticeboard
from api.display.paper.set_card import front_card_view, set_card_views, without_names
from api.display.words import version_words
from api.printing import sheets as printing
from api.printing.pdf import Section, section_to_pdf
from api.storage.database import BandId, Database
from planner.event.event import Person

Progress = Callable[[int, int], None]
"""Told after every printed sheet: how many are done, of how many."""


@dataclass(frozen=True, slots=True)
class PackWish:
    """How a pack is wanted: its paper, and whether outs may hang on the noticeboard by name."""

    wish: Wish = ANY_WISH
    names_outs: bool = False


def print_pack(
    database: Database,
    band: BandId,
    number: int,
    wanted: PackWish | None = None,
    progress: Progress | None = None,
) -> bytes:
    """Every sheet of an event in one zip file, for whoever stands in for the pipe-major.

    Raises:
        NotFoundError: the band has no such event.
        RequestError: a tune has no music to plan.
        NotToBePrintedError: the event has a finding that blocks.
        WorkerError: printing took too long, or too much memory.
    """
    with database.reading() as session:
        order = take_order(session, band, number)
    check_printable(order)
    order = with_changes(database, band, with_version(database, band, order))
    return pack_of(order, wanted or PackWish(), progress)


def pack_of(order: PrintOrder, wanted: PackWish, progress: Progress | None = None) -> bytes:
    """Every sheet of what has been fetched, in one zip file.

    Raises:
        WorkerError: printing took too long, or too much memory.
    """
    drafts = pack_drafts(order, wanted)
    print_distinct(drafts, progress)
    made_at = order.planned.made_at.timetuple()
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as pack:
        event = order.planned.event
        pack.comment = version_words(event.version, order.planned.made_at).encode()
        for draft in drafts:
            # dated by the event's last change, so that the same event gives the same file
            entry = zipfile.ZipInfo(draft.file_name, made_at[:6])
            entry.comment = draft.title.encode()
            pack.writestr(entry, draft.print())
    return packed.getvalue()


def pack_drafts(order: PrintOrder, wanted: PackWish) -> tuple[Draft, ...]:
    """Every file of a pack in words."""
    return (
        *_sheets(order, wanted.wish),
        _noticeboard(order, wanted),
        *_players(order, wanted.wish),
    )


def print_distinct(drafts: Sequence[Draft], progress: Progress | None = None) -> int:
    """Print each distinct sheet of several files once; how many there were."""
    distinct = {section.digest: section for draft in drafts for section in draft.sections}
    for done, section in enumerate(distinct.values(), start=1):
        section_to_pdf(section)
        if progress is not None:
            progress(done, len(distinct))
    return len(distinct)


def _sheets(order: PrintOrder, wish: Wish) -> Iterator[Draft]:
    for sheet in Sheet:
        if sheet not in OF_ONE_PLAYER:
            yield draft_of(order, sheet, wish)
    yield draft_of(order, Sheet.SET_CARDS, replace(wish, is_folded=True))


def _noticeboard(order: PrintOrder, wanted: PackWish) -> Draft:
    press = press_of(order, wanted.wish)
    cards = set_card_views(order.to_play, openings_of(order))
    shown = cards if wanted.names_outs else tuple(without_names(card) for card in cards)
    call = for_the_noticeboard(call_sheet_view(order.planned))
    sections = (
        *draft_of(order, Sheet.RUNNING_ORDER, wanted.wish).sections,
        *printing.call_sections(call, press),
        *printing.set_card_sections(shown, front_card_view(order.to_play), press),
    )
    title = f"{order.planned.event.name}: noticeboard"
    return Draft("noticeboard.pdf", title, sections)


def _players(order: PrintOrder, wish: Wish) -> Iterator[Draft]:
    music = phrased_music(order, wish)
    drums = draft_of(order, Sheet.DRUM_SHEET, wish).sections
    taken: set[str] = set()
    for person in order.planned.line_up.people:
        name = _free_name(plain_name(person.name) or "player", taken)
        title = f"{order.planned.event.name}: sheets of {person.name}"
        own = replace(order, reader=person)
        paper = drums if person.instrument.is_drum else _my_music(order, person, music)
        sections = (*_my_cards(own, person, wish), *paper)
        yield Draft(f"players/{name}.pdf", title, sections)


def _my_cards(order: PrintOrder, person: Person, wish: Wish) -> tuple[Section, ...]:
    outs = draft_of(order, Sheet.OUTS, wish).sections
    cards = (*set_cards(order, wish), *outs)
    if not person.is_learner:
        return cards
    return (*cards, *draft_of(order, Sheet.LEARNER_CARD, wish).sections)


def _my_music(order: PrintOrder, person: Person, music: Sequence[Section]) -> tuple[Section, ...]:
    """The music of the tunes a player is not out of."""
    outs = order.planned.line_up.outs
    if not order.entries:
        return ()
    return tuple(
        section
        for each, section in zip(order.entries, music, strict=True)
        if (person.key, each.entry.tune_key) not in outs
    )


def _free_name(name: str, taken: set[str]) -> str:
    free, count = name, 1
    while free in taken:
        count += 1
        free = f"{name}-{count}"
    taken.add(free)
    return free
