"""Contest rules of the band's own on their pages, as somebody fills them in."""

from fastapi.testclient import TestClient

from tests.api.pages.form_reader import fields_of

HERE = "/rules/contests"
TYPED = {
    "body": "Weir Valley", "year": "2027", "grade": "Grade 4", "element": "march, strathspey, reel",
    "shortest": "3:00", "longest": "5:00", "tune_types": "March, Strathspey, Reel",
    "parts": "4-4-4, 4-2-2", "pipers": "6", "set_by": "Morna",
}  # fmt: skip


def test_rules_are_added_listed_changed_and_removed(client: TestClient) -> None:
    page = client.post(f"{HERE}/new", data=TYPED).text
    assert "Added." in page
    assert "Weir Valley 2027, Grade 4, march, strathspey, reel" in page
    assert "3:00 to 5:00" in page
    assert "March, strathspey and reel; parts 4-4-4 or 4-2-2. At least pipes 6." in page
    assert "added by Morna on 20" in page
    assert "our own: Weir Valley 2027" in client.get("/sets/new").text
    one = f"{HERE}/1"
    fields = {name: values[0] for name, values in fields_of(client.get(one).text, one).items()}
    assert fields["shortest"] == "3:00"
    assert fields["parts"] == "4-4-4, 4-2-2"
    saved = client.post(one, data={**fields, "longest": "330"})
    assert 'value="5:30"' in saved.text
    assert "3:00 to 5:30" in client.get(HERE).text
    client.post(f"{one}/delete", data={"version": "2"})
    assert "None yet." in client.get(HERE).text


def test_a_form_that_is_refused_keeps_what_was_typed(client: TestClient) -> None:
    page = client.post(f"{HERE}/new", data={**TYPED, "shortest": "6:00"})
    assert page.status_code == 422
    assert 'id="shortest-fault"' in page.text
    assert "The shortest time, 360 s, is longer than the longest, 300 s" in page.text
    assert 'value="6:00"' in page.text
    assert "None yet." in client.get(HERE).text


def test_a_word_that_is_no_number_is_said_beside_its_field(client: TestClient) -> None:
    page = client.post(f"{HERE}/new", data={**TYPED, "year": "soon", "longest": "5 min"})
    assert page.status_code == 422
    assert 'id="longest-fault"' in page.text
    page = client.post(f"{HERE}/new", data={**TYPED, "year": "soon"})
    assert 'id="year-fault"' in page.text


def test_a_file_is_taken_in_or_said_no_to(client: TestClient) -> None:
    text = b'body = "Weir"\nyear = 2027\ngrade = "4"\nelement = "medley"\nsets = 2\n'
    files = {"file": ("rules.toml", text)}
    refused = client.post(f"{HERE}/file", files=files)
    assert refused.status_code == 422
    assert 'id="set_by-fault"' in refused.text
    page = client.post(f"{HERE}/file", files=files, data={"set_by": "Tam"}).text
    assert "added by Tam" in page
    again = client.post(f"{HERE}/file", files=files, data={"set_by": "Tam"})
    assert again.status_code == 422
    assert "Element: there are rules for weir-2027-4-medley already" in again.text
    none = client.post(f"{HERE}/file", data={"set_by": "Tam"})
    assert "No file was chosen" in none.text


def test_rules_changed_meanwhile_are_not_written_over(client: TestClient) -> None:
    client.post(f"{HERE}/new", data=TYPED)
    one = f"{HERE}/1"
    client.post(one, data={**TYPED, "version": "1", "pipers": "7"})
    stale = client.post(one, data={**TYPED, "version": "1", "pipers": "8"})
    assert stale.status_code == 412
    assert 'value="8"' in stale.text


def test_the_books_rules_stand_there_with_their_source(client: TestClient) -> None:
    page = client.get(HERE).text
    assert "RSPBA 2026, grade 2, medley" in page
    assert "10 Mar 2026" in page
    assert "confirm with your own body's current rules" in page
