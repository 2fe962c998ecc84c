"""A stricter occasion, a weaker line-up or a lower rung never opens a layer, raises the budget or
widens a limit.

The matrix itself is held elsewhere; here every pair is tried on tunes, down to how far each note
may move.
"""

from itertools import pairwise

import pytest

from planner.analysis.analyse import analyse
from planner.event.event import Circumstance, Control, Drums, Occasion, Setting, Sort
from planner.licence.grant import grant_licence
from planner.marks.anchors import Anchors
from planner.marks.room import crossing_limit, onset_limit
from planner.marks.stage import Stage
from tests.properties.graced_tunes import seeded_tune
from tests.properties.open_tunes import open_tunes
from tests.properties.plans import RULES

TUNES = (*open_tunes(34), *(seeded_tune(seed) for seed in range(6)))
LAYERS = ("within_beat", "across_bar", "across_phrase", "between_tunes")

#: From the strictest to the freest.
OCCASIONS = (
    (Occasion.PARADE, Sort.MASSED),
    (Occasion.PARADE, Sort.OWN_BAND),
    (Occasion.COMPETITION, Sort.MARCH_STRATHSPEY_REEL),
    (Occasion.COMPETITION, Sort.MEDLEY),
    (Occasion.EXHIBITION, Sort.STANDING),
)
#: Each line-up is weaker than the one after it.
LINE_UPS = (
    (Circumstance.LEARNERS, Circumstance.FEW_PRACTICES, Circumstance.BORROWED_DRUMMERS),
    (Circumstance.LEARNERS, Circumstance.FEW_PRACTICES),
    (Circumstance.LEARNERS,),
    (),
)


def stage(tune, occasion, sort, drums=Drums.FULL, line_up=(), rung=4):
    where = Setting(occasion, sort, drums, Control(rung), line_up)
    analysis = analyse(tune, tune.idiom, tune.tempo, RULES)
    return Stage(analysis, grant_licence(where, tune.idiom, RULES), Anchors(drums), RULES)


def assert_is_no_freer(strict, free):
    one, other = strict.licence, free.licence
    for layer in LAYERS:
        assert getattr(one.layers, layer).rank <= getattr(other.layers, layer).rank
    assert one.marks_per_line <= other.marks_per_line
    assert (one.marks_per_part or 0) <= (other.marks_per_part or 0)
    assert one.may_hold <= other.may_hold
    assert one.carries_pulse <= other.carries_pulse
    assert all(near <= far for near, far in zip(limits(strict), limits(free), strict=True)), (
        "a note may move further where less is allowed"
    )


def limits(stage):
    """How far each note may move, late and early, and its movement across the beat; 0 if closed."""
    is_open = stage.licence.layers.across_bar.is_free
    for note in stage.analysis.notes:
        yield onset_limit(stage, note, is_late=True)
        yield onset_limit(stage, note, is_late=False)
        yield crossing_limit(stage, note) if is_open else 0.0


@pytest.mark.parametrize("drums", Drums)
@pytest.mark.parametrize("tune", TUNES, ids=lambda tune: tune.title)
def test_a_stricter_occasion_opens_nothing(tune, drums):
    for strict, free in pairwise(OCCASIONS):
        assert_is_no_freer(stage(tune, *strict, drums), stage(tune, *free, drums))


@pytest.mark.parametrize("occasion", OCCASIONS, ids=lambda pair: pair[1])
@pytest.mark.parametrize("tune", TUNES, ids=lambda tune: tune.title)
def test_a_weaker_line_up_opens_nothing(tune, occasion):
    stages = [stage(tune, *occasion, line_up=line_up) for line_up in LINE_UPS]
    for strict, free in pairwise(stages):
        assert_is_no_freer(strict, free)


@pytest.mark.parametrize("occasion", OCCASIONS, ids=lambda pair: pair[1])
@pytest.mark.parametrize("tune", TUNES, ids=lambda tune: tune.title)
def test_a_lower_rung_opens_nothing(tune, occasion):
    stages = [stage(tune, *occasion, rung=rung) for rung in (1, 2, 3, 4)]
    for strict, free in pairwise(stages):
        assert_is_no_freer(strict, free)
