"""ceilings that a named person lifts for one tune at one event"""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None

PARENTS = (("band", None), ("event", "CASCADE"), ("tune", "CASCADE"))


def upgrade() -> None:
    op.create_table(
        "lift",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("band_id", sa.Integer(), nullable=False),
        sa.Column("event_id", sa.Integer(), nullable=False),
        sa.Column("tune_id", sa.Integer(), nullable=False),
        sa.Column("levels", sa.JSON(), nullable=False),
        sa.Column("lifted_by", sa.String(), nullable=False),
        sa.Column("lifted_at", sa.DateTime(timezone=True), nullable=False),
        *(
            sa.ForeignKeyConstraint(
                [f"{parent}_id"],
                [f"{parent}.id"],
                name=op.f(f"fk_lift_{parent}_id_{parent}"),
                ondelete=ondelete,
            )
            for parent, ondelete in PARENTS
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_lift")),
        sa.UniqueConstraint("event_id", "tune_id", name=op.f("uq_lift_event_id_tune_id")),
        sqlite_autoincrement=True,
    )
    with op.batch_alter_table("lift", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_lift_band_id"), ["band_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_lift_event_id"), ["event_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_lift_tune_id"), ["tune_id"], unique=False)


def downgrade() -> None:
    op.drop_table("lift")
