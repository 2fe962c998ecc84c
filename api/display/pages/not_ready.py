"""What stands between an event and its sheets? Each thing with the page on which it is mended."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from api.display.marks import group_marks
from api.display.paper.drum_sheet import since_agreed
from api.display.planned import PlannedEvent
from api.display.planned_tune import FindingView
from api.display.remedies import Nouns, mended_at
from api.display.words import counted, sentence_start
from planner.findings import Finding, Gravity
from planner.marks.marks import Agreement, Verdict

# What is said of one mark, and of several.
AGAINST_DRUMS = (" runs against the drums.", " run against the drums.")
REFUSED = (" was refused by the drums: take it out.", " were refused by the drums: take them out.")
WAITING = (" waits for the leading drummer's word.", " wait for the leading drummer's word.")
NOT_AS_AGREED = (" has changed since the drums agreed.", " have changed since the drums agreed.")


def what_is_not_ready(
    planned: PlannedEvent, findings: Iterable[Finding]
) -> tuple[FindingView, ...]:
    """What stands between this event and its sheets, each with the place to mend it."""
    address = f"/events/{planned.event.key}"
    tunes = {e.tune.title: e.entry.tune_key for each in planned.sets for e in each.entries}
    nouns = Nouns({each.set.name: each.set.key for each in planned.sets}, tunes)
    found = [*_open_ends(planned, address), *mended_at(findings, address, nouns)]
    order = (Gravity.REFUSE, Gravity.WARN, Gravity.NOTE)
    # What is true of the whole event need not be told whose it is: its name stands above.
    found = [
        replace(each, where="") if each.where == planned.event.name else each for each in found
    ]
    return tuple(sorted(found, key=lambda each: order.index(Gravity(each.gravity))))


def _open_ends(planned: PlannedEvent, address: str) -> list[FindingView]:
    event, found = planned.event, []
    change = (f"{address}/edit", "Change the event")
    if event.day is None:
        found.append(FindingView("warn", "No day is set.", "", *change))
    if not any(item.set_key for item in event.items):
        order = (f"{address}/order", "Choose the sets")
        found.append(FindingView("warn", "No set is in the running order.", "", *order))
    if not planned.line_up.people:
        line_up = (f"{address}/line-up", "Settle the line-up")
        found.append(FindingView("warn", "Nobody is in the line-up yet.", "", *line_up))
    return found + _open_marks(planned, address)


def _open_marks(planned: PlannedEvent, address: str) -> list[FindingView]:
    plans = [plan for each in planned.sets for plan in each.plans]
    marks = [group.first for plan in plans for group in group_marks(plan.marks, False)]
    counts = (
        ("refuse", sum(m.drums is Verdict.CONFLICT for m in marks), AGAINST_DRUMS),
        ("refuse", sum(m.agreement is Agreement.REFUSED for m in marks), REFUSED),
        ("warn", len(since_agreed(planned)), NOT_AS_AGREED),
        ("warn", sum(m.agreement is Agreement.TO_BE_AGREED for m in marks), WAITING),
    )
    drums = (f"{address}/drums?only=open", "Settle them")
    return [
        FindingView(gravity, sentence_start(counted(count, "mark") + words[count != 1]), "", *drums)
        for gravity, count, words in counts
        if count
    ]
