"""how often each part of a tune is played in a set"""

import sqlalchemy as sa
from alembic import op

revision = "0008"
down_revision = "0007"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.add_column("entry", sa.Column("part_times", sa.JSON(), nullable=False, server_default="[]"))


def downgrade() -> None:
    with op.batch_alter_table("entry", schema=None) as batch_op:
        batch_op.drop_column("part_times")
