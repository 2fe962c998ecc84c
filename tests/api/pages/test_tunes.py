"""The pages of tunes: looked at before they are kept, found again, compared."""

import re

from fastapi.testclient import TestClient

from api.settings import seed_data_dir
from tests.api.pages.form_reader import fields_of

TUNES = seed_data_dir() / "tunes"
SHORT = "X:1\nT:Quay Wall\nR:march\nM:2/4\nL:1/8\nK:HP\n|: {g}A2 {d}A2 | {g}B2 {g}A2 :|\n"
OTHER = SHORT.replace("X:1", "X:2").replace("Quay Wall", "Harbour Lane")


def check(client: TestClient, text: str) -> str:
    return client.post("/tunes/new/check", data={"text": text}).text


def test_a_file_is_shown_with_its_music_before_anything_is_kept(client: TestClient) -> None:
    file = TUNES / "ferry_lamps_of_ternhollow.abc"
    page = client.post("/tunes/new/check", files={"file": (file.name, file.read_bytes())})
    assert page.status_code == 200
    assert "The Ferry Lamps of Ternhollow" in page.text
    assert 'id="t1-p1b1e0n0"' in page.text
    assert client.get("/api/tunes").json() == []


def test_what_was_looked_at_is_kept_at_the_press_of_a_button(client: TestClient) -> None:
    fields = fields_of(check(client, SHORT)) | {"tags": ["parade"], "permission": ["ours"]}
    page = client.post("/tunes/new/keep", data=fields)
    assert page.url.path == "/tunes/1"
    kept = client.get("/api/tunes/1").json()
    assert (kept["title"], kept["tags"], kept["permission"]) == ("Quay Wall", ["parade"], "ours")


def test_of_a_file_with_several_tunes_some_or_all_are_kept(client: TestClient) -> None:
    page = check(client, f"{SHORT}\n{OTHER}")
    assert fields_of(page)["tune"] == ["1", "2"]
    page = client.post("/tunes/new/keep", data=fields_of(page) | {"tune": ["2"]})
    assert [tune["title"] for tune in client.get("/api/tunes").json()] == ["Harbour Lane"]


def test_text_that_cannot_be_read_comes_back_with_the_reason(client: TestClient) -> None:
    page = client.post("/tunes/new/check", data={"text": "this is no music"})
    assert page.status_code == 422
    assert "this is no music" in fields_of(page.text)["text"][0]
    assert 'role="alert"' in page.text


def test_a_file_that_cannot_be_read_comes_back_as_text(client: TestClient) -> None:
    page = client.post("/tunes/new/check", files={"file": ("notes.abc", b"this is no music")})
    assert page.status_code == 422
    assert "this is no music" in fields_of(page.text)["text"][0]


def test_sending_nothing_is_answered_in_one_sentence(client: TestClient) -> None:
    page = client.post("/tunes/new/check", data={"text": ""})
    assert page.status_code == 422
    assert "There is no music yet; choose a file or paste the text." in page.text


def test_a_compressed_file_goes_to_and_fro_unharmed(client: TestClient) -> None:
    fields = {"file_name": ["x.mxl"], "packed": ["!!"], "tune": ["1"]}
    page = client.post("/tunes/new/keep", data=fields)
    assert page.status_code == 422
    assert "lost on the way" in page.text


def test_a_tune_without_notes_is_kept_with_its_parts(client: TestClient) -> None:
    fields = fields_of(client.get("/tunes/new/outline").text)
    fields |= {"title": ["Old Quay"], "outline.metre": ["6/8"], "idiom": ["march"]}
    page = client.post("/tunes/new/outline", data=fields)
    assert page.url.path == "/tunes/1"
    assert "Part 2: eight bars, played twice." in page.text


def test_a_metre_that_is_none_is_said_beside_its_field(client: TestClient) -> None:
    fields = fields_of(client.get("/tunes/new/outline").text)
    fields |= {"title": ["Old Quay"], "outline.metre": ["seven"], "remarks": ["from the shoebox"]}
    page = client.post("/tunes/new/outline", data=fields)
    assert page.status_code == 422
    assert 'id="outline.metre-fault"' in page.text
    assert fields_of(page.text)["remarks"] == ["from the shoebox"]


def test_the_library_is_searched_by_word_idiom_metre_and_tag(demo: TestClient) -> None:
    def found(query: str) -> int:
        return demo.get(f"/tunes?{query}").text.count('<span class="name"><a href="/tunes/')

    known = demo.get("/api/tunes").json()
    assert found("") == len(known)
    assert found("words=skelder+rain") == 1
    marches = [tune for tune in known if tune["music"]["idiom"] == "march"]
    assert found("idiom=march") == len(marches)
    assert found("metre=6/8") == sum(tune["music"]["metre"] == "6/8" for tune in known)
    assert found("tag=dance") == sum("dance" in tune["tags"] for tune in known)
    assert found("words=nothing+like+it") == 0


