"""keep what numbers are measured in

Rows of before have none, and their list's unit; `walkaround logbook replay` writes them anew.
"""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    with op.batch_alter_table("measure", schema=None) as batch_op:
        batch_op.add_column(sa.Column("measured_in", sa.String(), nullable=True))
