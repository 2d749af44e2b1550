"""Rows the journal does not know have sums; they are taken once every step is done, see db/company_file/updating.py."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = '0016'
down_revision = '0015'
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table('row_sums',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('table_name', sa.String(), nullable=False),
    sa.Column('through_change', sa.Integer(), nullable=False),
    sa.Column('through_action', sa.Integer(), nullable=False),
    sa.Column('sums', sa.LargeBinary(), nullable=False),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_row_sums')),
    sa.UniqueConstraint('table_name', name=op.f('uq_row_sums_table_name'))
    )
