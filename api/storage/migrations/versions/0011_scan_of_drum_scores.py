"""a picture of the drum score with each tune"""

import sqlalchemy as sa
from alembic import op

revision = "0011"
down_revision = "0010"
branch_labels = None
depends_on = None

AUTO = {"sqlite_autoincrement": True}


def upgrade() -> None:
    with op.batch_alter_table("tune", schema=None, table_kwargs=AUTO) as batch_op:
        batch_op.add_column(sa.Column("drum_scan_id", sa.Integer(), nullable=True))
        batch_op.create_index(batch_op.f("ix_tune_drum_scan_id"), ["drum_scan_id"], unique=False)
        batch_op.create_foreign_key(
            batch_op.f("fk_tune_drum_scan_id_upload"), "upload", ["drum_scan_id"], ["id"]
        )


def downgrade() -> None:
    with op.batch_alter_table("tune", schema=None, table_kwargs=AUTO) as batch_op:
        batch_op.drop_constraint(batch_op.f("fk_tune_drum_scan_id_upload"), type_="foreignkey")
        batch_op.drop_index(batch_op.f("ix_tune_drum_scan_id"))
        batch_op.drop_column("drum_scan_id")
