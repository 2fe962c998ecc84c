"""What do the pages of people say? Who plays what, and where to find their cards."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from api.display.form import FormView
from api.display.words import day_words, number_words, sentence_start
from planner.event.event import Event, Instrument, Person

INSTRUMENT_WORDS = {
    Instrument.PIPES: "pipes",
    Instrument.SNARE: "snare drum",
    Instrument.TENOR: "tenor drum",
    Instrument.BASS: "bass drum",
}
GROUP_WORDS = {
    Instrument.PIPES: "Pipes",
    Instrument.SNARE: "Snare drums",
    Instrument.TENOR: "Tenor drums",
    Instrument.BASS: "Bass drum",
}
INSTRUMENTS = tuple((each.value, words) for each, words in INSTRUMENT_WORDS.items())
# What does each rung stand for? Each needs the one before.
RUNGS = (
    ("", "not known"),
    ("1", "1: a steady beat"),
    ("2", "2: dots and cuts at full contrast"),
    ("3", "3: short notes joined into the movement beside them"),
    ("4", "4: pulsing together"),
)


@dataclass(frozen=True, slots=True)
class PersonLineView:
    """One person in the list."""

    address: str
    name: str
    facts: str


@dataclass(frozen=True, slots=True)
class GroupView:
    """Those who play one instrument."""

    name: str
    people: tuple[PersonLineView, ...]


@dataclass(frozen=True, slots=True)
class PeopleView:
    """Everybody, by instrument."""

    groups: tuple[GroupView, ...]
    count: str


@dataclass(frozen=True, slots=True)
class PersonView:
    """The page of one person: their name, and their cards at the events to come."""

    address: str
    name: str
    version: str
    cards: tuple[tuple[str, str, str], ...] = ()


def people_view(people: Iterable[Person]) -> PeopleView:
    """Everybody of the band."""
    known = tuple(people)
    groups = (
        GroupView(words, tuple(_line(person) for person in known if person.instrument is each))
        for each, words in GROUP_WORDS.items()
    )
    return PeopleView(tuple(group for group in groups if group.people), _people_words(len(known)))


def _people_words(count: int) -> str:
    return "One person" if count == 1 else f"{sentence_start(number_words(count))} people"


def person_view(person: Person, version: int, events: Iterable[Event]) -> PersonView:
    """One person with the addresses of their cards."""
    return PersonView(
        address=f"/people/{person.key}",
        name=person.name,
        version=str(version),
        cards=tuple(
            (f"/players/{person.key}/events/{event.key}", event.name, day_words(event.day))
            for event in events
        ),
    )


def person_form(person: Person, action: str, version: int) -> FormView:
    """What stands in the form of a person."""
    values = {
        "name": (person.name,),
        "instrument": (person.instrument.value,),
        "role": (person.role,),
        "rung": (str(person.rung or ""),),
        "is_learner": ("true",) if person.is_learner else (),
    }
    return FormView(action, values, version=str(version), newer=action)


def _line(person: Person) -> PersonLineView:
    facts = [person.role] if person.role else []
    facts += ["learner"] if person.is_learner else []
    facts += [f"rung {person.rung}"] if person.rung else []
    return PersonLineView(f"/people/{person.key}", person.name, ", ".join(facts))
