"""What is being played, where, by whom, and under which circumstances?

An event holds running-order items; an item is a set (or a pause, or a drums-only item); a set holds
entries; an entry is a tune as it is played there. Times of day are local and naive: a band lives by
the clock on the wall. Lengths are in metres, tempo in felt beats a minute, pauses in seconds.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, time
from enum import StrEnum

from planner.event.route import Route


class Occasion(StrEnum):
    """The tag of a tune, a set or an event."""

    PARADE = "parade"
    DANCE = "dance"
    EXHIBITION = "exhibition"
    COMPETITION = "competition"

    @property
    def words(self) -> str:
        """The occasion in full words."""
        return "dance accompaniment" if self is Occasion.DANCE else self.value


class Sort(StrEnum):
    """What kind of job within the tag; dance has one sort and looks at the drums instead."""

    OWN_BAND = "own-band"
    MASSED = "massed"
    LONG_COLUMN = "long-column"
    FLOOR = "floor"
    MARCH_STRATHSPEY_REEL = "march-strathspey-reel"
    MEDLEY = "medley"
    STANDING = "standing"
    SOLO = "solo"


SORTS_BY_OCCASION = {
    Occasion.PARADE: (Sort.OWN_BAND, Sort.MASSED, Sort.LONG_COLUMN),
    Occasion.DANCE: (Sort.FLOOR,),
    Occasion.EXHIBITION: (Sort.STANDING, Sort.SOLO),
    Occasion.COMPETITION: (Sort.MARCH_STRATHSPEY_REEL, Sort.MEDLEY),
}
"""The sorts of each occasion; the first is the one meant when none is named."""


class Drums(StrEnum):
    """Which drums play: the full corps, the bass drum alone, or none."""

    NONE = "none"
    BASS = "bass"
    FULL = "full"


class Circumstance(StrEnum):
    """What makes a careful pipe-major step down one level; the rule book says why."""

    LEARNERS = "learners"
    FEW_PRACTICES = "few-practices"
    LONG_COLUMN = "long-column"
    NO_SIGHT = "no-sight-of-foot"
    BORROWED_DRUMMERS = "borrowed-drummers"
    POOR_FOOTING = "poor-footing"


class Instrument(StrEnum):
    """What a person plays."""

    PIPES = "pipes"
    SNARE = "snare"
    TENOR = "tenor"
    BASS = "bass"

    @property
    def is_drum(self) -> bool:
        """True for every instrument of the corps."""
        return self is not Instrument.PIPES


class Weight(StrEnum):
    """How an item sits in a concert, in the band's own judgement."""

    STRONG = "strong"
    LIGHT = "light"


class Familiarity(StrEnum):
    """Whether the listeners know an item, in the band's own judgement."""

    KNOWN = "known"
    NEW = "new"


@dataclass(frozen=True, slots=True)
class Control:
    """How well the players command the beat: a rung from 1 to 4, and a measured scatter.

    ``rung`` None means nobody has said; ``measured_sd_ms`` is the standard deviation of their
    timing, None when it was never measured.
    """

    rung: int | None = None
    measured_sd_ms: float | None = None


@dataclass(frozen=True, slots=True)
class Setting:
    """Everything about the occasion that decides how freely a tune may be played there."""

    occasion: Occasion
    sort: Sort
    drums: Drums = Drums.FULL
    control: Control = Control()
    circumstances: tuple[Circumstance, ...] = ()


@dataclass(frozen=True, slots=True)
class Person:
    """A member of the band. ``key`` is stable; ``rung`` is their control of the beat, if known.

    ``role`` is what they do besides playing, such as ``pipe-major``, in the band's own words.
    """

    key: str
    name: str
    instrument: Instrument
    is_learner: bool = False
    rung: int | None = None
    role: str = ""


@dataclass(frozen=True, slots=True)
class LineUp:
    """Who plays at this event, and who is out of which tune (person key, tune key)."""

    people: tuple[Person, ...] = ()
    outs: frozenset[tuple[str, str]] = frozenset()
    harmony: frozenset[tuple[str, str]] = frozenset()

    def count(self, instrument: Instrument) -> int:
        """How many play this instrument."""
        return sum(person.instrument is instrument for person in self.people)

    def who_is_out(self, tune_key: str) -> tuple[Person, ...]:
        """The people who do not play this tune."""
        return tuple(person for person in self.people if (person.key, tune_key) in self.outs)


class Attack(StrEnum):
    """How a tune is started."""

    ROLLS = "rolls"
    STRIKE_IN = "strike-in"
    ON_THE_BEAT = "on-the-beat"

    @property
    def words(self) -> str:
        """The attack as it is said on a card."""
        return ATTACK_WORDS[self]


