"""The pages where lists come in: every row that is refused is shown."""

from fastapi.testclient import TestClient

from tests.api.library import a_person, an_event, stored


def test_a_list_of_people_comes_in_from_the_page(client: TestClient) -> None:
    file = {"file": ("people.csv", b"name,instrument\nAda,pipes\nBo,snare\n")}
    assert "Added." in client.post("/people/lists/people", files=file).text
    assert stored(client)["people"] == 2


def test_every_refused_row_is_on_the_page_and_nothing_is_stored(client: TestClient) -> None:
    file = {"file": ("people.csv", b"name,instrument\nAda,harp\nBo,flute\nCy,bass\n")}
    page = client.post("/people/lists/people", files=file)
    assert page.status_code == 422
    assert "“harp” is not known" in page.text
    assert "“flute” is not known" in page.text
    assert stored(client)["people"] == 0


def test_a_list_of_tunes_comes_in_from_the_page(client: TestClient) -> None:
    file = {"file": ("tunes.csv", b"title,metre,parts\nThe Salt Gate,6/8,8x2 8x2\n")}
    assert "Added." in client.post("/people/lists/tunes", files=file).text
    assert stored(client)["tunes"] == 1


def test_no_file_is_one_sentence(client: TestClient) -> None:
    assert "No file was chosen" in client.post("/people/lists/people", data={"file": ""}).text


def test_answers_come_in_from_the_page(client: TestClient) -> None:
    a_person(client, "Ada")
    key = an_event(client)
    file = {"file": ("answers.csv", b"name,answer\nAda,maybe\n")}
    page = client.post(f"/events/{key}/answers", files=file, data={"version": "1"})
    assert "<dt>Maybe</dt><dd>Ada</dd>" in page.text
