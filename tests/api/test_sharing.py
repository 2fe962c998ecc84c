"""Who elsewhere can read what: only the players' pages, only by the link, and nothing changes."""

import shutil
import stat
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from fastapi.routing import iter_route_contexts
from fastapi.testclient import TestClient

from api.app import ROOMS, add_room, create_app
from api.settings import Settings
from api.sharing import KEY_FILE, keep_reading_key, new_reading_key, reading_address, reading_key
from tests.api.library import a_person, a_set, a_tune, an_event

# Addresses kept for documents (RFC 5737): a telephone in the same network, and this machine there.
TELEPHONE = ("192.0.2.7", 40_000)
LOOPBACK = ("127.0.0.1", 50_000)
SHARED = "http://192.0.2.5:8000"

Open = Callable[..., TestClient]


@pytest.fixture
def shared(empty_library: Path, tmp_path: Path) -> Iterator[Open]:
    """A service that shares, as it is reached from an address under a name."""
    folder = Path(shutil.copytree(empty_library, tmp_path / "library"))
    settings = Settings(data_dir=folder, database_url="", host="0.0.0.0", share=True)
    app = create_app(settings)

    def reach(client: tuple[str, int], base_url: str) -> TestClient:
        return TestClient(app, base_url=base_url, client=client, follow_redirects=False)

    with TestClient(app, base_url="http://localhost", client=LOOPBACK) as here:
        an_event(here, a_set(here, a_tune(here)))
        a_person(here)
        yield reach


@pytest.fixture
def telephone(shared: Open) -> TestClient:
    return shared(TELEPHONE, SHARED)


@pytest.fixture
def link(telephone: TestClient) -> str:
    settings: Settings = telephone.app.state.settings  # type: ignore[attr-defined]
    return f"/reading/{reading_key(settings.data_dir)}"


def ways_in() -> list[tuple[str, str]]:
    """Every route of the service: method and path, numbers filled in."""
    app = create_app(Settings())
    for room in ROOMS:
        add_room(app, room)
    found = set()
    for route in iter_route_contexts(app.routes):
        path = str(route.path)
        for method in route.methods or ():
            found.add((method, path.replace("{", "").replace("}", "") if ":" in path else path))
    return sorted((method, fill(path)) for method, path in found)


def fill(path: str) -> str:
    steps = ["1" if step.startswith("{") else step for step in path.split("/")]
    return "/".join(step.replace("{number}", "1") for step in steps)


@pytest.mark.parametrize("below", ["", "/reading/guessed"])
def test_without_the_link_a_reader_elsewhere_gets_nothing_at_all(
    telephone: TestClient, below: str
) -> None:
    ways = ways_in()
    assert len(ways) > 100
    for method, path in ways:
        answer = telephone.request(method, f"{below}{path}")
        assert answer.status_code == 403, (method, path)


def test_the_link_opens_the_players_pages_and_nothing_else(
    telephone: TestClient, link: str
) -> None:
    for method, path in ways_in():
        answer = telephone.request(method, f"{link}{path}")
        if method in ("GET", "HEAD") and path.split("/")[1] == "players":
            assert answer.status_code in (200, 303, 422), (method, path, answer.text)
        else:
            assert answer.status_code == 403, (method, path)


def test_a_reader_chooses_who_they_are_and_is_remembered(telephone: TestClient, link: str) -> None:
    page = telephone.get(f"{link}/players")
    assert f'href="{link}/players/choose/1"' in page.text
    chosen = telephone.get(f"{link}/players/choose/1")
    assert chosen.headers["location"] == f"{link}/players/1"
    assert f"Path={link}/players" in chosen.headers["set-cookie"]
    assert telephone.get(f"{link}/players").headers["location"] == f"{link}/players/1"
    card = telephone.get(f"{link}/players/events/1").headers["location"]
    assert card == f"{link}/players/1/events/1"
    assert "The Wicker Gate" in telephone.get(card).text
    assert telephone.get(f"{link}/players?choose=again").status_code == 200


def test_a_remembered_player_who_has_left_is_asked_again(telephone: TestClient, link: str) -> None:
    telephone.cookies.set("me", "77")
    assert "Who are you?" in telephone.get(f"{link}/players").text


def test_no_page_for_a_reader_leads_where_they_may_not_go(telephone: TestClient, link: str) -> None:
    for page in ("players", "players/1", "players/1/events/1", "players/1/events/1/tunes/1"):
        text = telephone.get(f"{link}/{page}").text
        links = {part.split('"')[0] for part in text.split('href="')[1:]}
        assert links
        inside = [each for each in links if each.startswith((f"{link}/players", "/static/", "#"))]
        assert sorted(inside) == sorted(links)


