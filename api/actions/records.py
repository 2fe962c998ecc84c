"""The library's records, for those who call actions and may not open the database themselves."""

from api.storage.database import BandId, Database, Session
from api.storage.faults import InUseError, NotFoundError, StaleError
from api.storage.records import (
    Answer,
    BandRecord,
    EventRecord,
    HandMark,
    Kept,
    Lift,
    NewFile,
    Outline,
    OwnRule,
    Place,
    Printed,
    Settled,
    StoredFile,
    TuneRecord,
)

__all__ = [
    "Answer",
    "BandId",
    "BandRecord",
    "Database",
    "EventRecord",
    "HandMark",
    "InUseError",
    "Kept",
    "Lift",
    "NewFile",
    "NotFoundError",
    "Outline",
    "OwnRule",
    "Place",
    "Printed",
    "Session",
    "Settled",
    "StaleError",
    "StoredFile",
    "TuneRecord",
]
