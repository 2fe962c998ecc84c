"""altered last bars, and bars that link two tunes of a set"""

import sqlalchemy as sa
from alembic import op

revision = "0010"
down_revision = "0009"
branch_labels = None
depends_on = None

COLUMNS = ("last_bar", "link")


def upgrade() -> None:
    for name in COLUMNS:
        op.add_column("entry", sa.Column(name, sa.String(), nullable=False, server_default=""))


def downgrade() -> None:
    with op.batch_alter_table("entry", schema=None) as batch_op:
        for name in reversed(COLUMNS):
            batch_op.drop_column(name)