def test_the_page_of_a_tune_names_its_movements(demo: TestClient) -> None:
    page = demo.get("/tunes/1").text
    assert "Doubling on E" in page
    assert "Part 1, bars 1 and 5; part 2, bar 3" in page


def test_a_tune_without_notes_shows_its_scan(demo: TestClient) -> None:
    assert 'src="/api/tunes/18/attachment"' in demo.get("/tunes/18").text


def test_two_occasions_stand_side_by_side_and_the_difference_is_in_words(
    demo: TestClient,
) -> None:
    page = demo.get("/tunes/9/occasions?left=parade:own-band&right=competition:medley").text
    assert re.search(r'<th scope="row">Across the bar</th><td[^>]*>none</td><td[^>]*>agreed', page)
    assert "Drums strict (parade, own band), agreed (competition, medley)." in page
    assert 'id="left-p1b1e0n0"' in page
    assert 'id="right-p1b1e0n0"' in page


def test_the_same_occasion_twice_has_nothing_to_tell_apart(demo: TestClient) -> None:
    page = demo.get("/tunes/9/occasions?left=parade:massed&right=parade:massed").text
    assert "No marks on either occasion." in page


def test_an_occasion_that_does_not_exist_is_one_sentence(demo: TestClient) -> None:
    page = demo.get("/tunes/9/occasions?left=wedding:wet")
    assert page.status_code == 422
    assert "there is no occasion" in page.text


def test_a_form_that_is_saved_unchanged_changes_nothing_but_the_version(demo: TestClient) -> None:
    for number in (1, 9, 18):
        before = demo.get(f"/api/tunes/{number}").json()
        fields = fields_of(demo.get(f"/tunes/{number}/edit").text, within=f"/tunes/{number}/edit")
        assert demo.post(f"/tunes/{number}/edit", data=fields).status_code == 200
        after = demo.get(f"/api/tunes/{number}").json()
        same = {key for key in before if key not in ("version", "changed_at")}
        before["tags"], after["tags"] = sorted(before["tags"]), sorted(after["tags"])
        assert {key: before[key] for key in same} == {key: after[key] for key in same}


def test_another_file_takes_the_place_of_the_music(demo: TestClient) -> None:
    version = str(demo.get("/api/tunes/1").json()["version"])
    file = {"file": ("quay.abc", SHORT.encode())}
    page = demo.post("/tunes/1/file", data={"version": version}, files=file)
    assert page.url.path == "/tunes/1"
    assert demo.get("/api/tunes/1").json()["file"]["name"] == "quay.abc"


def test_a_scan_is_taken_away_again(demo: TestClient) -> None:
    version = str(demo.get("/api/tunes/18").json()["version"])
    demo.post("/tunes/18/scan", data={"version": version, "do": "remove"})
    assert demo.get("/api/tunes/18").json()["attachment"] is None


def test_a_tune_that_a_set_needs_stays(demo: TestClient) -> None:
    page = demo.post("/tunes/1/delete", data={"version": "1"})
    assert page.status_code == 409
    assert "Ferry Lamps" in page.text


def test_the_page_of_a_tune_tells_what_a_piper_knows_of_it(client: TestClient) -> None:
    music = (
        "|: {g}A>B {d}c2 | {g}c<{d}A A2 | {g}A>B {d}c2 | e4 :|\n"
        "|: {g}A>B {g}c2 | a4 | {g}A>B {d}c2 | e4 :|\n"
    )
    text = f"X:1\nT:Quay Wall\nR:march\nM:2/4\nL:1/8\nK:HP\n{music}"
    client.post("/tunes/new/keep", data=fields_of(check(client, text)))
    page = " ".join(re.sub(r"<[^>]*>", " ", client.get("/tunes/1").text).split())
    assert "All parts end alike: name the part before the cut-off" in page
    assert "Part 2, bars 3 to 4: the melody of part 1, bars 3 to 4." in page
    assert "From low A to high A, without D, F and high G." in page
    assert re.search(
        "Low A, B Part 1, bars 1 and 3; part 2, bar 3 Other gracenotes in part 2, bar 1", page
    )
    assert "Tachum once, on the beat Part 1, bar 2" in page
    assert re.search(r"B: second, clash, \d+ % of the time\. C: third, concord", page)


def test_a_waltz_that_rests_in_every_fourth_bar_is_not_forced_into_two(client: TestClient) -> None:
    lines = "A2 B2 c2 | d2 c2 B2 | A2 B2 c2 | e6 | " * 2
    text = f"X:1\nT:Slow Quay\nR:waltz\nM:3/4\nL:1/8\nK:HP\n|: {lines.rstrip(' |')} :|\n"
    client.post("/tunes/new/keep", data=fields_of(check(client, text)))
    page = client.get("/tunes/1").text
    assert "It comes to rest in every fourth bar, so its phrases may have four bars" in page
    fields = fields_of(page, "/tunes/1/phrases") | {"phrases.1": ["1, 5"]}
    assert "every fourth bar" not in client.post("/tunes/1/phrases", data=fields).text
