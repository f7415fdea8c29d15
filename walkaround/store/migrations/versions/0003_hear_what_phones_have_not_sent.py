"""hear what phones have not sent

Numbers of before this release are not asked for: the highest is not known, so none is missing yet.
"""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "phone_gap",
        sa.Column("site", sa.String(), nullable=False),
        sa.Column("phone", sa.String(), nullable=False),
        sa.Column("first", sa.BigInteger(), nullable=False),
        sa.Column("last", sa.BigInteger(), nullable=False),
        sa.Column("since", sa.BigInteger(), nullable=False),
        sa.Column("emptied", sa.Boolean(), nullable=False),
        sa.PrimaryKeyConstraint("site", "phone", "first", name=op.f("pk_phone_gap")),
    )
    with op.batch_alter_table("phone", schema=None) as batch_op:
        batch_op.add_column(sa.Column("waiting", sa.BigInteger(), nullable=True))
        batch_op.add_column(sa.Column("highest", sa.BigInteger(), nullable=True))
        batch_op.add_column(sa.Column("looked_at", sa.BigInteger(), nullable=True))
        batch_op.add_column(sa.Column("looked_by", sa.String(), nullable=True))
