"""What does the library keep of an occasion? The event, who plays there, and what was settled.

What belongs to an event goes when the event goes. Marks by hand and agreements that are for every
event of an occasion have no ``event_id`` but an ``occasion`` and a ``sort``.
"""

# No "from __future__ import annotations" here: SQLModel reads the relationships as they stand.

from datetime import date, datetime, time
from typing import Any

from sqlalchemy import JSON, Index, UniqueConstraint
from sqlmodel import Field, Relationship

from api.storage.row import Row, VersionedRow, now
from api.storage.tables import AUTO, PersonRow

PARTS_OF_EVENT = {"cascade": "all, delete-orphan", "passive_deletes": True}


def _of_event(**more: Any) -> Any:
    return Field(
        default=None, foreign_key="event.id", ondelete="CASCADE", index=True, nullable=False, **more
    )


class EventRow(VersionedRow, table=True):
    """A job of the band: its occasion, circumstances, clock, street and arrangements."""

    __tablename__ = "event"
    __table_args__ = (Index("ix_event_band_id_day", "band_id", "day"), AUTO)

    band_id: int = Field(foreign_key="band.id")
    name: str
    day: date | None = None
    occasion: str
    sort: str
    drums: str
    rung: int | None = None
    measured_sd_ms: float | None = None
    circumstances: list[str] = Field(default_factory=list, sa_type=JSON)
    meet: time | None = None
    tune_up: time | None = None
    step_off: time | None = None
    end: time | None = None
    route_length_m: float | None = None
    pace_m: float | None = None
    steps_per_minute: float | None = None
    asked_m_per_minute: float | None = None
    column_m: float | None = None
    route_stretches: list[dict[str, Any]] = Field(default_factory=list, sa_type=JSON)
    route_places: list[dict[str, Any]] = Field(default_factory=list, sa_type=JSON)
    sound_level_dba: float | None = None
    sound_where: str = ""
    answers_by: date | None = None
    place: str = ""
    dress: str = ""
    transport: str = ""
    contact: str = ""
    wet_plan: str = ""
    hazards: str = ""
    stop_signal: str = ""

    items: list["ItemRow"] = Relationship(
        sa_relationship_kwargs={**PARTS_OF_EVENT, "order_by": "ItemRow.position"}
    )
    line_up: list["LineUpRow"] = Relationship(
        sa_relationship_kwargs={**PARTS_OF_EVENT, "order_by": "LineUpRow.person_id"}
    )
    outs: list["OutRow"] = Relationship(sa_relationship_kwargs=PARTS_OF_EVENT)
    harmony: list["HarmonyRow"] = Relationship(sa_relationship_kwargs=PARTS_OF_EVENT)


class ItemRow(Row, table=True):
    """One item of the running order: a set, or words with a length."""

    __tablename__ = "item"

    band_id: int = Field(foreign_key="band.id", index=True)
    event_id: int | None = _of_event()
    position: int
    set_id: int | None = Field(default=None, foreign_key="set.id", index=True)
    text: str = ""
    seconds: float = 0.0
    gap_after_s: float = 0.0
    start: time | None = None


class LineUpRow(Row, table=True):
    """What a person answered for an event: ``yes``, ``no`` or ``maybe``."""

    __tablename__ = "line_up"
    __table_args__ = (UniqueConstraint("event_id", "person_id"), AUTO)

    band_id: int = Field(foreign_key="band.id", index=True)
    event_id: int | None = _of_event()
    person_id: int = Field(foreign_key="person.id", index=True)
    answer: str = "yes"

    person: PersonRow = Relationship()


class OutRow(Row, table=True):
    """This person does not play this tune at this event."""

    __tablename__ = "out"
    __table_args__ = (UniqueConstraint("event_id", "person_id", "tune_id"), AUTO)

    band_id: int = Field(foreign_key="band.id", index=True)
    event_id: int | None = _of_event()
    person_id: int = Field(foreign_key="person.id", ondelete="CASCADE", index=True)
    tune_id: int = Field(foreign_key="tune.id", ondelete="CASCADE", index=True)


