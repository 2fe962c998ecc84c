"""The library of 5,000 tunes: found by word and filter, a page at a time, with few questions."""

import re
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from fastapi import FastAPI
from fastapi.testclient import TestClient

from api.actions.shelf import PAGE, shelve
from api.settings import Settings
from api.storage.database import BandId
from api.storage.library import open_library
from api.storage.tables import PersonRow, ReadinessRow, TuneRow
from tests.api.library import AT_THIS_MACHINE, upload
from tests.api.pages.test_every_page import MOST_STATEMENTS, counted

MANY = 5_000
BAND = BandId(1)
METRES = ("2/4", "6/8", "4/4", "3/4", "9/8")
CENTRES = ("A", "D", "B minor")


def a_row(number: int) -> TuneRow:
    """The number-th tune: every fifth in 6/8, every third around D, every hundredth by Mòrag."""
    return TuneRow(
        band_id=BAND,
        title=f"Tune {number:04d}",
        outline_metre=METRES[number % 5],
        outline_parts=[[8, 2], [8, 2]],
        idiom="jig" if number % 5 == 1 else "march",
        tonal_centre=CENTRES[number % 3],
        tags=["parade"] if number % 2 else ["exhibition", "competition"],
        composer="Mòrag Whin" if number % 100 == 0 else "",
    )


