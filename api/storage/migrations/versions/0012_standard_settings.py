"""which setting and drum score of a tune all bands know"""

import sqlalchemy as sa
from alembic import op

revision = "0012"
down_revision = "0011"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.add_column(
        "tune", sa.Column("standard_setting", sa.String(), nullable=False, server_default="")
    )


def downgrade() -> None:
    with op.batch_alter_table("tune", schema=None) as batch_op:
        batch_op.drop_column("standard_setting")
