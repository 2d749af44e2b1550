"""Quotes know which lines the takeoff made, and keep the sketch that was sent."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = '0004'
down_revision = '0003'
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table('quote_sketch',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('quote_id', sa.Integer(), nullable=False),
    sa.Column('details', sa.Text(), nullable=False),
    sa.ForeignKeyConstraint(['quote_id'], ['quote.id'], name=op.f('fk_quote_sketch_quote_id_quote')),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_quote_sketch')),
    sa.UniqueConstraint('quote_id', name=op.f('uq_quote_sketch_quote_id'))
    )
    with op.batch_alter_table('labour_line', schema=None) as batch_op:
        batch_op.add_column(sa.Column('takeoff_key', sa.String(), server_default='', nullable=False))

    with op.batch_alter_table('material_line', schema=None) as batch_op:
        batch_op.add_column(sa.Column('takeoff_key', sa.String(), server_default='', nullable=False))

    with op.batch_alter_table('takeoff_item', schema=None) as batch_op:
        batch_op.alter_column('item_id', existing_type=sa.INTEGER(), nullable=True)

    with op.batch_alter_table('takeoff_task', schema=None) as batch_op:
        batch_op.alter_column('task_id', existing_type=sa.INTEGER(), nullable=True)
