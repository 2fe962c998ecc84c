"""What does paper from Pacestick look like? Every sheet of the demo band as pictures.

The pictures go to ``docs/gallery`` (or the folder named): small enough to keep beside the text, and
made anew by one command whenever a sheet changes, so that a person can look at all of them. After
the demo band come sheets that are hard to set: long titles, an event of thirty tunes, a tune of
twelve parts. ``card.png`` beside the folder is one set card, both sides.

    scripts/gallery [FOLDER]
"""

from __future__ import annotations

import sys
import tempfile
from collections.abc import Iterator
from dataclasses import replace
from datetime import date, datetime, time
from pathlib import Path

import pypdfium2
from PIL import Image, ImageOps

from api.actions.demo import load_demo
from api.actions.events import all_events
from api.actions.print_order import PrintOrder, take_order
from api.actions.sheets import OF_ONE_PLAYER, Draft, Sheet, Wish, draft_of
from api.actions.side_by_side import draft_side_by_side
from api.actions.tunes import page_of_tunes
from api.display.planned import PlannedEntry, PlannedEvent, PlannedSet
from api.settings import PrintFormat, seed_data_dir
from api.storage.database import BandId, Database
from api.storage.library import open_library
from planner.event.event import (
    Arrangements,
    Clock,
    Control,
    Entry,
    Event,
    Item,
    LineUp,
    Occasion,
    Set,
    Setting,
    Sort,
)
from planner.event.timetable import time_event
from planner.music.tune import Tune
from planner.notation.read import read_tune
from planner.plan import plan_tune
from planner.rules.load import load_rulebook

SMALL = {Sheet.SET_CARDS: 88, Sheet.OUTS: 88, Sheet.LEARNER_CARD: 72}
USUAL_DOTS_PER_INCH = 62
CARD_DOTS_PER_INCH = 110
POINTS_PER_INCH = 72
GAP = 8
ROW_WIDTH = 2100
GREYS = 10  # enough for ink on paper, and small files
TABLE, EDGE = 214, 150
ADDRESS = "https://band.example.org"


def main(folder: Path) -> None:
    """Draw the whole gallery into a folder, which is emptied of earlier pictures first."""
    folder.mkdir(parents=True, exist_ok=True)
    for old in folder.glob("*.png"):
        old.unlink()
    with tempfile.TemporaryDirectory() as scratch:
        database = open_library(f"sqlite:///{scratch}/gallery.sqlite3", "Demo band")
        band = database.home_band()
        with database.writing() as session:
            load_demo(session, band, seed_data_dir())
        for name, draft, dots in (*demo_papers(database, band), *hard_papers()):
            pages = pages_of(draft.print(), dots)
            laid_out(pages).quantize(GREYS).save(folder / f"{name}.png", optimize=True)
            print(f"{name}: {len(pages)} pages")
        draw_card(database, band, folder.parent / "card.png")
        database.close()
    total = sum(path.stat().st_size for path in folder.glob("*.png"))
    print(f"{total / 1e6:.1f} MB in all")


def demo_papers(database: Database, band: BandId) -> Iterator[tuple[str, Draft, int]]:
    """Every sheet of every event of the demo band, then the sheets on other paper."""
    with database.reading() as session:
        orders = [take_order(session, band, event.id) for event in all_events(session, band)]
    for order in orders:
        occasion = order.planned.event.setting.occasion
        for sheet in Sheet:
            if sheet not in OF_ONE_PLAYER:
                yield f"{occasion}-{sheet}", draft_of(order, sheet), dots_of(sheet)
        yield from players_papers(order)
    yield from other_paper(orders[0], orders[1])
    yield "two-occasions", two_occasions(database, band), USUAL_DOTS_PER_INCH


def players_papers(order: PrintOrder) -> Iterator[tuple[str, Draft, int]]:
    """The cards of the player who is out most."""
    outs = [person for person, _ in sorted(order.planned.line_up.outs)]
    people = {each.key: each for each in order.planned.line_up.people}
    chosen = people[max(outs, key=outs.count)] if outs else next(iter(people.values()))
    own = replace(order, reader=chosen)
    for sheet in OF_ONE_PLAYER:
        yield (
            f"{order.planned.event.setting.occasion}-{sheet}",
            draft_of(own, sheet),
            dots_of(sheet),
        )


def other_paper(parade: PrintOrder, exhibition: PrintOrder) -> Iterator[tuple[str, Draft, int]]:
    """Folded cards with their code, half sheets, US paper."""
    folded = Wish(is_folded=True, address=ADDRESS)
    yield "parade-set-cards-folded", draft_of(parade, Sheet.SET_CARDS, folded), 80
    half = Wish(is_half=True)
    yield "exhibition-phrased-music-half", draft_of(exhibition, Sheet.PHRASED_MUSIC, half), 72
    letter = Wish(PrintFormat.LETTER, address=ADDRESS)
    yield "exhibition-call-sheet-letter", draft_of(exhibition, Sheet.CALL_SHEET, letter), 62
    yield "parade-set-cards-letter", draft_of(parade, Sheet.SET_CARDS, letter), 88


def two_occasions(database: Database, band: BandId) -> Draft:
    """A tune of the demo band on parade and in an exhibition."""
    with database.reading() as session:
        tunes, _ = page_of_tunes(session, band, 1)
        tune = next(each for each in tunes if "Spilt" in each.noun.record.title)
    parade = Setting(Occasion.PARADE, Sort.OWN_BAND, control=Control(4))
    exhibition = Setting(Occasion.EXHIBITION, Sort.STANDING, control=Control(4))
    return draft_side_by_side(database, band, tune.id, (parade, exhibition))