ATTACK_WORDS = {
    Attack.ROLLS: "two three-pace rolls, then all together",
    Attack.STRIKE_IN: "no rolls: drones struck in, then all together",
    Attack.ON_THE_BEAT: "no rolls: straight in on the beat",
}


class CutOff(StrEnum):
    """Where a tune may be cut off."""

    END_OF_REPEAT = "end-of-repeat"
    END_OF_PART = "end-of-part"
    END_OF_TUNE = "end-of-tune"

    @property
    def words(self) -> str:
        """The cut-off as it is said on a card."""
        return CUT_OFF_WORDS[self]


CUT_OFF_WORDS = {
    CutOff.END_OF_REPEAT: "at the end of a part or of a repeat",
    CutOff.END_OF_PART: "at the end of a part, after its repeat",
    CutOff.END_OF_TUNE: "at the end of the tune only",
}


@dataclass(frozen=True, slots=True)
class Entry:
    """A tune as it is played in a set.

    ``tempo_bpm`` None takes the tune's own, else the idiom's. ``times_through`` 0 means "until the
    cue". ``parts`` are those played, in playing order; empty means all as printed. ``part_times``
    says how often each of them is played, 0 or nothing: as printed. ``last_bar`` is played in the
    place of the last bar, the last time through, and ``link`` after it, before the next entry:
    both in ABC. ``pause_after_s`` is silence before the next entry. ``attack`` None starts as the
    occasion has it, ``cut_off`` None lets it stop at the end of any part or repeat.
    ``cue`` is who cues the join into the next entry, in the band's own words.
    """

    tune_key: str
    tempo_bpm: float | None = None
    times_through: int = 1
    parts: tuple[int, ...] = ()
    start_line: str = ""
    stop_line: str = ""
    join: str = ""
    pause_after_s: float = 0.0
    part_times: tuple[int, ...] = ()
    last_bar: str = ""
    link: str = ""
    attack: Attack | None = None
    cut_off: CutOff | None = None
    cue: str = ""

    @property
    def is_until_cue(self) -> bool:
        """True when the entry is open-ended."""
        return self.times_through == 0


@dataclass(frozen=True, slots=True)
class Set:
    """A set: its number as called on the street, its short name, and its entries in order.

    ``times_through`` 0 means "until the cue". ``ruleset`` names the contest rules it is entered
    under, ``dance`` the dance it is played for and ``steps`` the steps of each tempo, where any.
    ``weight`` and ``familiarity`` are None where the band has not said. ``bars_per_step`` are those
    of a step or turn of the dance, None for the usual ones.
    """

    key: str
    number: int
    name: str
    entries: tuple[Entry, ...]
    occasion: Occasion | None = None
    times_through: int = 1
    introduction_beats: int | None = None
    ruleset: str = ""
    dance: str = ""
    steps: tuple[int, ...] = ()
    weight: Weight | None = None
    familiarity: Familiarity | None = None
    bars_per_step: int | None = None


@dataclass(frozen=True, slots=True)
class Loudness:
    """A *measured average* sound level in dB(A), and where it was measured; never a default."""

    level_dba: float
    where: str = ""


@dataclass(frozen=True, slots=True)
class Clock:
    """The times of the day that matter; None where nobody has said."""

    meet: time | None = None
    tune_up: time | None = None
    step_off: time | None = None
    end: time | None = None


@dataclass(frozen=True, slots=True)
class Arrangements:
    """What the call sheet says besides times: plain text, the band's own."""

    place: str = ""
    dress: str = ""
    transport: str = ""
    contact: str = ""
    wet_plan: str = ""
    hazards: str = ""
    stop_signal: str = ""


@dataclass(frozen=True, slots=True)
class Item:
    """One item of the running order: a set by its key, or words ("drums only") with a length.

    ``start`` is a fixed time by the clock, where the organiser has given one.
    """

    set_key: str = ""
    text: str = ""
    seconds: float = 0.0
    gap_after_s: float = 0.0
    start: time | None = None


@dataclass(frozen=True, slots=True)
class Event:
    """A job of the band, tagged with its occasion; answers are wanted by ``answers_by``."""

    key: str
    name: str
    setting: Setting
    day: date | None = None
    clock: Clock = Clock()
    items: tuple[Item, ...] = ()
    route: Route | None = None
    arrangements: Arrangements = Arrangements()
    version: int = 1
    loudness: Loudness | None = None
    answers_by: date | None = None
