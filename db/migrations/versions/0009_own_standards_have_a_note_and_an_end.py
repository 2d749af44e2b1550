"""Own values of the standards table keep a note, and a last day for going back to the table."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = '0009'
down_revision = '0008'
branch_labels = None
depends_on = None


def upgrade() -> None:
    with op.batch_alter_table('own_standard', schema=None) as batch_op:
        batch_op.add_column(sa.Column('note', sa.String(), server_default='', nullable=False))
        batch_op.add_column(sa.Column('ends_on', sa.Date(), nullable=True))

