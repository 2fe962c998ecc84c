"""How long does a person wait until 20 minutes are filled from a large library?

The library is made by a fixed seed: 400 tunes, which are the demo band's under other titles, and 60
sets of two to five of them. The floor is the solver alone on the same choice.
"""

from __future__ import annotations

import tempfile
from collections.abc import Callable, Iterator
from itertools import cycle, islice
from pathlib import Path
from random import Random

from api.actions import reading
from api.actions.fill import Filling, Wish, candidates_for, fill_slot
from api.storage import events as stored_events
from api.storage import sets as stored_sets
from api.storage import tunes as stored_tunes
from api.storage.database import BandId, Database, Session, found_band, open_database
from api.storage.migrate import migrate_database
from api.storage.records import NewFile, TuneRecord
from planner.event.event import Entry, Event, Occasion, Set, Setting, Sort
from planner.event.filling.selection import Room, select_items
from planner.rules.load import load_rulebook

Work = Callable[[], object]

TUNES = Path(__file__).resolve().parent.parent / "seed_data" / "tunes"
COUNT_OF_TUNES, COUNT_OF_SETS, SEED = 400, 60, 20
CENTRES = ("A", "D", "B minor", "E minor", "")
WISH = Wish(minutes=20)


def fill() -> dict[str, Work]:
    """The solver alone, the whole proposal, and the same after the tunes are forgotten."""
    folder = tempfile.mkdtemp(prefix="pacestick-bench-")
    database = open_database(f"sqlite:///{folder}/library.db")
    migrate_database(database)
    with database.writing() as session:
        found_band(session, "The bench")
        event = add_library(session, database.home_band())
    with database.reading() as session:
        offered = candidates_for(session, database.home_band(), event, WISH)
    best = propose(database, event).best.order
    print(f"  {len(best.items)} of {len(offered)} sets, gap {best.gap:.1%}")

    def forgetful() -> object:
        reading.forget_read()
        return propose(database, event)

    room, book = Room(WISH.minutes * 60, WISH.gap_s), load_rulebook()
    return {
        "solver alone": lambda: select_items(offered, room, book),
        "proposal and alternatives": lambda: propose(database, event),
        "with tunes read anew": forgetful,
    }


def propose(database: Database, event: int) -> Filling:
    """What a person waits for when they ask for a proposal."""
    with database.reading() as session:
        return fill_slot(session, database.home_band(), event, WISH)


def add_library(session: Session, band: BandId) -> int:
    """Store tunes, sets and an exhibition; the number of the exhibition."""
    pick = Random(SEED)
    keys = [
        stored_tunes.add_tune(session, band, record, music).noun.key
        for record, music in some_tunes(pick)
    ]
    for number in range(1, COUNT_OF_SETS + 1):
        entries = tuple(Entry(key) for key in pick.sample(keys, pick.randint(2, 5)))
        stored_sets.add_set(session, band, Set("", number, f"Set {number}", entries))
    setting = Setting(Occasion.EXHIBITION, Sort.STANDING)
    event = stored_events.add_event(session, band, Event("", "A long evening", setting)).id
    session.commit()
    return event


def some_tunes(pick: Random) -> Iterator[tuple[TuneRecord, NewFile]]:
    """The demo band's tunes over and over, each a file of its own."""
    paths = cycle(sorted(TUNES.glob("*.abc")))
    for number, path in enumerate(islice(paths, COUNT_OF_TUNES), start=1):
        text = path.read_text(encoding="utf-8") + f"% copy {number}\n"
        record = TuneRecord(key="", title=f"Tune {number}", tonal_centre=pick.choice(CENTRES))
        yield record, NewFile(f"{number}.abc", "text/vnd.abc", text.encode())
