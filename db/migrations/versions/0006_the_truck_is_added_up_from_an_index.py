"""The truck is added up from an index."""

from __future__ import annotations

from alembic import op

revision = '0006'
down_revision = '0005'
branch_labels = None
depends_on = None


def upgrade() -> None:
    with op.batch_alter_table('material_use', schema=None) as batch_op:
        batch_op.drop_index(batch_op.f('ix_material_use_item_id'))
        batch_op.create_index('ix_material_use_truck', ['item_id', 'day', 'source', 'unit', 'quantity'], unique=False)

