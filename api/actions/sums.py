"""What do the sums of an event come to? The engine's, from the event as planned."""

from __future__ import annotations

from collections.abc import Sequence

from api.actions.planning import EventPlan
from api.actions.readiness import Gap, gap_finding
from planner.errors import RequestError
from planner.event.street.street import StreetSums, street_sums
from planner.event.sums import EventSums, Music, sum_event


def sums_of_plan(plan: EventPlan, gaps: Sequence[Gap] = ()) -> EventSums:
    """Joins, street, contest, dance, sound and cautions of an event that is planned.

    ``gaps`` are who cannot play what: a set that is entered at a contest is not ready for it.

    Raises:
        RequestError: an amount cannot be reckoned with.
    """
    timetable = plan.planned.timetable
    if timetable is None:
        raise RequestError("event", "it has no running order", "choose its sets")
    titles = {key: tune.record.title for key, tune in plan.shelf.tunes.items()}
    cannot_play: dict[str, list[str]] = {}
    for gap in gaps:
        said = gap_finding(gap, titles[gap.tune_key]).text
        cannot_play.setdefault(gap.tune_key, []).append(said)
    return sum_event(
        plan.planned.event,
        timetable,
        music_of(plan),
        plan.planned.line_up,
        plan.shelf.rulebook,
        cannot_play,
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
