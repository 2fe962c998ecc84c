"""What do the sums of an event come to? The engine's, from the event as planned."""

from __future__ import annotations

from api.actions.planning import EventPlan
from planner.errors import RequestError
from planner.event.street import StreetSums, street_sums
from planner.event.sums import EventSums, Music, sum_event


def sums_of_plan(plan: EventPlan) -> EventSums:
    """Joins, street, contest, dance, sound and cautions of an event that is planned.

    Raises:
        RequestError: an amount cannot be reckoned with.
    """
    timetable = plan.planned.timetable
    if timetable is None:
        raise RequestError("event", "it has no running order", "choose its sets")
    return sum_event(
        plan.planned.event, timetable, music_of(plan), plan.planned.line_up, plan.shelf.rulebook
    )


def street_of_plan(plan: EventPlan) -> StreetSums | None:
    """The route of an event against its running order, None where nobody marches."""
    planned = plan.planned
    if planned.timetable is None:
        return None
    tunes = music_of(plan).tunes
    return street_sums(planned.event, planned.timetable, plan.sets, tunes, plan.shelf.rulebook)


def music_of(plan: EventPlan) -> Music:
    """The sets and tunes of a plan; the band's word on a tonal centre goes before our hearing."""
    heard = {
        each.entry.tune_key: each.plan.analysis.tonal_centre
        for one in plan.planned.sets
        for each in one.entries
    }
    shelf = plan.shelf.tunes
    return Music(
        sets=plan.sets,
        tunes={key: kept.tune for key, kept in shelf.items() if kept.tune is not None},
        centres={
            key: kept.record.tonal_centre or heard.get(key, "") for key, kept in shelf.items()
        },
    )
