"""Offcuts on the truck, tax of purchases, and which fan ran when a reading was taken."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

from db.tables import base

revision = '0010'
down_revision = '0009'
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table('truck_offcut',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('size', base.Quantity(), nullable=False),
    sa.Column('feet', base.Quantity(), nullable=False),
    sa.Column('kept_on', sa.Date(), nullable=False),
    sa.Column('from_job_id', sa.Integer(), nullable=True),
    sa.Column('used_on', sa.Date(), nullable=True),
    sa.Column('used_job_id', sa.Integer(), nullable=True),
    sa.ForeignKeyConstraint(['from_job_id'], ['job.id'], name=op.f('fk_truck_offcut_from_job_id_job')),
    sa.ForeignKeyConstraint(['used_job_id'], ['job.id'], name=op.f('fk_truck_offcut_used_job_id_job')),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_truck_offcut'))
    )
    with op.batch_alter_table('truck_offcut', schema=None) as batch_op:
        batch_op.create_index(batch_op.f('ix_truck_offcut_from_job_id'), ['from_job_id'], unique=False)
        batch_op.create_index(batch_op.f('ix_truck_offcut_used_job_id'), ['used_job_id'], unique=False)

    with op.batch_alter_table('purchase', schema=None) as batch_op:
        batch_op.add_column(sa.Column('tax_cents', sa.Integer(), server_default='0', nullable=False))

    with op.batch_alter_table('site_reading', schema=None) as batch_op:
        batch_op.add_column(sa.Column('fan', sa.String(), server_default='test', nullable=False))

    with op.batch_alter_table('air_plan', schema=None) as batch_op:
        batch_op.add_column(sa.Column('present_fan_id', sa.Integer(), nullable=True))
        batch_op.create_index(batch_op.f('ix_air_plan_present_fan_id'), ['present_fan_id'], unique=False)
        batch_op.create_foreign_key(
            batch_op.f('fk_air_plan_present_fan_id_fan_curve'), 'fan_curve', ['present_fan_id'], ['id']
        )

    with op.batch_alter_table('material_use', schema=None) as batch_op:
        batch_op.drop_index('ix_material_use_truck')
        batch_op.create_index('ix_material_use_truck', ['item_id', 'source', 'unit', 'day', 'quantity'], unique=False)
