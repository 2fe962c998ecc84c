"""How long does the library of 5,000 tunes take to answer? The whole server, without a network."""

from __future__ import annotations

import itertools
import random
import tempfile
from collections.abc import Callable
from pathlib import Path

from fastapi.testclient import TestClient

from api.actions.shelf import shelve
from api.app import create_app
from api.settings import Settings
from api.storage.database import BandId, Session
from api.storage.library import open_library
from api.storage.tables import PersonRow, ReadinessRow, TuneRow

Work = Callable[[], object]

MANY, PLAYERS = 5_000, 20
WORDS = (
    "quay", "harbour", "lantern", "bridge", "otter", "weir", "miller", "gate", "heron", "salt",
    "cart", "road",
)  # fmt: skip
METRES = ("2/4", "6/8", "4/4", "3/4", "9/8")
LEVELS = ("not-yet", "chanter", "pipes-standing", "pipes-marching")
BAND = BandId(1)


def search() -> dict[str, Work]:
    """Look for a word, for a word with every filter, and for the next page."""
    folder = tempfile.TemporaryDirectory()
    settings = Settings(data_dir=Path(folder.name), database_url="")
    _fill(settings)
    client = TestClient(create_app(settings), base_url="http://localhost", client=("127.0.0.1", 0))
    client.__enter__()
    client.get("/tunes")
    client.folder = folder  # type: ignore[attr-defined] - gone with the client
    words = itertools.cycle(WORDS)
    pages = itertools.cycle(range(1, 100))
    filters = "idiom=march&metre=2/4&tag=parade&centre=A&ready=pipes-standing&rung=2"
    return {
        "a page of all": lambda: client.get(f"/tunes?page={next(pages)}"),
        "a word": lambda: client.get(f"/tunes?words={next(words)}"),
        "a word and every filter": lambda: client.get(f"/tunes?words={next(words)}&{filters}"),
    }


def _fill(settings: Settings) -> None:
    chance = random.Random(5_000)
    database = open_library(settings.address_of_database, "Bench band")
    with database.writing() as session:
        session.add_all(_tune(number, chance) for number in range(MANY))
        session.add_all(
            PersonRow(
                band_id=BAND, name=f"Player {number}", instrument="pipes", rung=number % 4 + 1
            )
            for number in range(PLAYERS)
        )
        session.flush()
        _learn(session, chance)
        shelve(session, BAND)
        session.commit()
    database.close()


def _tune(number: int, chance: random.Random) -> TuneRow:
    return TuneRow(
        band_id=BAND,
        title=f"The {' '.join(chance.sample(WORDS, 3)).title()} {number}",
        outline_metre=chance.choice(METRES),
        outline_parts=[[8, 2]] * chance.randint(2, 8),
        idiom=chance.choice(("march", "jig", "slow air")),
        tonal_centre=chance.choice(("A", "D", "B minor")),
        tags=chance.sample(("parade", "dance", "exhibition", "competition"), 2),
        composer=f"{chance.choice(WORDS).title()} Whin",
    )


def _learn(session: Session, chance: random.Random) -> None:
    session.add_all(
        ReadinessRow(band_id=BAND, person_id=person, tune_id=tune, level=chance.choice(LEVELS))
        for tune in range(1, MANY + 1)
        for person in range(1, PLAYERS + 1)
    )
