"""How do lists of people, answers and tunes go out and come in? As CSV (RFC 4180).

How a table is read and written is in ``rows_in.py``; here stands what its columns mean.
"""

from __future__ import annotations

from collections.abc import Sequence

from api.actions.day import change_line_up
from api.actions.events import one_event
from api.actions.rows_in import Row, each_row, read_csv, write_csv
from api.actions.shelf import shelve
from api.actions.tunes import check_idiom
from api.storage import people as stored_people
from api.storage import tunes as stored_tunes
from api.storage.convert import metre_from_text, metre_to_text
from api.storage.database import BandId, Session
from api.storage.records import Answer, EventRecord, Kept, Outline, TuneRecord
from planner.errors import RequestError
from planner.event.event import Instrument, Occasion, Person
from planner.music.tune import Credits
from planner.rules.rulebook import RuleBook

PEOPLE = ("name", "instrument", "learner", "rung", "role")
ANSWERS = ("name", "answer")
TUNES = (
    "title", "idiom", "tempo", "tonal centre", "occasions", "composer", "arranger", "permission",
    "metre", "parts", "standard setting",
)  # fmt: skip
SAID = ("yes", "no", "maybe")


def people_csv(session: Session, band: BandId) -> str:
    """Everybody of the band."""
    people = (kept.noun for kept in stored_people.list_people(session, band))
    return write_csv(
        PEOPLE,
        (
            (who.name, who.instrument.value, _yes(who.is_learner), who.rung or "", who.role)
            for who in people
        ),
    )


def answers_csv(session: Session, band: BandId, number: int) -> str:
    """Everybody with their answer for an event; empty where nobody has said.

    Raises:
        NotFoundError: the band has no such event.
    """
    record = one_event(session, band, number).noun
    said = {each.person_key: each.answer for each in record.answers}
    people = (kept.noun for kept in stored_people.list_people(session, band))
    return write_csv(ANSWERS, ((who.name, said.get(who.key, "")) for who in people))


def tunes_csv(session: Session, band: BandId) -> str:
    """Every tune with what the band says of it; metre and parts where it has no notes."""
    tunes = (kept.noun for kept in stored_tunes.list_tunes(session, band))
    return write_csv(TUNES, (_tune_row(tune) for tune in tunes))


def add_people(session: Session, band: BandId, content: bytes) -> int:
    """Take people in; how many.

    Raises:
        RefusedRowsError: rows that cannot be taken, a person twice among them.
    """
    taken = {kept.noun.name.casefold() for kept in stored_people.list_people(session, band)}
    people = each_row(read_csv(content, PEOPLE, ("name", "instrument")), _person, "name", taken)
    for person in people:
        stored_people.add_person(session, band, person)
    session.commit()
    return len(people)


def add_tunes(session: Session, band: BandId, content: bytes, rulebook: RuleBook) -> int:
    """Take tunes in by their outline; how many.

    Raises:
        RefusedRowsError: rows that cannot be taken, a title twice among them.
    """
    taken = {kept.noun.title.casefold() for kept in stored_tunes.list_tunes(session, band)}
    rows = read_csv(content, TUNES, ("title", "metre", "parts"))
    records = each_row(rows, lambda row: _tune(row, rulebook), "title", taken)
    for record in records:
        stored_tunes.add_tune(session, band, record)
    shelve(session, band)
    session.commit()
    return len(records)


def add_answers(
    session: Session, band: BandId, number: int, seen: int | None, content: bytes
) -> Kept[EventRecord]:
    """Take the answers for an event in; who is not in the list keeps theirs.

    Raises:
        NotFoundError, StaleError: the event is gone, or changed since it was seen.
        RefusedRowsError: rows that cannot be taken, a person twice among them.
    """
    kept = one_event(session, band, number)
    known = [each.noun for each in stored_people.list_people(session, band)]
    rows = read_csv(content, ANSWERS, ANSWERS)
    new = each_row(rows, lambda row: _answer(row, known), "name", set())
    said = {each.person_key: each.answer for each in (*kept.noun.answers, *new)}
    answers = [Answer(key, word) for key, word in said.items() if word]
    line_up = kept.noun.line_up
    return change_line_up(session, band, number, seen, answers, line_up.outs, line_up.harmony)


