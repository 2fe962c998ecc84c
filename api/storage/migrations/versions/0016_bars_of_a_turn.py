"""how many bars a turn of a set's dance has, if not the usual ones"""

import sqlalchemy as sa
from alembic import op

revision = "0016"
down_revision = "0015"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.add_column("set", sa.Column("bars_per_step", sa.Integer(), nullable=True))


def downgrade() -> None:
    with op.batch_alter_table("set", schema=None) as batch_op:
        batch_op.drop_column("bars_per_step")
