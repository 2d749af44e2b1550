"""Routes, takeoff, air, truck and purchases."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

from db.tables import base

revision = '0002'
down_revision = '0001'
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table('own_standard',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('standard_key', sa.String(), nullable=False),
    sa.Column('starts_on', sa.Date(), nullable=False),
    sa.Column('value', sa.String(), nullable=False),
    sa.Column('source', sa.String(), server_default='', nullable=False),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_own_standard')),
    sa.UniqueConstraint('standard_key', 'starts_on', name=op.f('uq_own_standard_standard_key_starts_on'))
    )
    op.create_table('takeoff_choice',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('name', sa.String(), nullable=False),
    sa.Column('value', sa.String(), nullable=False),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_takeoff_choice')),
    sa.UniqueConstraint('name', name=op.f('uq_takeoff_choice_name'))
    )
    op.create_table('supplier_sheet',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('headings', sa.Text(), nullable=False),
    sa.Column('columns', sa.Text(), nullable=False),
    sa.Column('supplier_id', sa.Integer(), nullable=True),
    sa.Column('used_on', sa.Date(), nullable=False),
    sa.ForeignKeyConstraint(['supplier_id'], ['supplier.id'], name=op.f('fk_supplier_sheet_supplier_id_supplier')),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_supplier_sheet'))
    )
    with op.batch_alter_table('supplier_sheet', schema=None) as batch_op:
        batch_op.create_index(batch_op.f('ix_supplier_sheet_supplier_id'), ['supplier_id'], unique=False)

    op.create_table('takeoff_task',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('driver_key', sa.String(), nullable=False),
    sa.Column('task_id', sa.Integer(), nullable=False),
    sa.ForeignKeyConstraint(['task_id'], ['labour_task.id'], name=op.f('fk_takeoff_task_task_id_labour_task')),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_takeoff_task')),
    sa.UniqueConstraint('driver_key', name=op.f('uq_takeoff_task_driver_key'))
    )
    with op.batch_alter_table('takeoff_task', schema=None) as batch_op:
        batch_op.create_index(batch_op.f('ix_takeoff_task_task_id'), ['task_id'], unique=False)

    op.create_table('fan_curve',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('name', sa.String(), nullable=False),
    sa.Column('item_id', sa.Integer(), nullable=True),
    sa.Column('points', sa.Text(), nullable=False),
    sa.Column('watts', base.Quantity(), nullable=True),
    sa.Column('note', sa.String(), server_default='', nullable=False),
    sa.Column('archived', sa.Boolean(), server_default='0', nullable=False),
    sa.ForeignKeyConstraint(['item_id'], ['item.id'], name=op.f('fk_fan_curve_item_id_item')),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_fan_curve'))
    )
    with op.batch_alter_table('fan_curve', schema=None) as batch_op:
        batch_op.create_index(batch_op.f('ix_fan_curve_item_id'), ['item_id'], unique=False)

    op.create_table('stock_count',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('item_id', sa.Integer(), nullable=False),
    sa.Column('counted_on', sa.Date(), nullable=False),
    sa.Column('quantity', base.Quantity(), nullable=False),
    sa.ForeignKeyConstraint(['item_id'], ['item.id'], name=op.f('fk_stock_count_item_id_item')),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_stock_count'))
    )
    with op.batch_alter_table('stock_count', schema=None) as batch_op:
        batch_op.create_index(batch_op.f('ix_stock_count_item_id'), ['item_id'], unique=False)

    op.create_table('stock_rule',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('item_id', sa.Integer(), nullable=False),
    sa.Column('reorder_at', base.Quantity(), nullable=False),
    sa.Column('fill_to', base.Quantity(), nullable=False),
    sa.ForeignKeyConstraint(['item_id'], ['item.id'], name=op.f('fk_stock_rule_item_id_item')),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_stock_rule')),
    sa.UniqueConstraint('item_id', name=op.f('uq_stock_rule_item_id'))
    )
    op.create_table('takeoff_item',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('line_key', sa.String(), nullable=False),
    sa.Column('item_id', sa.Integer(), nullable=False),
    sa.ForeignKeyConstraint(['item_id'], ['item.id'], name=op.f('fk_takeoff_item_item_id_item')),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_takeoff_item')),
    sa.UniqueConstraint('line_key', name=op.f('uq_takeoff_item_line_key'))
    )
    with op.batch_alter_table('takeoff_item', schema=None) as batch_op:
        batch_op.create_index(batch_op.f('ix_takeoff_item_item_id'), ['item_id'], unique=False)

    op.create_table('air_plan',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('job_id', sa.Integer(), nullable=False),
    sa.Column('fan_curve_id', sa.Integer(), nullable=True),
    sa.Column('suction_wanted', base.Quantity(), nullable=False),
    sa.Column('method', sa.String(), nullable=False),
    sa.Column('sharp_elbows', sa.Boolean(), server_default='1', nullable=False),
    sa.ForeignKeyConstraint(['fan_curve_id'], ['fan_curve.id'], name=op.f('fk_air_plan_fan_curve_id_fan_curve')),
    sa.ForeignKeyConstraint(['job_id'], ['job.id'], name=op.f('fk_air_plan_job_id_job')),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_air_plan')),
    sa.UniqueConstraint('job_id', name=op.f('uq_air_plan_job_id'))
    )
    with op.batch_alter_table('air_plan', schema=None) as batch_op:
        batch_op.create_index(batch_op.f('ix_air_plan_fan_curve_id'), ['fan_curve_id'], unique=False)

    op.create_table('purchase',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('day', sa.Date(), nullable=False),
    sa.Column('supplier_id', sa.Integer(), nullable=True),
    sa.Column('item_id', sa.Integer(), nullable=True),
    sa.Column('description', sa.String(), server_default='', nullable=False),
    sa.Column('quantity', base.Quantity(), nullable=False),
    sa.Column('unit', sa.String(), nullable=False),
    sa.Column('unit_cost', base.UnitCost(), nullable=False),
    sa.Column('receipt', sa.String(), server_default='', nullable=False),
    sa.Column('job_id', sa.Integer(), nullable=True),
    sa.Column('onto_truck', sa.Boolean(), server_default='1', nullable=False),
    sa.Column('note', sa.String(), server_default='', nullable=False),
    sa.ForeignKeyConstraint(['item_id'], ['item.id'], name=op.f('fk_purchase_item_id_item')),
    sa.ForeignKeyConstraint(['job_id'], ['job.id'], name=op.f('fk_purchase_job_id_job')),
    sa.ForeignKeyConstraint(['supplier_id'], ['supplier.id'], name=op.f('fk_purchase_supplier_id_supplier')),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_purchase'))
    )
    with op.batch_alter_table('purchase', schema=None) as batch_op:
        batch_op.create_index(batch_op.f('ix_purchase_item_id'), ['item_id'], unique=False)
        batch_op.create_index(batch_op.f('ix_purchase_job_id'), ['job_id'], unique=False)
        batch_op.create_index(batch_op.f('ix_purchase_supplier_id'), ['supplier_id'], unique=False)

    op.create_table('route',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('job_id', sa.Integer(), nullable=False),
    sa.Column('position', sa.Integer(), server_default='0', nullable=False),
    sa.Column('status', sa.String(), nullable=False),
    sa.Column('name', sa.String(), server_default='', nullable=False),
    sa.Column('words', sa.Text(), server_default='', nullable=False),
    sa.Column('built', sa.Boolean(), server_default='0', nullable=False),
    sa.ForeignKeyConstraint(['job_id'], ['job.id'], name=op.f('fk_route_job_id_job')),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_route'))
    )
    with op.batch_alter_table('route', schema=None) as batch_op:
        batch_op.create_index(batch_op.f('ix_route_job_id'), ['job_id'], unique=False)

    op.create_table('site_reading',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('job_id', sa.Integer(), nullable=False),
    sa.Column('read_on', sa.Date(), nullable=False),
    sa.Column('kind', sa.String(), nullable=False),
    sa.Column('place', sa.String(), server_default='', nullable=False),
    sa.Column('value', base.Quantity(), nullable=False),
    sa.Column('at_suction', base.Quantity(), nullable=True),
    sa.Column('note', sa.String(), server_default='', nullable=False),
    sa.ForeignKeyConstraint(['job_id'], ['job.id'], name=op.f('fk_site_reading_job_id_job')),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_site_reading'))
    )
    with op.batch_alter_table('site_reading', schema=None) as batch_op:
        batch_op.create_index(batch_op.f('ix_site_reading_job_id'), ['job_id'], unique=False)

    op.create_table('takeoff_extra',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('job_id', sa.Integer(), nullable=False),
    sa.Column('position', sa.Integer(), server_default='0', nullable=False),
    sa.Column('description', sa.String(), nullable=False),
    sa.Column('quantity', base.Quantity(), nullable=False),
    sa.Column('unit', sa.String(), nullable=False),
    sa.Column('item_class', sa.String(), nullable=False),
    sa.Column('reason', sa.String(), server_default='', nullable=False),
    sa.ForeignKeyConstraint(['job_id'], ['job.id'], name=op.f('fk_takeoff_extra_job_id_job')),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_takeoff_extra'))
    )
    with op.batch_alter_table('takeoff_extra', schema=None) as batch_op:
        batch_op.create_index(batch_op.f('ix_takeoff_extra_job_id'), ['job_id'], unique=False)

    op.create_table('takeoff_override',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('job_id', sa.Integer(), nullable=False),
    sa.Column('line_key', sa.String(), nullable=False),
    sa.Column('quantity', base.Quantity(), nullable=False),
    sa.ForeignKeyConstraint(['job_id'], ['job.id'], name=op.f('fk_takeoff_override_job_id_job')),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_takeoff_override')),
    sa.UniqueConstraint('job_id', 'line_key', name=op.f('uq_takeoff_override_job_id_line_key'))
    )
    with op.batch_alter_table('takeoff_override', schema=None) as batch_op:
        batch_op.create_index(batch_op.f('ix_takeoff_override_job_id'), ['job_id'], unique=False)

    op.create_table('takeoff_part',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('job_id', sa.Integer(), nullable=False),
    sa.Column('position', sa.Integer(), server_default='0', nullable=False),
    sa.Column('kind', sa.String(), nullable=False),
    sa.Column('details', sa.Text(), nullable=False),
    sa.ForeignKeyConstraint(['job_id'], ['job.id'], name=op.f('fk_takeoff_part_job_id_job')),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_takeoff_part'))
    )
    with op.batch_alter_table('takeoff_part', schema=None) as batch_op:
        batch_op.create_index(batch_op.f('ix_takeoff_part_job_id'), ['job_id'], unique=False)

