"""What does the library keep? Inputs and choices; results are worked out afresh.

The music: files as uploaded, tunes, sets and their entries. The people: members, and how far each
has learnt a tune. The occasions are in ``event_tables``. Every row belongs to a band.

Deleting something in use is refused by the database itself (no ``ondelete``); what belongs to a
row goes with it (``CASCADE``). Lengths are metres, times seconds, tempo felt beats a minute.
"""

# No "from __future__ import annotations" here: SQLModel reads the relationships as they stand.

from datetime import datetime
from typing import Any, Optional

from sqlalchemy import JSON, Index, UniqueConstraint
from sqlmodel import Field, Relationship

from api.storage.row import Row, VersionedRow, now

AUTO = {"sqlite_autoincrement": True}


class BandRow(VersionedRow, table=True):
    """A band, the owner of everything else."""

    __tablename__ = "band"

    name: str
    place: str = ""
    steps_per_minute: float | None = None
    pace_m: float | None = None


class UploadRow(Row, table=True):
    """A file as uploaded: music of one or more tunes, or a picture or PDF of the paper."""

    __tablename__ = "upload"

    band_id: int = Field(foreign_key="band.id", index=True)
    file_name: str
    media_type: str
    sha256: str = Field(index=True)
    size: int
    content: bytes
    uploaded_at: datetime = Field(default_factory=now)


class TuneRow(VersionedRow, table=True):
    """A tune: which music it is, what the band calls it and says of it.

    ``file_number`` counts the tunes of the file from 1. A tune without notes has no file but an
    outline: ``outline_metre`` such as ``6/8`` and ``outline_parts`` as [bars, times played].
    """

    __tablename__ = "tune"
    __table_args__ = (Index("ix_tune_band_id_title", "band_id", "title"), AUTO)

    band_id: int = Field(foreign_key="band.id")
    title: str
    file_id: int | None = Field(default=None, foreign_key="upload.id", index=True)
    file_number: int = 1
    attachment_id: int | None = Field(default=None, foreign_key="upload.id", index=True)
    drum_file_id: int | None = Field(default=None, foreign_key="upload.id", index=True)
    drum_scan_id: int | None = Field(default=None, foreign_key="upload.id", index=True)
    outline_metre: str = ""
    outline_parts: list[list[int]] = Field(default_factory=list, sa_type=JSON)
    tonal_centre: str = ""
    idiom: str | None = None
    tempo_bpm: float | None = None
    phrase_bars: int | None = None
    line_bars: int | None = None
    part_starts: list[int] = Field(default_factory=list, sa_type=JSON)
    phrase_starts: list[list[int]] = Field(default_factory=list, sa_type=JSON)
    tags: list[str] = Field(default_factory=list, sa_type=JSON)
    composer: str = ""
    arranger: str = ""
    origin: str = ""
    source: str = ""
    transcriber: str = ""
    permission: str = ""
    remarks: str = ""
    standard_setting: str = ""

    file: Optional[UploadRow] = Relationship(  # noqa: UP045 - SQLModel needs the name
        sa_relationship_kwargs={"foreign_keys": "TuneRow.file_id"}
    )
    attachment: Optional[UploadRow] = Relationship(  # noqa: UP045
        sa_relationship_kwargs={"foreign_keys": "TuneRow.attachment_id"}
    )
    drum_file: Optional[UploadRow] = Relationship(  # noqa: UP045
        sa_relationship_kwargs={"foreign_keys": "TuneRow.drum_file_id"}
    )
    drum_scan: Optional[UploadRow] = Relationship(  # noqa: UP045
        sa_relationship_kwargs={"foreign_keys": "TuneRow.drum_scan_id"}
    )


class ShelfRow(Row, table=True):
    """What the list of tunes needs of a tune, so that looking for one reads no music.

    Worked out when the tune is stored: it can be thrown away and made again. ``words`` are title
    and composer without capitals and accents; ``tune_version`` is the version it was made from;
    ``metre`` is empty where the music cannot be read. Tempo in felt beats a minute.
    """

    __tablename__ = "shelf"
    __table_args__ = (Index("ix_shelf_band_id_title", "band_id", "title"), AUTO)

    band_id: int = Field(foreign_key="band.id")
    tune_id: int = Field(foreign_key="tune.id", ondelete="CASCADE", unique=True)
    tune_version: int
    title: str
    words: str
    idiom: str = ""
    metre: str = ""
    tonal_centre: str = ""
    tags: str = ""
    part_count: int = 0
    tempo_bpm: float | None = None
    has_notes: bool = False


class SetRow(VersionedRow, table=True):
    """A set: its number as called, its short name, its entries in order."""

    __tablename__ = "set"
    __table_args__ = (Index("ix_set_band_id_number", "band_id", "number"), AUTO)

    band_id: int = Field(foreign_key="band.id")
    number: int
    name: str
    occasion: str | None = None
    times_through: int = 1
    introduction_beats: int | None = None
    ruleset: str = ""
    dance: str = ""
    steps: list[int] = Field(default_factory=list, sa_type=JSON)
    weight: str | None = None
    familiarity: str | None = None
    bars_per_step: int | None = None

    entries: list["EntryRow"] = Relationship(
        sa_relationship_kwargs={
            "order_by": "EntryRow.position",
            "cascade": "all, delete-orphan",
            "passive_deletes": True,
        }
    )


class EntryRow(Row, table=True):
    """A tune as it is played in a set; ``times_through`` 0 means until the cue.

    ``parts`` in playing order, none: as printed; ``part_times`` beside them, 0: as printed.
    ``last_bar`` and ``link`` are ABC, empty text for none.
    """

    __tablename__ = "entry"

    band_id: int = Field(foreign_key="band.id", index=True)
    set_id: int | None = Field(
        default=None, foreign_key="set.id", ondelete="CASCADE", index=True, nullable=False
    )
    position: int
    tune_id: int = Field(foreign_key="tune.id", index=True)
    tempo_bpm: float | None = None
    times_through: int = 1
    parts: list[int] = Field(default_factory=list, sa_type=JSON)
    start_line: str = ""
    stop_line: str = ""
    join: str = ""
    pause_after_s: float = 0.0
    part_times: list[int] = Field(default_factory=list, sa_type=JSON)
    last_bar: str = ""
    link: str = ""
    attack: str | None = None
    cut_off: str | None = None
    cue: str = ""


class PersonRow(VersionedRow, table=True):
    """A member of the band."""

    __tablename__ = "person"
    __table_args__ = (Index("ix_person_band_id_name", "band_id", "name"), AUTO)

    band_id: int = Field(foreign_key="band.id")
    name: str
    instrument: str
    is_learner: bool = False
    rung: int | None = None
    role: str = ""


class ReadinessRow(Row, table=True):
    """How far a person has learnt a tune."""

    __tablename__ = "readiness"
    __table_args__ = (UniqueConstraint("person_id", "tune_id"), AUTO)

    band_id: int = Field(foreign_key="band.id", index=True)
    person_id: int = Field(foreign_key="person.id", ondelete="CASCADE")
    tune_id: int = Field(foreign_key="tune.id", ondelete="CASCADE", index=True)
    level: str


class OwnRuleRow(VersionedRow, table=True):
    """A value the band has put in place of the rule book's, with its name and the day.

    A set of contest rules of the band's own is a row too; see ``own_rules``.
    """

    __tablename__ = "own_rule"
    __table_args__ = (UniqueConstraint("band_id", "key"), AUTO)

    band_id: int = Field(foreign_key="band.id")
    key: str
    value: Any = Field(sa_type=JSON)
    set_by: str
    set_on: datetime = Field(default_factory=now)
