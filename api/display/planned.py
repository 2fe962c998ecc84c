"""What do the sheets of an event have in common? The event, its sets and a plan for every entry.

Everything here has been worked out already; ``api.display`` only finds the words.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime

from planner.event.event import Entry, Event, Instrument, LineUp, Set, Setting, Sort
from planner.event.sound import SoundDose
from planner.event.street.street import StreetSums
from planner.event.timetable import EventTimetable
from planner.findings import Finding
from planner.marks.drum_map import DrumTempo
from planner.music.drums import DrumScore
from planner.music.tune import Address, Tune
from planner.plan import TunePlan

SORT_WORDS = {
    Sort.MASSED: "massed bands",
    Sort.LONG_COLUMN: "long column",
    Sort.MARCH_STRATHSPEY_REEL: "march, strathspey and reel",
    Sort.MEDLEY: "medley",
    Sort.SOLO: "solo piper",
}


@dataclass(frozen=True, slots=True)
class PlannedEntry:
    """A tune as it is played in a set, with its plan, and that of the link to the next tune.

    ``parts_out`` are the numbers of the printed parts that this set does not play;
    ``standard_setting`` says which setting and drum score every band of a massed parade knows;
    ``drum_score`` is what the drummers have written, None where nobody has entered it.
    """

    entry: Entry
    plan: TunePlan
    link: TunePlan | None = None
    drum_score: DrumScore | None = None
    parts_out: tuple[int, ...] = ()
    standard_setting: str = ""

    @property
    def tune(self) -> Tune:
        """The tune as written."""
        return self.plan.tune


@dataclass(frozen=True, slots=True)
class PlannedSet:
    """A set with a plan for every entry."""

    set: Set
    entries: tuple[PlannedEntry, ...]

    @property
    def plans(self) -> tuple[TunePlan, ...]:
        """The plans in playing order."""
        return tuple(planned.plan for planned in self.entries)


@dataclass(frozen=True, slots=True)
class AgreementMade:
    """What pipes and drums have settled on one mark: who said so, when, and with what remark."""

    tune_key: str
    address: Address
    is_agreed: bool
    who: str
    when: datetime | None = None
    remark: str = ""


@dataclass(frozen=True, slots=True)
class PlannedEvent:
    """An event ready for paper.

    ``made_at`` is when this version of it was made. ``minimum`` and ``maybe`` count players:
    those the rules ask for, and those who have not decided.
    """

    event: Event
    sets: tuple[PlannedSet, ...]
    line_up: LineUp
    made_at: datetime
    timetable: EventTimetable | None = None
    agreements: tuple[AgreementMade, ...] = ()
    changes: tuple[str, ...] = ()
    street: StreetSums | None = None
    minimum: Mapping[Instrument, int] = field(default_factory=dict)
    maybe: Mapping[Instrument, int] = field(default_factory=dict)
    findings: tuple[Finding, ...] = ()
    cautions: Mapping[str, str] = field(default_factory=dict)
    dose: SoundDose | None = None
    contest: tuple[str, ...] = ()


def setting_words(setting: Setting) -> str:
    """The occasion, with its sort where that says more: ``parade, massed bands``."""
    sort = SORT_WORDS.get(setting.sort, "")
    return f"{setting.occasion.words}, {sort}" if sort else setting.occasion.words


def strictness_word(plans: tuple[TunePlan, ...]) -> str:
    """The one word that says how strict: ``strict``, ``agreed`` or ``free``, the freest of them."""
    words = {_strictness(plan) for plan in plans}
    return next((word for word in ("free", "agreed") if word in words), "strict")


def _strictness(plan: TunePlan) -> str:
    if plan.drums.tempo is not DrumTempo.NONE:
        return str(plan.drums.tempo)
    return "free" if plan.licence.layers.across_phrase.is_free else "strict"
