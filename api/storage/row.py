"""What have all rows in common? One metadata with named constraints, and a version that counts."""

from datetime import UTC, datetime
from typing import Any, ClassVar

from sqlalchemy import MetaData
from sqlmodel import Field, SQLModel

# Which name does a constraint get, so that a migration can find it again on every database?
CONSTRAINT_NAMES = {
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_N_name)s_%(referred_table_name)s",
    "pk": "pk_%(table_name)s",
}


def now() -> datetime:
    """The present moment as rows keep it: UTC, in whole seconds."""
    return datetime.now(UTC).replace(microsecond=0)


class Row(SQLModel):
    """A stored row with its number; a number is never given twice."""

    # Rows are never checked by pydantic, so nothing is built for that at start-up.
    model_config = {"defer_build": True}

    metadata = MetaData(naming_convention=CONSTRAINT_NAMES)
    __table_args__: ClassVar[Any] = {"sqlite_autoincrement": True}

    id: int | None = Field(default=None, primary_key=True)

    @property
    def row_id(self) -> int:
        """The row's number.

        Raises:
            LookupError: the row has not been stored yet.
        """
        if self.id is None:
            raise LookupError(f"{type(self).__name__} has not been stored yet")
        return self.id


class VersionedRow(Row):
    """A row a person changes: ``version`` counts the changes from 1 and becomes the ETag."""

    version: int = 1
    changed_at: datetime = Field(default_factory=now)

    def bump(self) -> None:
        """Count one more change."""
        self.version += 1
        self.changed_at = now()
