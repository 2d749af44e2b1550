"""A count knows what was entered before it."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = '0003'
down_revision = '0002'
branch_labels = None
depends_on = None


def upgrade() -> None:
    with op.batch_alter_table('stock_count', schema=None) as batch_op:
        batch_op.add_column(sa.Column('last_use_id', sa.Integer(), server_default='0', nullable=False))
        batch_op.add_column(sa.Column('last_purchase_id', sa.Integer(), server_default='0', nullable=False))

