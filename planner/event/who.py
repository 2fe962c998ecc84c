"""Who is coming, are they enough, and how well do those who play a tune command the beat?

Answers are yes, maybe and no; whoever has said nothing is silent. The rung of a tune is that of its
weakest player, with its reason; the event's own rung goes before it.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date

from planner.event.event import Event, Instrument, LineUp, Person, Setting
from planner.findings import Finding

YES, MAYBE, NO = "yes", "maybe", "no"


@dataclass(frozen=True, slots=True)
class HeadCount:
    """How many of one instrument said what; ``minimum`` 0 where no rules ask for a number."""

    instrument: Instrument
    yes: int
    maybe: int
    no: int
    silent: int
    minimum: int = 0

    @property
    def missing(self) -> int:
        """How many too few have said yes."""
        return max(0, self.minimum - self.yes)


@dataclass(frozen=True, slots=True)
class RungAdvice:
    """The rung to plan a tune with: the event's own, or the lowest of those who play the tune.

    ``rung`` None when nobody has said; ``reason`` is one sentence.
    """

    tune_key: str
    rung: int | None
    is_events_own: bool
    reason: str


def count_heads(
    people: Iterable[Person], answers: Mapping[str, str], minimum: Mapping[Instrument, int]
) -> tuple[HeadCount, ...]:
    """Who said what, by instrument; ``answers`` by person key."""
    said = [(person.instrument, answers.get(person.key, "")) for person in people]
    return tuple(
        HeadCount(
            one,
            yes=said.count((one, YES)),
            maybe=said.count((one, MAYBE)),
            no=said.count((one, NO)),
            silent=said.count((one, "")),
            minimum=minimum.get(one, 0),
        )
        for one in Instrument
    )


def advise_rung(setting: Setting, line_up: LineUp, tune_key: str) -> RungAdvice:
    """The rung to plan a tune with in a setting, and why."""
    own = setting.control.rung
    if own is not None:
        return RungAdvice(tune_key, own, True, f"Rung {own} is set for the event.")
    out = set(line_up.who_is_out(tune_key))
    playing = [person for person in line_up.people if person not in out]
    known = [person for person in playing if person.rung is not None]
    if not known:
        return RungAdvice(tune_key, None, False, "Nobody has said the rung of those who play it.")
    lowest = min(person.rung or 0 for person in known)
    names = ", ".join(person.name for person in known if person.rung == lowest)
    unsaid = len(playing) - len(known)
    more = f"; {unsaid} of those who play it have no rung noted" if unsaid else ""
    reason = f"Rung {lowest} is the lowest of those who play it ({names}){more}."
    return RungAdvice(tune_key, lowest, False, reason)


def setting_for_tune(setting: Setting, line_up: LineUp, tune_key: str) -> Setting:
    """The setting with the rung of those who play the tune, where the event names none."""
    rung = advise_rung(setting, line_up, tune_key).rung
    return replace(setting, control=replace(setting.control, rung=rung))


def check_heads(counts: Iterable[HeadCount]) -> Iterator[Finding]:
    """Each instrument with fewer than the rules ask for."""
    for count in counts:
        if count.missing:
            text = (
                f"{count.yes} of {count.minimum} on {count.instrument.value} said yes, "
                f"{count.maybe} maybe: {count.missing} too few."
            )
            yield Finding("too_few_players", text)


def check_answers(event: Event, undecided: Collection[str], today: date) -> Iterator[Finding]:
    """Who has not said yes or no when the closing day is over."""
    closing = event.answers_by
    if closing is None or today <= closing or not undecided:
        return
    names = ", ".join(sorted(undecided))
    day = f"{closing.day} {closing:%B %Y}"
    yield Finding("answers_late", f"answers were wanted by {day}: still open from {names}.")
