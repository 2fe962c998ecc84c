"""where parts and phrases of a tune begin, set by hand"""

import sqlalchemy as sa
from alembic import op

revision = "0014"
down_revision = "0013"
branch_labels = None
depends_on = None

COLUMNS = ("part_starts", "phrase_starts")


def upgrade() -> None:
    for name in COLUMNS:
        op.add_column("tune", sa.Column(name, sa.JSON(), nullable=False, server_default="[]"))


def downgrade() -> None:
    with op.batch_alter_table("tune", schema=None) as batch_op:
        for name in COLUMNS:
            batch_op.drop_column(name)