class HarmonyRow(Row, table=True):
    """This person plays pipe harmony in this tune at this event."""

    __tablename__ = "harmony"
    __table_args__ = (UniqueConstraint("event_id", "person_id", "tune_id"), AUTO)

    band_id: int = Field(foreign_key="band.id", index=True)
    event_id: int | None = _of_event()
    person_id: int = Field(foreign_key="person.id", ondelete="CASCADE", index=True)
    tune_id: int = Field(foreign_key="tune.id", ondelete="CASCADE", index=True)


class HandMarkRow(VersionedRow, table=True):
    """A mark a person has set (``locked``) or struck out (``forbidden``) on one printed note."""

    __tablename__ = "hand_mark"

    band_id: int = Field(foreign_key="band.id", index=True)
    event_id: int | None = Field(
        default=None, foreign_key="event.id", ondelete="CASCADE", index=True
    )
    occasion: str
    sort: str
    tune_id: int = Field(foreign_key="tune.id", ondelete="CASCADE", index=True)
    part: int
    bar: int
    ending: int
    note_index: int
    will: str
    move: str | None = None
    ms: float | None = None
    set_by: str = ""
    set_at: datetime = Field(default_factory=now)


class AgreementRow(Row, table=True):
    """What pipes and drums settled on one mark; the latest line is the one that holds.

    ``music`` is the hash of the tune's file then, empty where it had none.
    """

    __tablename__ = "agreement"

    band_id: int = Field(foreign_key="band.id", index=True)
    event_id: int | None = Field(
        default=None, foreign_key="event.id", ondelete="CASCADE", index=True
    )
    occasion: str
    sort: str
    tune_id: int = Field(foreign_key="tune.id", ondelete="CASCADE", index=True)
    part: int
    bar: int
    ending: int
    beat: str
    move: str
    ms: float
    tempo_bpm: float
    is_agreed: bool
    who: str
    remark: str = ""
    music: str = ""
    agreed_at: datetime = Field(default_factory=now)


class LiftRow(Row, table=True):
    """Layers that a named person opens above the occasion's ceiling, for one tune at one event."""

    __tablename__ = "lift"
    __table_args__ = (UniqueConstraint("event_id", "tune_id"), AUTO)

    band_id: int = Field(foreign_key="band.id", index=True)
    event_id: int | None = _of_event()
    tune_id: int = Field(foreign_key="tune.id", ondelete="CASCADE", index=True)
    levels: dict[str, str] = Field(default_factory=dict, sa_type=JSON)
    lifted_by: str
    lifted_at: datetime = Field(default_factory=now)


class ChangeRow(Row, table=True):
    """What a change of an event changed, one sentence a line, at the version it made."""

    __tablename__ = "event_change"

    band_id: int = Field(foreign_key="band.id", index=True)
    event_id: int | None = _of_event()
    event_version: int
    said: list[str] = Field(default_factory=list, sa_type=JSON)
    changed_at: datetime = Field(default_factory=now)


class EarlierRow(Row, table=True):
    """How a set, or the running order of an event, stood before a change: what undo puts back."""

    __tablename__ = "earlier"

    band_id: int = Field(foreign_key="band.id", index=True)
    set_id: int | None = Field(default=None, foreign_key="set.id", ondelete="CASCADE", index=True)
    event_id: int | None = Field(
        default=None, foreign_key="event.id", ondelete="CASCADE", index=True
    )
    state: Any = Field(sa_type=JSON)
    kept_at: datetime = Field(default_factory=now)


class PrintRow(Row, table=True):
    """What was printed of an event, at which version, so that old sheets can be told."""

    __tablename__ = "print"

    band_id: int = Field(foreign_key="band.id", index=True)
    event_id: int | None = _of_event()
    sheet: str
    for_whom: str = ""
    event_version: int
    content_hash: str
    contents: Any = Field(default=None, sa_type=JSON)
    printed_at: datetime = Field(default_factory=now)