@pytest.fixture(scope="module")
def folder(empty_library: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A library with many tunes and three pipers, two of them on rung 2."""
    path = Path(shutil.copytree(empty_library, tmp_path_factory.mktemp("many") / "library"))
    database = open_library(Settings(data_dir=path, database_url="").address_of_database, "Band")
    with database.writing() as session:
        session.add_all(a_row(number) for number in range(MANY))
        session.add_all(
            PersonRow(band_id=BAND, name=f"Piper {rung}", instrument="pipes", rung=rung)
            for rung in (2, 2, 4)
        )
        session.flush()
        session.add_all(
            ReadinessRow(band_id=BAND, person_id=person, tune_id=tune, level=level)
            for person, tune, level in (
                (1, 1, "chanter"), (2, 1, "pipes-marching"),
                (1, 2, "chanter"), (2, 2, "chanter"), (3, 2, "pipes-standing"),
                (1, 3, "not-yet"), (2, 3, "chanter"), (3, 3, "chanter"),
            )
        )  # fmt: skip
        shelve(session, BAND)
        session.commit()
    database.close()
    return path


@pytest.fixture(scope="module")
def many(app: FastAPI, folder: Path) -> Iterator[TestClient]:
    app.state.settings = Settings(data_dir=folder, database_url="")
    with TestClient(app, base_url="http://localhost", client=AT_THIS_MACHINE) as opened:
        opened.get("/about")
        yield opened


def titles(page: str) -> list[str]:
    return re.findall(r'<span class="name"><a href="/tunes/\d+">([^<]+)</a>', page)


def test_a_page_has_the_first_tunes_and_leads_to_the_next(many: TestClient) -> None:
    page = many.get("/tunes").text
    assert titles(page) == [f"Tune {number:04d}" for number in range(PAGE)]
    assert f"5000 tunes, 1 to {PAGE} on this page" in page
    onward = re.search(r'href="(/tunes\?page=2)" rel="next"', page)
    assert onward
    assert titles(many.get(onward[1]).text)[0] == f"Tune {PAGE:04d}"


def test_the_last_page_leads_back_and_no_further(many: TestClient) -> None:
    page = many.get("/tunes?page=100").text
    assert titles(page)[-1] == "Tune 4999"
    assert 'rel="prev"' in page
    assert 'rel="next"' not in page


def test_the_search_goes_along_from_page_to_page(many: TestClient) -> None:
    page = many.get("/tunes?metre=6/8&words=tune").text
    assert "1000 of 5000 tunes, 1 to 50 on this page" in page
    assert "/tunes?words=tune&amp;metre=6%2F8&amp;page=2" in page


def test_words_are_found_without_capitals_and_accents_in_title_and_composer(
    many: TestClient,
) -> None:
    assert titles(many.get("/tunes?words=MORAG 42").text) == ["Tune 4200"]
    assert titles(many.get("/tunes?words=Mòrag 0100").text) == ["Tune 0100"]


@pytest.mark.parametrize("words", ["%", "_", "0%0"])
def test_signs_that_mean_something_to_a_database_mean_themselves(
    many: TestClient, words: str
) -> None:
    assert "Nothing fits." in many.get("/tunes", params={"words": words}).text


@pytest.mark.parametrize(
    ("search", "count"),
    [
        # Counted by hand from the rule in a_row: n of 0 to 4999 with the property.
        ("idiom=jig", 1000),
        ("metre=9/8", 1000),
        ("centre=D", 1667),
        ("tag=parade", 2500),
        ("tag=competition", 2500),
        ("tag=parade&metre=6/8", 500),
        ("centre=D&metre=6/8&tag=parade", 167),
    ],
)
def test_filters_narrow_it_down(many: TestClient, search: str, count: int) -> None:
    assert f"{count} of 5000 tunes" in many.get(f"/tunes?{search}").text


@pytest.mark.parametrize(
    ("search", "found"),
    [
        ("ready=chanter", ["Tune 0001"]),
        ("ready=chanter&rung=2", ["Tune 0000", "Tune 0001"]),
        ("rung=2", ["Tune 0000", "Tune 0001"]),
        ("rung=4", ["Tune 0001", "Tune 0002"]),
        ("ready=pipes-standing&rung=4", ["Tune 0001"]),
        ("ready=pipes-standing", []),
        ("rung=1", []),
    ],
)
def test_what_all_players_have_learnt_so_far_is_found(
    many: TestClient, search: str, found: list[str]
) -> None:
    assert titles(many.get(f"/tunes?{search}").text) == found


def test_a_level_nobody_knows_is_answered_in_one_sentence(many: TestClient) -> None:
    page = many.get("/tunes?ready=asleep")
    assert page.status_code == 422
    assert "“asleep” is no level; choose chanter" in page.text


@pytest.mark.parametrize(
    "address",
    [
        "/tunes",
        "/tunes?words=tune 0&idiom=march&metre=2/4&tag=parade&ready=chanter&rung=2&centre=A",
    ],
)
def test_a_page_of_5000_tunes_asks_as_little_as_a_page_of_18(
    many: TestClient, address: str
) -> None:
    with counted(many) as asked:
        assert many.get(address).status_code == 200
    assert len(asked) <= MOST_STATEMENTS
    assert not [statement for statement in asked if "upload" in statement]


def test_what_was_learnt_of_5000_tunes_is_shown_a_page_at_a_time(many: TestClient) -> None:
    grid = many.get("/people/readiness?words=tune 000").text
    assert re.findall(r'<th scope="row"><a href="/tunes/\d+">([^<]+)', grid) == [
        f"Tune {number:04d}" for number in (*range(10), 1000, 2000, 3000, 4000)
    ]
    form = many.get("/people/1/readiness?page=2").text
    assert form.count('name="level.') == PAGE
    assert "51 to 100 on this page" in form


def test_a_page_of_readiness_writes_only_what_it_shows(many: TestClient) -> None:
    before = {(each["person_key"], each["tune_key"]) for each in many.get("/api/readiness").json()}
    person = many.get("/api/people/3").json()
    said = {"version": str(person["version"]), "level.60": "chanter"}
    assert many.post("/people/3/readiness?page=2", data=said).status_code == 200
    after = {(each["person_key"], each["tune_key"]) for each in many.get("/api/readiness").json()}
    assert after == before | {("3", "60")}


def test_a_tune_is_found_by_its_new_title_at_once(client: TestClient) -> None:
    upload(client, b"X:1\nT:Quay Wall\nR:march\nM:2/4\nL:1/8\nK:HP\n{g}A2 {d}A2|\n")
    fields = {"version": "1", "title": "Harbour Wall", "idiom": "march"}
    client.post("/tunes/1/edit", data=fields)
    assert titles(client.get("/tunes?words=quay").text) == []
    assert titles(client.get("/tunes?words=harbour").text) == ["Harbour Wall"]


def test_a_library_from_before_the_list_is_shelved_when_it_is_opened(
    app: FastAPI, settings: Settings
) -> None:
    database = open_library(settings.address_of_database, "Band")
    with database.writing() as session:
        session.add(a_row(7))
        session.commit()
    database.close()
    app.state.settings = settings
    with TestClient(app, base_url="http://localhost", client=AT_THIS_MACHINE) as opened:
        assert titles(opened.get("/tunes").text) == ["Tune 0007"]


def test_a_tune_that_is_gone_is_off_the_list(client: TestClient) -> None:
    upload(client, b"X:1\nT:Quay Wall\nR:march\nM:2/4\nL:1/8\nK:HP\n{g}A2 {d}A2|\n")
    client.post("/tunes/1/delete", data={"version": "1"})
    assert "No tune yet" in client.get("/tunes").text
