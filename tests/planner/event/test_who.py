"""Who comes, are they enough, and which rung is a tune's?"""

from datetime import date

import pytest

from planner.event.event import (
    Control,
    Event,
    Instrument,
    LineUp,
    Occasion,
    Person,
    Setting,
    Sort,
)
from planner.event.who import advise_rung, check_answers, check_heads, count_heads

ADA = Person("a", "Ada", Instrument.PIPES, rung=4)
BO = Person("b", "Bo", Instrument.PIPES, rung=2)
CY = Person("c", "Cy", Instrument.SNARE)


def event(rung: int | None = None, **more) -> Event:
    setting = Setting(Occasion.PARADE, Sort.OWN_BAND, control=Control(rung))
    return Event("e", "Gala", setting, **more)


def test_everybody_is_counted_once_by_instrument():
    counts = count_heads((ADA, BO, CY), {"a": "yes", "b": "maybe"}, {Instrument.PIPES: 3})
    pipes, snare = counts[0], counts[1]
    assert (pipes.yes, pipes.maybe, pipes.no, pipes.silent, pipes.missing) == (1, 1, 0, 0, 2)
    assert (snare.silent, snare.missing) == (1, 0)


def test_only_what_is_missing_is_a_finding():
    counts = count_heads((ADA, CY), {"a": "yes"}, {Instrument.PIPES: 1, Instrument.SNARE: 2})
    assert [each.text for each in check_heads(counts)] == [
        "0 of 2 on snare said yes, 0 maybe: 2 too few."
    ]


def test_the_lowest_rung_of_those_who_play_the_tune_is_suggested_with_its_reason():
    advice = advise_rung(event().setting, LineUp((ADA, BO, CY)), "gate")
    assert (advice.rung, advice.is_events_own) == (2, False)
    assert "(Bo); 1 of those who play it have no rung noted" in advice.reason


def test_whoever_is_out_does_not_pull_the_rung_down():
    line_up = LineUp((ADA, BO), outs=frozenset({("b", "gate")}))
    assert advise_rung(event().setting, line_up, "gate").rung == 4
    assert advise_rung(event().setting, line_up, "weir").rung == 2


def test_the_rung_of_the_event_goes_before_that_of_its_players():
    advice = advise_rung(event(rung=3).setting, LineUp((BO,)), "gate")
    assert (advice.rung, advice.is_events_own) == (3, True)


def test_without_any_rung_nothing_is_suggested():
    assert advise_rung(event().setting, LineUp((CY,)), "gate").rung is None


@pytest.mark.parametrize(
    ("today", "open_from", "said"),
    [(1, ("Bo",), 0), (2, ("Bo",), 0), (3, ("Bo",), 1), (3, (), 0)],
)
def test_open_answers_are_said_once_the_closing_day_is_over(today, open_from, said):
    closing = event(answers_by=date(2031, 5, 2))
    assert len(list(check_answers(closing, open_from, date(2031, 5, today)))) == said


def test_without_a_closing_day_nobody_is_late():
    assert not list(check_answers(event(), ("Bo",), date(2031, 5, 2)))
