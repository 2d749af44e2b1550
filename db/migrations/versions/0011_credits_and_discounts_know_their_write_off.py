"""Credits and discounts know their write-off."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = '0011'
down_revision = '0010'
branch_labels = None
depends_on = None


def upgrade() -> None:
    with op.batch_alter_table('invoice', schema=None) as batch_op:
        batch_op.add_column(sa.Column('write_off_id', sa.Integer(), nullable=True))
        batch_op.create_index(batch_op.f('ix_invoice_write_off_id'), ['write_off_id'], unique=False)
        batch_op.create_foreign_key(
            batch_op.f('fk_invoice_write_off_id_price_adjustment'), 'price_adjustment', ['write_off_id'], ['id']
        )

    with op.batch_alter_table('settlement', schema=None) as batch_op:
        batch_op.drop_index(batch_op.f('ix_settlement_invoice_id'))
        batch_op.drop_index(batch_op.f('ix_settlement_payment_id'))
        batch_op.create_index('ix_settlement_of_invoice', ['invoice_id', 'settled_on', 'amount_cents'], unique=False)
        batch_op.create_index('ix_settlement_of_payment', ['payment_id', 'settled_on', 'amount_cents'], unique=False)

