"""The service as a whole: health, headers, who is let in, what starting it costs."""

import subprocess
import sys

import pytest
from fastapi.testclient import TestClient

from api.app import create_app
from api.settings import Settings
from tests.api.library import AT_THIS_MACHINE

HEAVY = {"music21", "verovio", "weasyprint", "scipy", "numpy", "alembic"}


def test_health_is_200_when_the_database_answers(client: TestClient) -> None:
    assert client.get("/healthz").json() == {"status": "ok"}


def test_health_is_503_when_the_database_is_gone(client: TestClient, settings: Settings) -> None:
    client.app.state.database.close()  # type: ignore[attr-defined]
    for file in settings.data_dir.iterdir():
        file.unlink()
    settings.data_dir.rmdir()
    assert client.get("/healthz").status_code == 503


def test_an_address_without_anything_answers_404_as_a_problem_document(client: TestClient) -> None:
    answer = client.get("/api/nothing")
    assert answer.status_code == 404
    assert answer.headers["content-type"] == "application/problem+json"
    assert answer.json()["detail"] == "There is nothing at /api/nothing: check the address."


def test_every_answer_tells_the_browser_to_run_only_our_own(client: TestClient) -> None:
    for address in ("/healthz", "/api/tunes", "/api/nothing"):
        headers = client.get(address).headers
        policy = headers["content-security-policy"]
        assert policy.startswith("default-src 'self'")
        assert "unsafe" not in policy
        assert "frame-ancestors 'none'" in policy
        assert headers["x-content-type-options"] == "nosniff"


@pytest.mark.parametrize(
    "headers",
    [
        {"Origin": "http://elsewhere.example"},
        {"Origin": "null"},
        {"Origin": ""},
        {"Sec-Fetch-Site": "cross-site"},
        {"Sec-Fetch-Site": "same-site"},
        {"Sec-Fetch-Site": "cross-site", "Origin": "http://127.0.0.1:8000"},
    ],
)
def test_a_change_from_another_sites_page_is_refused(
    client: TestClient, headers: dict[str, str]
) -> None:
    answer = client.post("/api/tunes", json={}, headers=headers)
    assert (answer.status_code, answer.json()["title"]) == (403, "Sent from elsewhere")


@pytest.mark.parametrize(
    "headers",
    [{}, {"Origin": "http://127.0.0.1:8000"}, {"Sec-Fetch-Site": "same-origin"}],
)
def test_a_change_from_our_own_page_or_a_program_is_looked_at(
    client: TestClient, headers: dict[str, str]
) -> None:
    assert client.post("/api/tunes", json={}, headers=headers).status_code == 422


@pytest.mark.parametrize("host", ["elsewhere.example", "elsewhere.example:8000", "[", ""])
def test_an_unknown_host_name_is_refused_on_loopback(client: TestClient, host: str) -> None:
    assert client.get("/healthz", headers={"Host": host}).status_code == 421


@pytest.mark.parametrize("host", ["localhost:8000", "127.0.0.1", "[::1]:8000"])
def test_the_names_of_this_machine_are_let_in(client: TestClient, host: str) -> None:
    assert client.get("/healthz", headers={"Host": host}).status_code == 200


def test_a_body_that_grows_beyond_the_limit_is_stopped_whatever_it_claims(
    client: TestClient,
) -> None:
    pieces = (b"x" * 1_000_000 for _ in range(13))
    answer = client.post("/api/tunes", content=pieces, headers={"content-type": "application/json"})
    assert (answer.status_code, answer.json()["status"]) == (413, 413)


def test_long_answers_are_compressed(client: TestClient) -> None:
    answer = client.get("/api/openapi.json", headers={"Accept-Encoding": "gzip"})
    assert answer.headers["content-encoding"] == "gzip"


def test_a_fault_of_ours_is_an_apology_with_a_number_and_no_secrets(settings: Settings) -> None:
    app = create_app(settings)

    @app.get("/api/broken")
    def broken() -> None:
        raise ValueError("the secret inside")

    with TestClient(
        app, raise_server_exceptions=False, base_url="http://localhost", client=AT_THIS_MACHINE
    ) as client:
        answer = client.get("/api/broken")
    assert answer.status_code == 500
    assert answer.json()["number"] in answer.json()["detail"]
    assert "secret" not in answer.text


def test_starting_with_an_up_to_date_library_loads_nothing_heavy(settings: Settings) -> None:
    with TestClient(create_app(settings), base_url="http://localhost", client=AT_THIS_MACHINE):
        pass
    script = (
        "import sys\n"
        "from api.app import create_app\n"
        "from api.settings import Settings\n"
        "from api.storage.library import open_library\n"
        f"settings = Settings(data_dir={str(settings.data_dir)!r})\n"
        "create_app(settings)\n"
        "open_library(settings.address_of_database, 'Testing band').close()\n"
        "print(*sorted(sys.modules))\n"
    )
    found = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, check=True
    )
    assert not HEAVY & set(found.stdout.split())
