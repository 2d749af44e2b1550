"""A proposal lists the work it quotes below the owner's words; those of before keep their words alone."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = '0017'
down_revision = '0016'
branch_labels = None
depends_on = None


def upgrade() -> None:
    with op.batch_alter_table('quote', schema=None) as batch_op:
        batch_op.add_column(sa.Column('lists_work', sa.Boolean(), server_default='0', nullable=False))
        batch_op.add_column(sa.Column('work_listed', sa.Text(), server_default='', nullable=False))
        batch_op.add_column(sa.Column('shows_route', sa.Boolean(), server_default='0', nullable=False))
