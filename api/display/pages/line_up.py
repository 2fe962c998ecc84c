"""What does the line-up of an event say? Who plays, who is out of which tune, who has harmony."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from api.display.form import FormView
from api.display.people import GROUP_WORDS
from planner.event.event import Instrument, LineUp, Person

ANSWERS = (("yes", "yes"), ("maybe", "maybe"), ("no", "no"), ("", "not asked"))


@dataclass(frozen=True, slots=True)
class LineUpRowView:
    """One person: the names of their fields, and the tunes they may be out of."""

    key: str
    name: str
    facts: str
    card: str
    answer_field: str
    tunes: tuple[tuple[str, str], ...]
    plays_pipes: bool


@dataclass(frozen=True, slots=True)
class LineUpGroupView:
    """Those of one instrument, with how many play."""

    name: str
    count: str
    rows: tuple[LineUpRowView, ...]


@dataclass(frozen=True, slots=True)
class LineUpView:
    """The line-up page of an event."""

    address: str
    name: str
    groups: tuple[LineUpGroupView, ...]


def line_up_view(
    key: str,
    name: str,
    line_up: LineUp,
    people: Iterable[Person],
    tunes: Sequence[tuple[str, str]],
) -> LineUpView:
    """The line-up page; ``tunes`` are (key, title) in playing order."""
    known, address = tuple(people), f"/events/{key}"
    groups = tuple(
        LineUpGroupView(
            words,
            f"{line_up.count(each)} playing",
            tuple(_row(who, tunes, key) for who in known if who.instrument is each),
        )
        for each, words in GROUP_WORDS.items()
    )
    return LineUpView(address, name, tuple(group for group in groups if group.rows))


def _row(person: Person, tunes: Sequence[tuple[str, str]], event_key: str) -> LineUpRowView:
    facts = [person.role] if person.role else []
    facts += ["learner"] if person.is_learner else []
    return LineUpRowView(
        key=person.key,
        name=person.name,
        facts=", ".join(facts),
        card=f"/players/{person.key}/events/{event_key}",
        answer_field=f"answer.{person.key}",
        tunes=tuple((f"{person.key}:{key}", title) for key, title in tunes),
        plays_pipes=person.instrument is Instrument.PIPES,
    )


def line_up_form(
    line_up: LineUp, answers: Iterable[tuple[str, str]], action: str, version: int
) -> FormView:
    """What stands in the line-up's form; ``answers`` are (person key, word)."""
    values: dict[str, tuple[str, ...]] = {f"answer.{key}": (word,) for key, word in answers}
    values["out"] = tuple(f"{person}:{tune}" for person, tune in sorted(line_up.outs))
    values["harmony"] = tuple(f"{person}:{tune}" for person, tune in sorted(line_up.harmony))
    return FormView(action, values, version=str(version), newer=action)
