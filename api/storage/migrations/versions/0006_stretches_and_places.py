"""stretches of the route, and places along it"""

import sqlalchemy as sa
from alembic import op

revision = "0006"
down_revision = "0005"
branch_labels = None
depends_on = None

COLUMNS = ("route_stretches", "route_places")


def upgrade() -> None:
    for name in COLUMNS:
        op.add_column("event", sa.Column(name, sa.JSON(), nullable=False, server_default="[]"))


def downgrade() -> None:
    with op.batch_alter_table("event", schema=None) as batch_op:
        for name in reversed(COLUMNS):
            batch_op.drop_column(name)
