"""note loudness, closing dates of answers, and what changed"""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "event_change",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("band_id", sa.Integer(), nullable=False),
        sa.Column("event_id", sa.Integer(), nullable=False),
        sa.Column("event_version", sa.Integer(), nullable=False),
        sa.Column("said", sa.JSON(), nullable=False),
        sa.Column("changed_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(
            ["band_id"], ["band.id"], name=op.f("fk_event_change_band_id_band")
        ),
        sa.ForeignKeyConstraint(
            ["event_id"],
            ["event.id"],
            name=op.f("fk_event_change_event_id_event"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_event_change")),
        sqlite_autoincrement=True,
    )
    with op.batch_alter_table("event_change", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_event_change_band_id"), ["band_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_event_change_event_id"), ["event_id"], unique=False)
    op.add_column("event", sa.Column("column_m", sa.Float(), nullable=True))
    op.add_column("event", sa.Column("sound_level_dba", sa.Float(), nullable=True))
    op.add_column("event", sa.Column("sound_where", sa.String(), nullable=False, server_default=""))
    op.add_column("event", sa.Column("answers_by", sa.Date(), nullable=True))


def downgrade() -> None:
    with op.batch_alter_table("event", schema=None) as batch_op:
        batch_op.drop_column("answers_by")
        batch_op.drop_column("sound_where")
        batch_op.drop_column("sound_level_dba")
        batch_op.drop_column("column_m")
    with op.batch_alter_table("event_change", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_event_change_event_id"))
        batch_op.drop_index(batch_op.f("ix_event_change_band_id"))
    op.drop_table("event_change")
