"""What was right when it was written may not be once the set has changed: it is told."""

from __future__ import annotations

import pytest

from planner.event.altered_checks import check_altered
from planner.event.event import Entry, Set
from planner.music.tempo import Metre
from planner.music.tune import outline
from tests.builders import tune

TUNES = {
    "full": tune("2/4 | A4 | B4 |]", title="Full Bars"),
    "picked": tune("2/4 f | A4 | B3 |]", title="Picked Up"),
    "bare": outline("Bare", Metre(2, 4), ((8, 1),)),
}


def codes(*entries: Entry, times: int = 1) -> list[str]:
    a_set = Set("s", 1, "Any", entries, times_through=times)
    return [found.code for found in check_altered(a_set, TUNES)]


@pytest.mark.parametrize(
    ("entries", "expected"),
    [
        ([Entry("full", last_bar="f3"), Entry("picked")], []),
        ([Entry("full", last_bar="f3"), Entry("full")], ["altered_misfit"]),
        ([Entry("full", last_bar="f4"), Entry("full")], []),
        ([Entry("full", link="f4"), Entry("full")], []),
        ([Entry("full", link="f3"), Entry("full")], ["altered_misfit"]),
        ([Entry("full", link="f4")], ["link_leads_nowhere"]),
        ([Entry("bare", last_bar="f4"), Entry("full")], ["no_bar_to_alter"]),
        ([Entry("full"), Entry("picked")], []),
    ],
)
def test_what_does_not_fit_any_more_is_told(entries: list[Entry], expected: list[str]) -> None:
    assert codes(*entries) == expected


def test_in_a_set_played_again_the_last_link_leads_to_its_first_tune() -> None:
    assert codes(Entry("full", link="f4"), times=2) == []
