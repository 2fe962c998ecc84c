"""of which music pipes and drums have settled a mark"""

import sqlalchemy as sa
from alembic import op

revision = "0009"
down_revision = "0008"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.add_column("agreement", sa.Column("music", sa.String(), nullable=False, server_default=""))


def downgrade() -> None:
    with op.batch_alter_table("agreement", schema=None) as batch_op:
        batch_op.drop_column("music")
