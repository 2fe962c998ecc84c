"""Each error has one status and one sentence."""

import pytest
from fastapi import FastAPI, Request, Response
from fastapi.responses import HTMLResponse
from fastapi.testclient import TestClient

from api.actions.faults import RefusedMusicError, SeveralTunesError, TooLargeError, TuneOnOffer
from api.errors import Problem, VersionMissingError, field_errors, problem_of
from api.storage.faults import InUseError, NotFoundError, StaleError
from planner.errors import (
    NotationError,
    PacestickError,
    RequestError,
    WorkerError,
    WorkerTimeout,
)
from planner.findings import Finding


@pytest.mark.parametrize(
    ("error", "status"),
    [
        (NotFoundError("tune", 4), 404),
        (InUseError("tune", "A", "the set “B”", "take it out"), 409),
        (StaleError("set", 1, 2), 412),
        (TooLargeError("a.abc", 2_000_000), 413),
        (NotationError("a.abc", "bar 2", "is too long", "shorten it"), 422),
        (RefusedMusicError("a.abc", "A", (), "bar 2 is too long"), 422),
        (SeveralTunesError("a.abc", ()), 422),
        (RequestError("tempo", "0 cannot be played", "give 20 to 300"), 422),
        (VersionMissingError(), 428),
        (WorkerError("reader", "The reader gave no answer."), 503),
        (WorkerTimeout("reader", 20), 503),
        (PacestickError("Something else."), 422),
    ],
)
def test_an_error_has_its_status_and_keeps_its_sentence(error: PacestickError, status: int) -> None:
    problem = problem_of(error)
    assert (problem.status, problem.detail) == (status, str(error))


def test_a_stale_version_names_the_newest() -> None:
    problem = problem_of(StaleError("set", 1, 2))
    assert (problem.more, problem.headers) == ({"newest_version": 2}, {"ETag": '"2"'})


def test_a_book_of_tunes_comes_with_its_list() -> None:
    problem = problem_of(SeveralTunesError("a.abc", (TuneOnOffer(1, "A"), TuneOnOffer(2, "B"))))
    assert [tune["title"] for tune in problem.more["tunes"]] == ["A", "B"]


def test_refused_music_comes_with_everything_that_was_found() -> None:
    found = (Finding("odd", "is odd", "bar 1"), Finding("long", "is long", "bar 2"))
    problem = problem_of(RefusedMusicError("a.abc", "A", found, "bar 2: is long"))
    assert [finding["where"] for finding in problem.more["findings"]] == ["bar 1", "bar 2"]


def test_a_fault_of_a_form_is_one_sentence_with_what_was_given() -> None:
    fault = {
        "loc": ("body", "entries", 0, "tempo_bpm"),
        "msg": "Input should be greater than or equal to 20",
        "input": 0,
    }
    assert field_errors([fault]) == (
        {
            "field": "entries.0.tempo_bpm",
            "detail": "entries.0.tempo_bpm: should be greater than or equal to 20 (it was 0).",
        },
    )


def test_what_was_given_is_left_out_when_it_is_long() -> None:
    fault = {"loc": ("body", "name"), "msg": "String is too long", "input": "x" * 500}
    assert field_errors([fault])[0]["detail"] == "name: string is too long."


def test_pages_draw_their_own_errors_and_programs_get_documents(
    client: TestClient, app: FastAPI, monkeypatch: pytest.MonkeyPatch
) -> None:
    def draw(_request: Request, problem: Problem) -> Response:
        return HTMLResponse(f"<h1>{problem.title}</h1>", problem.status)

    monkeypatch.setattr(app.state, "error_page", draw, raising=False)
    page = client.get("/no-such-page")
    assert (page.status_code, page.text) == (404, "<h1>Not Found</h1>")
    assert client.get("/api/nothing").headers["content-type"] == "application/problem+json"
