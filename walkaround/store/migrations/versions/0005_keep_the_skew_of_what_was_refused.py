"""keep the skew of what was refused"""

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None


def upgrade() -> None:
    with op.batch_alter_table("refused", schema=None) as batch_op:
        batch_op.add_column(
            sa.Column("skew_ms", sa.BigInteger(), nullable=False, server_default="0")
        )
