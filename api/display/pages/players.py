"""What do the players' own pages say before the card? Who am I, and when and where do I play."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from api.display.pages.event import times_of_day
from api.display.people import GROUP_WORDS, INSTRUMENT_WORDS
from api.display.planned import setting_words
from api.display.words import counted, day_words
from planner.event.event import Event, LineUp, Person


@dataclass(frozen=True, slots=True)
class ChooseGroupView:
    """Those who play one instrument, each with the address that chooses them."""

    name: str
    people: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class ChooseView:
    """Choose me. ``event`` is the event whose card is asked for, empty for none.

    ``link`` is the reading link for others and ``who_reads`` what they can read; both are empty for
    readers who came by it, and where nothing is shared.
    """

    event: str
    groups: tuple[ChooseGroupView, ...]
    link: str = ""
    who_reads: str = ""


@dataclass(frozen=True, slots=True)
class MyDayView:
    """One event of mine: when, where, and what I do there in a few words."""

    address: str
    name: str
    occasion: str
    when: str
    times: tuple[tuple[str, str], ...]
    place: str
    mine: str


@dataclass(frozen=True, slots=True)
class MyDaysView:
    """My events to come, the next first."""

    name: str
    plays: str
    choose: str
    days: tuple[MyDayView, ...]


def choose_view(
    people: Iterable[Person],
    base: str,
    event: Event | None = None,
    link: str = "",
    who_reads: str = "",
) -> ChooseView:
    """Everybody by instrument; with an event the choice leads to the card for it."""
    known = tuple(people)
    asked = f"?event={event.key}" if event else ""
    groups = (
        ChooseGroupView(
            words,
            tuple(
                (f"{base}/choose/{person.key}{asked}", person.name)
                for person in known
                if person.instrument is instrument
            ),
        )
        for instrument, words in GROUP_WORDS.items()
    )
    told = tuple(group for group in groups if group.people)
    return ChooseView(event.name if event else "", told, link, who_reads if link else "")


def my_days_view(person: Person, events: Sequence[tuple[Event, LineUp]], base: str) -> MyDaysView:
    """The events to come of one player."""
    return MyDaysView(
        name=person.name,
        plays=INSTRUMENT_WORDS[person.instrument],
        choose=f"{base}?choose=again",
        days=tuple(_day(person, event, line_up, base) for event, line_up in events),
    )


def _day(person: Person, event: Event, line_up: LineUp, base: str) -> MyDayView:
    return MyDayView(
        address=f"{base}/{person.key}/events/{event.key}",
        name=event.name,
        occasion=setting_words(event.setting),
        # The day itself, never how far off it is: a copy kept on a telephone is read later.
        when=day_words(event.day) or "no day set",
        times=tuple((name, clock) for name, clock in times_of_day(event.clock) if clock),
        place=event.arrangements.place,
        mine=_mine(person, line_up),
    )


def _mine(person: Person, line_up: LineUp) -> str:
    if all(who.key != person.key for who in line_up.people):
        return "You are not in the line-up."
    outs = sum(who == person.key for who, _ in line_up.outs)
    return f"You play, and are out of {counted(outs, 'tune')}." if outs else "You play."
