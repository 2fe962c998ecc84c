"""The pages of people: a form that forgets nothing."""

from fastapi.testclient import TestClient


def add(client: TestClient, **fields: str) -> str:
    page = client.post("/people/new", data={"instrument": "pipes", **fields})
    return page.text


def test_an_empty_band_leads_to_its_first_person(client: TestClient) -> None:
    assert 'href="/people/new"' in client.get("/people").text


def test_somebody_joins_and_stands_in_the_list(client: TestClient) -> None:
    page = add(client, name="Ailsa Thornquay", role="pipe-sergeant", rung="3")
    assert "Ailsa Thornquay" in page
    assert "Pipe-sergeant, rung 3" in page.replace("pipe-sergeant", "Pipe-sergeant")


def test_a_missing_name_is_said_beside_the_field_and_the_rest_is_kept(client: TestClient) -> None:
    page = client.post(
        "/people/new", data={"instrument": "tenor", "role": "mid-section", "rung": "2"}
    )
    assert page.status_code == 422
    assert 'id="name-fault"' in page.text
    assert "This is missing: fill it in." in page.text
    assert 'value="mid-section"' in page.text
    assert '<option value="tenor" selected>' in page.text


def test_a_name_twice_is_said_beside_the_name_and_the_rest_is_kept(client: TestClient) -> None:
    add(client, name="Ailsa Thornquay")
    page = add(client, name="Ailsa Thornquay", role="pipe-sergeant")
    fault = page.split('id="name-fault"')[1][:400]
    assert "“Ailsa Thornquay” is in the band already" in fault
    assert 'value="pipe-sergeant"' in page


def test_a_change_from_an_old_page_comes_back_with_what_was_typed(client: TestClient) -> None:
    add(client, name="Ailsa Thornquay")
    client.post("/people/1", data={"version": "1", "name": "Ailsa Q.", "instrument": "pipes"})
    page = client.post("/people/1", data={"version": "1", "name": "A. T.", "instrument": "pipes"})
    assert page.status_code == 412
    assert "Somebody changed this meanwhile" in page.text
    assert 'value="A. T."' in page.text
    assert 'name="version" value="2"' in page.text


def test_saving_again_from_that_page_puts_the_change_through(client: TestClient) -> None:
    add(client, name="Ailsa Thornquay")
    client.post("/people/1", data={"version": "1", "name": "Ailsa Q.", "instrument": "pipes"})
    page = client.post("/people/1", data={"version": "2", "name": "A. T.", "instrument": "pipes"})
    assert page.status_code == 200
    assert "<h1>A. T.</h1>" in page.text


def test_a_form_without_a_version_is_not_believed(client: TestClient) -> None:
    add(client, name="Ailsa Thornquay")
    page = client.post("/people/1", data={"name": "A. T.", "instrument": "pipes"})
    assert page.status_code == 428
    assert 'value="A. T."' in page.text


def test_somebody_whom_a_line_up_names_stays_and_the_page_says_where(demo: TestClient) -> None:
    page = demo.post("/people/1/delete", data={"version": "1"})
    assert page.status_code == 409
    assert "the line-up of" in page.text
    assert demo.get("/people/1").status_code == 200


def test_a_script_in_a_name_is_shown_as_letters(client: TestClient) -> None:
    assert "<script>alert" not in add(client, name="<script>alert(1)</script>")
