"""How long does a person wait for paper? The benches of ``bench.py`` that print.

The printer and the engraver work in processes of their own, whose processor time is counted too;
both are warm when the clock starts.
"""

from __future__ import annotations

import os
import re
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from pathlib import Path

import psutil
from weasyprint import HTML

from api.actions.pack import PackWish, pack_drafts, pack_of, print_distinct
from api.actions.print_order import PrintOrder
from api.display.paper.phrased_music import phrased_tune_sheet
from api.display.paper.pictures import as_large_as_fits, forget_drawings, tune_pictures
from api.display.planned import PlannedEntry, PlannedEvent, PlannedSet
from api.printing import pdf
from api.printing.press import Press
from api.printing.sheets import phrased_sections
from planner.engraving.engrave import EDGE_MM, STAFF_UNITS, Score, engrave, engraver
from planner.engraving.layout import A4
from planner.engraving.lines import line_starts
from planner.event.event import (
    Control,
    Entry,
    Event,
    Instrument,
    Item,
    LineUp,
    Occasion,
    Person,
    Set,
    Setting,
    Sort,
)
from planner.event.timetable import time_event
from planner.notation.read import read_tune
from planner.plan import TunePlan, plan_tune
from planner.rules.load import load_rulebook

Work = Callable[[], object]

TUNES = Path(__file__).resolve().parent.parent / "seed_data" / "tunes"
ONE_PAGE = "pellowick_and_the_parrot"
MADE_AT = datetime(2031, 6, 12, 18, 4)
STANDING = Setting(Occasion.EXHIBITION, Sort.STANDING, control=Control(4))
PIPERS, DRUMMERS, MOST_TUNES, IN_A_SET = 16, 4, 16, 4


def sheet() -> dict[str, Work]:
    """One page of phrased music: the library alone on the same page, and all that we do."""
    plan = planned(ONE_PAGE)
    page = sections(plan)[0].html
    return {
        "WeasyPrint alone, drawings flattened": lambda: bare(page),
        "our sheet, drawings kept": lambda: print_anew(plan),
        "our sheet, nothing kept": lambda: (forget_drawings(), print_anew(plan)),
        "WeasyPrint alone, the engraver's drawings inline": lambda: bare(with_full_drawings(plan)),
    }


def pack() -> dict[str, Work]:
    """A pack for 20 people and 16 tunes: its distinct pages, the whole, and the whole again."""
    order = big_order()
    drafts = pack_drafts(order, PackWish())
    count = len({section.digest for draft in drafts for section in draft.sections})
    print(
        f"  {sum(len(d.sections) for d in drafts)} sheets in {len(drafts)} files, {count} distinct"
    )

    def first() -> None:
        pdf.forget_printed()
        content = pack_of(order, PackWish())
        print(f"  {len(content) / 1e6:.1f} MB; {memory_words()}")

    def distinct() -> None:
        pdf.forget_printed()
        print_distinct(drafts)

    return {
        "its distinct pages": distinct,
        "the whole pack": first,
        "the pack again, unchanged": lambda: pack_of(order, PackWish()),
    }


def memory_words() -> str:
    """Resident memory of this process and of the two that work for it."""
    named = (("service", os.getpid()), ("printer", pdf.printer().pid), ("engraver", engraver.pid))
    said = [
        f"{name} {psutil.Process(pid).memory_info().rss / 1e6:.0f} MB" for name, pid in named if pid
    ]
    return ", ".join(said)


def planned(name: str) -> TunePlan:
    """A demo tune in an exhibition, where it has most marks."""
    path = TUNES / f"{name}.abc"
    return plan_tune(read_tune(path.name, path.read_bytes()).tune, STANDING, load_rulebook())


def sections(plan: TunePlan) -> tuple[pdf.Section, ...]:
    """The music of a tune, ready to be printed."""
    view = phrased_tune_sheet(plan, tune_pictures(plan.tune, plan.marks), MADE_AT)
    return phrased_sections(view, Press(made_at=MADE_AT))


def print_anew(plan: TunePlan) -> bytes:
    """Our sheet from the plan to the PDF."""
    pdf.forget_printed()
    return pdf.sections_to_pdf(sections(plan))


def bare(page: str) -> bytes:
    """The page as the library prints it, with our style sheet and fonts read before."""
    sheets, fonts = pdf.style()
    laid_out = HTML(string=page, base_url=pdf.STATIC_ADDRESS, url_fetcher=pdf.fetcher())
    content: bytes = laid_out.write_pdf(stylesheets=[sheets[0]], font_config=fonts)
    return content


def with_full_drawings(plan: TunePlan) -> str:
    """The same page with the engraver's own SVG in its place, as it comes; the marks are missing.

    Two numbers are added, without which the library would print nothing of it.
    """
    layout = as_large_as_fits(plan.tune, A4)
    unit_mm = engrave(plan.tune, layout).staff_mm / STAFF_UNITS
    score = Score(replace(plan.tune, tempo=None), layout, line_starts(plan.tune))
    (svg,) = score.drawn((layout.line_mm - EDGE_MM) / unit_mm, has_boxes=False)
    width, height = re.findall(r'(?:width|height)="(\d+)px"', svg)[:2]
    sized = f'<svg class="definition-scale" width="{width}" height="{height}"'
    before, _, rest = sections(plan)[0].html.partition('<img class="system"')
    _, _, after = rest.partition(">")
    return before + svg.replace('<svg class="definition-scale"', sized, 1) + after


def big_order() -> PrintOrder:
    """An exhibition of 16 tunes in 4 sets for 16 pipers and 4 drummers, each out of one tune."""
    book, names = load_rulebook(), sorted(path.stem for path in TUNES.glob("*.abc"))[:MOST_TUNES]
    entries = [PlannedEntry(Entry(str(n)), planned(name)) for n, name in enumerate(names)]
    sets = []
    for start in range(0, len(entries), IN_A_SET):
        own, number = tuple(entries[start : start + IN_A_SET]), start // IN_A_SET + 1
        played = Set(f"set {number}", number, f"Set of {number}", tuple(e.entry for e in own))
        sets.append(PlannedSet(played, own))
    items = tuple(Item(set_key=each.set.key) for each in sets)
    event = Event("bench", "A long evening", STANDING, items=items)
    timetable = time_event(
        event,
        {each.set.key: each.set for each in sets},
        {each.entry.tune_key: each.tune for each in entries},
        book,
    )
    planned_event = PlannedEvent(event, tuple(sets), line_up(len(entries)), MADE_AT, timetable)
    return PrintOrder(1, planned_event, {})


def line_up(tunes: int) -> LineUp:
    """Twenty people, each out of another tune."""
    instruments = [Instrument.PIPES] * PIPERS + [Instrument.SNARE] * DRUMMERS
    people = tuple(
        Person(f"p{n}", f"Player Number {n}", instrument, is_learner=n in (14, 15))
        for n, instrument in enumerate(instruments)
    )
    outs = frozenset((person.key, str(n % tunes)) for n, person in enumerate(people))
    return LineUp(people, outs)
