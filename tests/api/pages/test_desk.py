"""The desk: the way in, and what comes next."""

from fastapi.testclient import TestClient


def test_an_empty_library_leads_to_the_first_tune_and_to_the_demo_band(client: TestClient) -> None:
    page = client.get("/")
    assert page.status_code == 200
    assert 'href="/tunes/new"' in page.text
    assert '<form method="post" action="/demo">' in page.text


def test_the_demo_band_moves_in_at_the_press_of_a_button(client: TestClient) -> None:
    page = client.post("/demo")
    assert page.url.path == "/"
    assert "The demo band has moved in" in page.text
    assert "Lamp Day street parade" in page.text


def test_the_demo_band_moves_in_once_only(demo: TestClient) -> None:
    demo.post("/demo")
    assert len(demo.get("/api/events").json()) == 4


def test_the_desk_says_what_is_not_ready_and_where_to_mend_it(demo: TestClient) -> None:
    page = demo.get("/").text
    assert "wait for the leading drummer&#39;s word" in page
    assert 'href="/events/2/drums?only=open"' in page