def test_a_refusal_is_a_page_with_one_clear_sentence(telephone: TestClient, link: str) -> None:
    assert "This page stays on the machine Pacestick runs on" in telephone.get("/events").text
    assert "ask the pipe-major" in telephone.get("/reading/guessed/players").text
    assert "nothing can be changed" in telephone.post(f"{link}/players").text
    assert telephone.get("/api/tunes").headers["content-type"] == "application/problem+json"


def test_a_renewed_link_takes_the_place_of_the_old_one_at_once(
    telephone: TestClient, link: str
) -> None:
    assert telephone.get(f"{link}/players").status_code == 200
    settings: Settings = telephone.app.state.settings  # type: ignore[attr-defined]
    key = new_reading_key(settings.data_dir)
    assert telephone.get(f"{link}/players").status_code == 403
    assert telephone.get(f"/reading/{key}/players").status_code == 200


@pytest.mark.parametrize("given", ["", " ", "%00", "é", "..", "x" * 4000])
def test_no_made_up_key_is_one(telephone: TestClient, given: str) -> None:
    assert telephone.get(f"/reading/{given}/players").status_code in (403, 404)


def test_an_empty_key_file_opens_nothing(telephone: TestClient, link: str) -> None:
    settings: Settings = telephone.app.state.settings  # type: ignore[attr-defined]
    (settings.data_dir / KEY_FILE).write_text("")
    assert telephone.get("/reading//players").status_code == 403
    assert telephone.get(f"{link}/players").status_code == 403


@pytest.mark.parametrize("name", ["elsewhere.example", "elsewhere.example:8000", "192.0.2.5.x"])
def test_a_name_made_to_lead_here_is_refused_even_on_this_machine(shared: Open, name: str) -> None:
    # DNS rebinding: a page elsewhere gives its own name the number of this machine
    at_this_machine = shared(LOOPBACK, f"http://{name}")
    assert at_this_machine.get("/events").status_code == 421
    assert at_this_machine.post("/people/new", data={"name": "Nobody"}).status_code == 421


def test_under_the_number_of_its_network_this_machine_is_elsewhere(shared: Open) -> None:
    assert shared(LOOPBACK, SHARED).get("/events").status_code == 403


@pytest.mark.parametrize("header", ["X-Forwarded-For", "Forwarded", "X-Real-IP", "Via"])
def test_whoever_a_go_between_asks_for_is_elsewhere(shared: Open, header: str) -> None:
    asked = shared(LOOPBACK, "http://localhost").get("/events", headers={header: "127.0.0.1"})
    assert asked.status_code == 403


@pytest.mark.parametrize("client", [LOOPBACK, ("::1", 1), ("::ffff:127.0.0.1", 1)])
def test_at_this_machine_everything_stays_open(shared: Open, client: tuple[str, int]) -> None:
    assert shared(client, "http://localhost").get("/events").status_code == 200


def test_nothing_is_read_from_elsewhere_unless_it_is_shared(settings: Settings) -> None:
    key = keep_reading_key(settings.data_dir)
    app = create_app(settings)
    here = "http://127.0.0.1:8000"
    with TestClient(app, base_url=here, client=TELEPHONE) as telephone:
        for path in ("/players", f"/reading/{key}/players", "/healthz"):
            assert telephone.get(path).status_code == 403


def test_only_its_owner_may_read_the_key_and_it_stays_the_same(tmp_path: Path) -> None:
    key = keep_reading_key(tmp_path / "library")
    file = tmp_path / "library" / KEY_FILE
    file.chmod(0o644)
    assert keep_reading_key(tmp_path / "library") == key
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    assert len(key) >= 22
    assert new_reading_key(tmp_path / "library") != key
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    assert [each.name for each in file.parent.iterdir()] == [KEY_FILE]


def test_the_reading_address_is_the_public_one_else_that_of_the_network(tmp_path: Path) -> None:
    key = keep_reading_key(tmp_path)
    here = Settings(data_dir=tmp_path, share=True, host="192.0.2.5", port=8000)
    assert reading_address(here) == f"{SHARED}/reading/{key}/players"
    public = here.model_copy(update={"public_address": "https://band.example/"})
    assert reading_address(public) == f"https://band.example/reading/{key}/players"
    assert reading_address(here.model_copy(update={"share": False})) == ""
    everywhere = reading_address(here.model_copy(update={"host": "0.0.0.0"}))
    assert "0.0.0.0" not in everywhere


def test_listening_for_others_without_sharing_is_refused_in_one_sentence(tmp_path: Path) -> None:
    program = Path(sys.executable).with_name("pacestick")
    command = [program, "serve", "--host", "0.0.0.0", "--data", tmp_path]
    done = subprocess.run(command, capture_output=True, text=True, timeout=60)
    assert done.returncode == 2
    assert done.stderr.splitlines() == [
        "host: others can reach 0.0.0.0; add --share to let them read the players' pages, "
        "or leave --host out."
    ]
