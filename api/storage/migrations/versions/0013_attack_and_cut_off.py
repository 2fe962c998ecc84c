"""how a tune of a set is attacked, and where it may be cut off"""

import sqlalchemy as sa
from alembic import op

revision = "0013"
down_revision = "0012"
branch_labels = None
depends_on = None

COLUMNS = ("attack", "cut_off")


def upgrade() -> None:
    for name in COLUMNS:
        op.add_column("entry", sa.Column(name, sa.String(), nullable=True))


def downgrade() -> None:
    with op.batch_alter_table("entry", schema=None) as batch_op:
        for name in reversed(COLUMNS):
            batch_op.drop_column(name)