def hard_papers() -> Iterator[tuple[str, Draft, int]]:
    """Sheets that are hard to set, all made up here."""
    long = order_of([made_up(f"{LONG_TITLE} {number}") for number in range(1, 9)], 8)
    for sheet in (Sheet.SET_CARDS, Sheet.PHRASED_MUSIC, Sheet.JOINS):
        yield f"long-titles-{sheet}", draft_of(first_tunes(long, sheet), sheet), dots_of(sheet)
    many = order_of([made_up(f"Tune Number {number}") for number in range(1, 31)], 3)
    for sheet in (Sheet.SET_CARDS, Sheet.DRUM_SHEET, Sheet.RUNNING_ORDER, Sheet.CALL_SHEET):
        yield f"thirty-tunes-{sheet}", draft_of(many, sheet), dots_of(sheet)
    twelve = order_of([made_up("The Twelve Doors", parts=12)], 1)
    for sheet in (Sheet.PHRASED_MUSIC, Sheet.DRUM_SHEET):
        yield f"twelve-parts-{sheet}", draft_of(twelve, sheet), dots_of(sheet)


LONG_TITLE = "Mistress Ottoline Fairweather's Farewell to the Upper Mill at Brackendale, Part"
BARS = (
    "{g}A>B {GdGe}c>d|{gcd}c>e {ag}a>e|{Gdc}d>B {g}c>A|{gBd}B>A {GdG}B2|"
    "{g}A>B {GdGe}c>d|{gcd}c>e {ag}a>e|{Gdc}d>f {g}e>c|{gBd}B>G {g}A2"
)


def made_up(title: str, parts: int = 2) -> Tune:
    """A march of eight-bar parts."""
    music = "\n".join(f"|:{BARS}:|" for _ in range(parts))
    text = f"X:1\nT:{title}\nR:march\nM:2/4\nL:1/8\nQ:1/4=84\nC:Made up\nK:HP\n{music}\n"
    return read_tune("made_up.abc", text.encode()).tune


def order_of(tunes: list[Tune], in_a_set: int) -> PrintOrder:
    """An exhibition of these tunes, so many in a set."""
    setting = Setting(Occasion.EXHIBITION, Sort.STANDING, control=Control(4))
    book, sets = load_rulebook(), []
    for number, start in enumerate(range(0, len(tunes), in_a_set), start=1):
        entries = tuple(
            PlannedEntry(
                Entry(str(index), times_through=2, start_line="two three-pace rolls"),
                plan_tune(tunes[index], setting, book),
            )
            for index in range(start, min(start + in_a_set, len(tunes)))
        )
        played = tuple(each.entry for each in entries)
        sets.append(PlannedSet(Set(f"set {number}", number, f"Set of {number}", played), entries))
    event = Event(
        key="made-up",
        name="A long day at the mill",
        setting=setting,
        day=date(2031, 6, 14),
        clock=Clock(time(9, 15), time(9, 45), time(10, 30)),
        items=tuple(Item(set_key=each.set.key) for each in sets),
        arrangements=Arrangements(stop_signal="the mace held level"),
    )
    music = {each.entry.tune_key: each.tune for one in sets for each in one.entries}
    timetable = time_event(event, {each.set.key: each.set for each in sets}, music, book)
    made_at = datetime(2031, 6, 12, 18, 4)
    planned = PlannedEvent(event, tuple(sets), LineUp(), made_at, timetable)
    return PrintOrder(1, planned, {})


def first_tunes(order: PrintOrder, sheet: Sheet) -> PrintOrder:
    """Two tunes are enough to look at their music."""
    if sheet is not Sheet.PHRASED_MUSIC:
        return order
    first = order.planned.sets[0]
    short = replace(first, entries=first.entries[:2])
    return replace(order, planned=replace(order.planned, sets=(short,)))


def dots_of(sheet: Sheet) -> int:
    """How finely a sheet is drawn: what is small on paper, finer."""
    return SMALL.get(sheet, USUAL_DOTS_PER_INCH)


def pages_of(pdf: bytes, dots_per_inch: int) -> list[Image.Image]:
    """The pages as grey pictures."""
    document = pypdfium2.PdfDocument(pdf)
    scale = dots_per_inch / POINTS_PER_INCH
    return [page.render(scale=scale).to_pil().convert("L") for page in document]


def laid_out(pages: list[Image.Image]) -> Image.Image:
    """Pages beside and below each other, as on a table."""
    framed = [ImageOps.expand(page, 1, EDGE) for page in pages]
    width = max(page.width for page in framed) + GAP
    height = max(page.height for page in framed) + GAP
    columns = min(len(framed), ROW_WIDTH // width)
    rows = -(-len(framed) // columns)
    table = Image.new("L", (width * columns + GAP, height * rows + GAP), TABLE)
    for index, page in enumerate(framed):
        row, column = divmod(index, columns)
        table.paste(page, (GAP + column * width, GAP + row * height))
    return table


def draw_card(database: Database, band: BandId, path: Path) -> None:
    """Both sides of one set card beside each other: the picture on the front page."""
    with database.reading() as session:
        order = take_order(session, band, all_events(session, band)[0].id)
    _, first, second, *_ = pages_of(draft_of(order, Sheet.SET_CARDS).print(), CARD_DOTS_PER_INCH)
    laid_out([first, second]).quantize(16).save(path, optimize=True)


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else Path("docs/gallery"))
