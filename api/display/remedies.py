"""Where is what is not right mended? Every finding leads to the page where it can be put right."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from api.display.planned_tune import FindingView, finding_view
from planner.findings import Finding

# Below the event's own page: which findings are mended where, and what the link says?
IN_THE_EVENT = frozenset({
    "missing_times", "times_out_of_order", "speed_against_tempo", "after_the_route",
    "route_too_short", "not_sounding", "not_silent", "sets_to_submit",
})  # fmt: skip
IN_THE_ORDER = frozenset({"over_the_end", "overlap", "no_length"})
IN_THE_LINE_UP = frozenset({
    "not_ready_to_play", "too_few_players", "rung_of_line_up", "players_out", "nobody_plays",
})  # fmt: skip
IN_THE_ANSWERS = frozenset({"answers_late"})
PAGES = (
    (IN_THE_EVENT, "/edit", "Change the event"),
    (IN_THE_ORDER, "/order", "Change the running order"),
    (IN_THE_LINE_UP, "/line-up", "Settle the line-up"),
    (IN_THE_ANSWERS, "/answers", "Write down the answers"),
)
# Named after a set; where the same name means the whole event, its running order is meant.
IN_THE_SET = frozenset({
    "mixed_metres", "tune_twice", "dance_not_filled", "outside_the_window", "narrow_margin",
    "no_length_to_judge", "not_as_asked", "tempo_off_the_step_rate",
})  # fmt: skip
ON_THE_TUNE = frozenset({"no_permission", "no_standard_setting"})
NOTE_IT = "Note it on the tune"


@dataclass(frozen=True, slots=True)
class Nouns:
    """The sets and tunes of an event by the names that findings call them: their keys."""

    sets: Mapping[str, str]
    tunes: Mapping[str, str] = field(default_factory=dict)


def mended_at(findings: Iterable[Finding], address: str, nouns: Nouns) -> tuple[FindingView, ...]:
    """Findings of an event, each with the page to mend it."""
    return tuple(finding_view(each, *_remedy(each, address, nouns)) for each in findings)


def _remedy(finding: Finding, address: str, nouns: Nouns) -> tuple[str, str]:
    for codes, path, words in PAGES:
        if finding.code in codes:
            return f"{address}{path}", words
    if finding.code in IN_THE_SET:
        key = nouns.sets.get(finding.where)
        return (f"/sets/{key}", "Change the set") if key else (f"{address}/order", PAGES[1][2])
    if finding.code in ON_THE_TUNE:
        key = nouns.tunes.get(finding.where)
        return (f"/tunes/{key}/edit", NOTE_IT) if key else ("/tunes", "Note it on the tunes")
    return "", ""
