"""Does what a set plays beside the printed music still fit, now that the set is as it is?

Tunes change places and files are uploaded anew: a bar that was right when it was written may not
be. Here it is told, and nothing stops.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from planner.errors import PacestickError
from planner.event.altered import refuse_misfits
from planner.event.event import Set
from planner.event.played_parts import in_turn
from planner.findings import Finding
from planner.music.tune import Tune


def check_altered(a_set: Set, tunes: Mapping[str, Tune]) -> Iterator[Finding]:
    """Altered bars and links that do not add up with what follows, or lead nowhere."""
    for place, entry in enumerate(a_set.entries, start=1):
        tune = tunes[entry.tune_key]
        is_last = place == len(a_set.entries)
        if entry.link and is_last and a_set.times_through == 1:
            text = f"{tune.title} is the last tune, so its link leads nowhere and is not played."
            yield Finding("link_leads_nowhere", text, a_set.name)
        if entry.last_bar and not tune.has_notes:
            text = f"{tune.title} has no notes on file, so its last bar is not altered."
            yield Finding("no_bar_to_alter", text, a_set.name)
            continue
        following = () if is_last else (a_set.entries[place],)
        try:
            played = [in_turn(each, tunes[each.tune_key]) for each in following]
            refuse_misfits(entry, in_turn(entry, tune), played)
        except PacestickError as error:
            yield Finding("altered_misfit", f"{tune.title}: {error}", a_set.name)
