"""Builders for a library in tests: one line makes a tune, a set, a person, an event."""

from typing import Any

from fastapi.testclient import TestClient

AT_THIS_MACHINE = ("127.0.0.1", 50_000)
"""Whence requests come that may do everything."""
ANY = {"If-Match": "*"}


def if_match(version: int) -> dict[str, str]:
    return {"If-Match": f'"{version}"'}


def march(title: str = "The Wicker Gate", number: int = 1, bars: str = "") -> bytes:
    bars = bars or "{g}A2 {g}B2|{g}c2 {g}d2|{g}e2 {g}f2|{g}e2 {g}A2|"
    head = f"X:{number}\nT:{title}\nR:march\nM:2/4\nL:1/8\nQ:1/4=84\nK:HP\n"
    return f"{head}|:{bars}\n{bars.removesuffix('|')}:|\n".encode()


def upload(client: TestClient, content: bytes, name: str = "tune.abc", **form: Any) -> Any:
    return client.post("/api/tunes/files", files={"file": (name, content)}, data=form)


def a_tune(client: TestClient, title: str = "The Wicker Gate") -> str:
    return str(upload(client, march(title)).json()[0]["key"])


def a_set(client: TestClient, *tunes: str, number: int = 1, **more: Any) -> str:
    entries = [{"tune_key": tune} for tune in tunes]
    form = {"number": number, "name": f"Set {number}", "entries": entries, **more}
    return str(client.post("/api/sets", json=form).json()["key"])


def a_person(client: TestClient, name: str = "Perrin Oxgate", instrument: str = "pipes") -> str:
    form = {"name": name, "instrument": instrument}
    return str(client.post("/api/people", json=form).json()["key"])


def an_event(client: TestClient, *sets: str, occasion: str = "parade", **more: Any) -> str:
    items = [{"set_key": key} for key in sets]
    form = {"name": "Mill Day", "setting": {"occasion": occasion}, "items": items, **more}
    return str(client.post("/api/events", json=form).json()["key"])


def stored(client: TestClient) -> dict[str, int]:
    """How many of each noun the library holds."""
    nouns = ("tunes", "sets", "people", "events")
    return {noun: len(client.get(f"/api/{noun}").json()) for noun in nouns}
