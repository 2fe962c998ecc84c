"""how a set sits in a concert, and whether listeners know it"""

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None

COLUMNS = ("weight", "familiarity")


def upgrade() -> None:
    with op.batch_alter_table("set", schema=None) as batch_op:
        for name in COLUMNS:
            batch_op.add_column(sa.Column(name, sa.String(), nullable=True))


def downgrade() -> None:
    with op.batch_alter_table("set", schema=None) as batch_op:
        for name in reversed(COLUMNS):
            batch_op.drop_column(name)
