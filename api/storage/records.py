"""What does storage hand out besides the engine's own nouns?

``Kept`` wraps a noun with what only a stored thing has: its number and its version. The other
records are what the engine does not need to know: files, permissions, who settled what and when.
All are frozen; nothing here is tied to a session.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime
from typing import Generic, TypeVar

from planner.event.event import Event, LineUp, Occasion, Sort
from planner.music.tempo import Metre
from planner.music.tune import Address, Credits

Noun = TypeVar("Noun")


@dataclass(frozen=True, slots=True)
class Kept(Generic[Noun]):
    """A noun as stored: ``version`` counts its changes from 1."""

    id: int
    version: int
    changed_at: datetime
    noun: Noun


@dataclass(frozen=True, slots=True)
class BandRecord:
    """The band, its usual place, and how it steps: paces a minute, metres a pace."""

    name: str
    place: str = ""
    steps_per_minute: float | None = None
    pace_m: float | None = None


@dataclass(frozen=True, slots=True)
class StoredFile:
    """A file as uploaded, without its content. ``size`` in bytes."""

    id: int
    name: str
    media_type: str
    sha256: str
    size: int


@dataclass(frozen=True, slots=True)
class NewFile:
    """A file that is about to be stored."""

    name: str
    media_type: str
    content: bytes


@dataclass(frozen=True, slots=True)
class Outline:
    """A tune without notes: its metre, and each part as (bars, times played)."""

    metre: Metre
    parts: tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True)
class TuneRecord:
    """A tune of the library: what the band calls it and says of it, and where its music lies.

    ``idiom`` and ``tempo_bpm`` None leave it to the file. ``part_starts`` are the bars, counted
    through the tune, and ``phrase_starts`` the bars of each part, in which somebody said that parts
    and phrases begin. ``file_number`` counts the tunes of the file from 1. ``standard_setting``
    says which setting and drum score all bands know, in words.
    """

    key: str
    title: str
    idiom: str | None = None
    tempo_bpm: float | None = None
    phrase_bars: int | None = None
    line_bars: int | None = None
    part_starts: tuple[int, ...] = ()
    phrase_starts: tuple[tuple[int, ...], ...] = ()
    tonal_centre: str = ""
    tags: tuple[Occasion, ...] = ()
    credits: Credits = field(default_factory=Credits)
    permission: str = ""
    remarks: str = ""
    standard_setting: str = ""
    outline: Outline | None = None
    file: StoredFile | None = None
    file_number: int = 1
    attachment: StoredFile | None = None
    drum_file: StoredFile | None = None
    drum_scan: StoredFile | None = None


@dataclass(frozen=True, slots=True)
class Answer:
    """What a person answered for an event: ``yes``, ``no`` or ``maybe``."""

    person_key: str
    answer: str


@dataclass(frozen=True, slots=True)
class EventRecord:
    """An event, its line-up (those who said yes), and everybody's answer."""

    event: Event
    line_up: LineUp
    answers: tuple[Answer, ...]


@dataclass(frozen=True, slots=True)
class Place:
    """Where a mark by hand stands: the ``index``-th printed note of a bar, from 0."""

    part: int
    bar: int
    ending: int
    index: int


@dataclass(frozen=True, slots=True)
class HandMark:
    """A mark a person locked or forbade, for one event or (key empty) for every such occasion.

    ``will`` is ``locked`` or ``forbidden``; a forbidden mark needs no move. ``ms`` later positive.
    """

    tune_key: str
    place: Place
    will: str
    occasion: Occasion
    sort: Sort
    event_key: str = ""
    move: str | None = None
    ms: float | None = None
    set_by: str = ""


@dataclass(frozen=True, slots=True)
class Settled:
    """What pipes and drums agreed or refused on one mark, who said so and when.

    ``music`` is the hash of the tune's file as it was then, empty where it had none.
    """

    tune_key: str
    address: Address
    move: str
    ms: float
    tempo_bpm: float
    is_agreed: bool
    who: str
    occasion: Occasion
    sort: Sort
    event_key: str = ""
    agreed_at: datetime | None = None
    remark: str = ""
    music: str = ""


@dataclass(frozen=True, slots=True)
class Lift:
    """Layers (name, level) that a person opened above the ceiling for a tune at an event."""

    event_key: str
    tune_key: str
    levels: tuple[tuple[str, str], ...]
    lifted_by: str
    lifted_at: datetime | None = None


@dataclass(frozen=True, slots=True)
class Learnt:
    """How far a person has learnt a tune."""

    person_key: str
    tune_key: str
    level: str


@dataclass(frozen=True, slots=True)
class OwnRule:
    """A value the band has put in place of the rule book's, or a rule set it has added.

    The value of a rule set is its table as JSON text, and its key begins with ``ruleset/``.
    """

    key: str
    value: float | int | str | bool | tuple[float | int | str, ...]
    set_by: str
    set_on: datetime | None = None


@dataclass(frozen=True, slots=True)
class Printed:
    """A sheet that was printed: of which event, at which version, and what it said."""

    event_key: str
    sheet: str
    event_version: int
    content_hash: str
    for_whom: str = ""
    contents: object = None
    printed_at: datetime | None = None


@dataclass(frozen=True, slots=True)
class ToldChange:
    """What a change of an event changed, one sentence each, and the version it made."""

    version: int
    said: tuple[str, ...]
    changed_at: datetime


@dataclass(frozen=True, slots=True)
class ShelfLine:
    """A tune as the list of tunes shows it; ``metre`` None where its music cannot be read.

    ``composer`` is written and searched, and not read back.
    """

    key: str
    title: str
    idiom: str = ""
    metre: Metre | None = None
    tonal_centre: str = ""
    tags: tuple[Occasion, ...] = ()
    part_count: int = 0
    tempo_bpm: float | None = None
    has_notes: bool = False
    composer: str = ""


@dataclass(frozen=True, slots=True)
class Looking:
    """What is looked for among the tunes; what is empty lets everything through.

    ``metre`` as stored. ``levels`` asks that every player has the tune at one of them, of all
    players or (``rung``) of those whose control of the beat is on that rung.
    """

    words: str = ""
    idiom: str = ""
    metre: str = ""
    tonal_centre: str = ""
    tag: str = ""
    levels: tuple[str, ...] = ()
    rung: int | None = None


@dataclass(frozen=True, slots=True)
class ShelfPage:
    """Some of the tunes that were looked for, how many were found, and how many there are."""

    lines: tuple[ShelfLine, ...]
    found: int
    total: int


@dataclass(frozen=True, slots=True)
class ShelfChoices:
    """What occurs among the tunes, to choose from; metres as stored."""

    idioms: tuple[str, ...]
    metres: tuple[str, ...]
    tonal_centres: tuple[str, ...]
