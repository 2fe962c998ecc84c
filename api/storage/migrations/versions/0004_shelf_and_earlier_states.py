"""what the list of tunes needs of each tune, and how sets and running orders stood before"""

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "shelf",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("band_id", sa.Integer(), nullable=False),
        sa.Column("tune_id", sa.Integer(), nullable=False),
        sa.Column("tune_version", sa.Integer(), nullable=False),
        sa.Column("title", sa.String(), nullable=False),
        sa.Column("words", sa.String(), nullable=False),
        sa.Column("idiom", sa.String(), nullable=False),
        sa.Column("metre", sa.String(), nullable=False),
        sa.Column("tonal_centre", sa.String(), nullable=False),
        sa.Column("tags", sa.String(), nullable=False),
        sa.Column("part_count", sa.Integer(), nullable=False),
        sa.Column("tempo_bpm", sa.Float(), nullable=True),
        sa.Column("has_notes", sa.Boolean(), nullable=False),
        _reference("shelf", "band"),
        _reference("shelf", "tune", "CASCADE"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_shelf")),
        sa.UniqueConstraint("tune_id", name=op.f("uq_shelf_tune_id")),
        sqlite_autoincrement=True,
    )
    with op.batch_alter_table("shelf", schema=None) as batch_op:
        batch_op.create_index("ix_shelf_band_id_title", ["band_id", "title"], unique=False)
    op.create_table(
        "earlier",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("band_id", sa.Integer(), nullable=False),
        sa.Column("set_id", sa.Integer(), nullable=True),
        sa.Column("event_id", sa.Integer(), nullable=True),
        sa.Column("state", sa.JSON(), nullable=False),
        sa.Column("kept_at", sa.DateTime(timezone=True), nullable=False),
        _reference("earlier", "band"),
        _reference("earlier", "set", "CASCADE"),
        _reference("earlier", "event", "CASCADE"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_earlier")),
        sqlite_autoincrement=True,
    )
    with op.batch_alter_table("earlier", schema=None) as batch_op:
        for parent in ("band", "set", "event"):
            batch_op.create_index(
                batch_op.f(f"ix_earlier_{parent}_id"), [f"{parent}_id"], unique=False
            )


def downgrade() -> None:
    op.drop_table("earlier")
    op.drop_table("shelf")


def _reference(table: str, parent: str, ondelete: str | None = None) -> sa.ForeignKeyConstraint:
    return sa.ForeignKeyConstraint(
        [f"{parent}_id"],
        [f"{parent}.id"],
        name=op.f(f"fk_{table}_{parent}_id_{parent}"),
        ondelete=ondelete,
    )
