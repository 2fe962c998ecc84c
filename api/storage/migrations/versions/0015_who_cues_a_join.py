"""who cues the join from a tune of a set into the next"""

import sqlalchemy as sa
from alembic import op

revision = "0015"
down_revision = "0014"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.add_column("entry", sa.Column("cue", sa.String(), nullable=False, server_default=""))


def downgrade() -> None:
    with op.batch_alter_table("entry", schema=None) as batch_op:
        batch_op.drop_column("cue")
