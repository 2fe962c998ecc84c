"""The page of a pack: asked for, left, come back to, taken away."""

import io
import json
import zipfile
from threading import Event

from fastapi.testclient import TestClient

LONG_ENOUGH_S = 60
PAGE = "/events/4/pack"  # the smallest event of the demo band


def ready(demo: TestClient) -> str:
    """The page when the pack is ready."""
    tick = Event()
    for _ in range(LONG_ENOUGH_S * 10):
        page = demo.get(PAGE).text
        if "being printed" not in page.lower():
            return page
        tick.wait(0.1)
    raise AssertionError("the pack was never ready")


def test_a_pack_is_printed_while_one_is_away_and_taken_paper_by_paper(demo: TestClient) -> None:
    before = demo.get(PAGE).text
    assert "Print every sheet" in before
    assert demo.get(f"{PAGE}/all.zip").status_code == 404
    sent = demo.post(PAGE, data={"ask": "done"}, follow_redirects=False)
    assert (sent.status_code, sent.headers["location"]) == (303, PAGE)
    demo.get("/events")  # somebody walks away
    page = ready(demo)
    assert "sheets are ready: version 2, made" in page
    packed = demo.get(f"{PAGE}/all.zip")
    with zipfile.ZipFile(io.BytesIO(packed.content)) as pack:
        names = pack.namelist()
        for name in names:
            assert f'href="{PAGE}/files/{name}"' in page
        assert demo.get(f"{PAGE}/files/{names[0]}").content == pack.read(names[0])
    assert demo.get(f"{PAGE}/files/nothing.pdf").status_code == 404
    assert ">Noticeboard</a>" in page
    assert ">Olly Mossergarth</a>" in page


def test_music_nobody_allowed_is_asked_about_before_anything_is_printed(demo: TestClient) -> None:
    tune = demo.get("/api/sets/5").json()["entries"][0]["tune_key"]
    kept = demo.get(f"/api/tunes/{tune}").json()
    form = {"title": kept["title"], "permission": ""}
    demo.put(f"/api/tunes/{tune}", json=form, headers={"If-Match": "*"}).raise_for_status()
    assert "Has the owner been asked?" in demo.get(PAGE).text
    demo.post(PAGE)
    assert "Yes, print every sheet" in demo.get(PAGE).text, "nothing was begun"


def test_the_progress_is_told_step_by_step_until_it_is_over(demo: TestClient) -> None:
    demo.post(PAGE, data={"ask": "done"})
    with demo.stream("GET", f"{PAGE}/progress") as told:
        assert told.headers["content-type"].startswith("text/event-stream")
        lines = [line for line in told.iter_lines() if line]
    steps = [json.loads(line.removeprefix("data: ")) for line in lines if line.startswith("data")]
    assert lines[0].startswith("retry:")
    assert [step["done"] for step in steps] == sorted(step["done"] for step in steps)
    assert steps[-1]["is_over"]
    assert steps[-1]["done"] == steps[-1]["total"] > 0
    assert "sheets are ready" in demo.get(PAGE).text


def test_where_nothing_is_printed_the_progress_is_over_at_once(demo: TestClient) -> None:
    told = demo.get("/events/2/pack/progress").text
    assert "event: over" in told