def _person(row: Row) -> Person:
    rung = row.get("rung", "")
    if rung not in ("", "1", "2", "3", "4"):
        raise RequestError("rung", f"“{rung}” is no rung", "give 1 to 4, or nothing")
    return Person(
        key="",
        name=_short(row, "name"),
        instrument=Instrument(_one_of(row, "instrument", tuple(Instrument))),
        is_learner=_one_of(row, "learner", ("yes", "no", "")) == "yes",
        rung=int(rung) if rung else None,
        role=row.get("role", ""),
    )


def _answer(row: Row, people: Sequence[Person]) -> Answer:
    named = [who for who in people if who.name.casefold() == row["name"].casefold()]
    if len(named) != 1:
        problem = f"{len(named) or 'nobody'} of the band are called “{row['name']}”"
        raise RequestError("name", problem, "write a name as in the list of people")
    return Answer(named[0].key, _one_of(row, "answer", (*SAID, "")))


def _tune(row: Row, rulebook: RuleBook) -> TuneRecord:
    idiom = row.get("idiom") or None
    check_idiom(idiom, rulebook)
    return TuneRecord(
        key="",
        title=_short(row, "title"),
        idiom=idiom,
        tempo_bpm=_tempo(row.get("tempo", "")),
        tonal_centre=row.get("tonal centre", ""),
        tags=_tags(row.get("occasions", "")),
        credits=Credits(composer=row.get("composer", ""), arranger=row.get("arranger", "")),
        permission=row.get("permission", ""),
        standard_setting=row.get("standard setting", ""),
        outline=Outline(metre_from_text(_metre(row["metre"])), _parts(row["parts"])),
    )


def _tags(text: str) -> tuple[Occasion, ...]:
    words = [word.strip() for word in text.split(";") if word.strip()]
    known = tuple(Occasion)
    return tuple(Occasion(_one_of({"occasions": word}, "occasions", known)) for word in words)


def _tune_row(tune: TuneRecord) -> tuple[object, ...]:
    outline = tune.outline
    parts = " ".join(f"{bars}x{times}" for bars, times in outline.parts) if outline else ""
    return (
        tune.title,
        tune.idiom or "",
        "" if tune.tempo_bpm is None else f"{tune.tempo_bpm:g}",
        tune.tonal_centre,
        "; ".join(tag.value for tag in tune.tags),
        tune.credits.composer,
        tune.credits.arranger,
        tune.permission,
        metre_to_text(outline.metre) if outline else "",
        parts,
        tune.standard_setting,
    )


def _short(row: Row, name: str) -> str:
    if len(row[name]) > 120:
        raise RequestError(name, "it is longer than 120 letters", "shorten it")
    return row[name]


def _one_of(row: Row, name: str, known: Sequence[str]) -> str:
    word = row.get(name, "").lower()
    if word not in known:
        offer = ", ".join(each for each in known if each)
        raise RequestError(name, f"“{row.get(name, '')}” is not known", f"choose {offer}")
    return word


def _tempo(text: str) -> float | None:
    if not text:
        return None
    is_number = text.replace(".", "", 1).isdigit() and text.isascii()
    if not is_number or not 20 <= float(text) <= 300:
        raise RequestError("tempo", f"“{text}” is no tempo", "give 20 to 300 felt beats a minute")
    return float(text)


def _metre(text: str) -> str:
    count, _, unit = text.partition("/")
    is_right = text.isascii() and count.isdigit() and unit in ("1", "2", "4", "8", "16")
    if not is_right or not 1 <= int(count) <= 32:
        raise RequestError("metre", f"“{text}” is no metre", "give one such as 6/8")
    return text


def _parts(text: str) -> tuple[tuple[int, int], ...]:
    found = []
    for word in text.split():
        bars, _, times = word.lower().partition("x")
        times = times or "1"
        is_right = word.isascii() and bars.isdigit() and times.isdigit()
        if not is_right or not (1 <= int(bars) <= 64 and 1 <= int(times) <= 8):
            raise RequestError("parts", f"“{word}” is no part", "give bars x times, such as 8x2")
        found.append((int(bars), int(times)))
    if not 1 <= len(found) <= 40:
        raise RequestError("parts", "there are none, or more than 40", "give such as 8x2 8x2")
    return tuple(found)


def _yes(is_so: bool) -> str:
    return "yes" if is_so else "no"
