"""Running jobs and causes are added up from indexes."""

from __future__ import annotations

from alembic import op

revision = '0007'
down_revision = '0006'
branch_labels = None
depends_on = None


def upgrade() -> None:
    with op.batch_alter_table('hours_entry', schema=None) as batch_op:
        batch_op.drop_index(batch_op.f('ix_hours_entry_costing'))
        batch_op.create_index('ix_hours_entry_costing', [
            'job_id', 'person_id', 'minutes', 'rate_cents', 'overhead_rate_cents', 'task_id', 'unquoted', 'day',
        ], unique=False)
        batch_op.create_index(batch_op.f('ix_hours_entry_cause_id'), ['cause_id'], unique=False)

    with op.batch_alter_table('material_use', schema=None) as batch_op:
        batch_op.drop_index(batch_op.f('ix_material_use_costing'))
        batch_op.create_index('ix_material_use_costing', ['job_id', 'quantity', 'unit_cost', 'unquoted'], unique=False)
        batch_op.create_index(batch_op.f('ix_material_use_cause_id'), ['cause_id'], unique=False)

    with op.batch_alter_table('other_cost', schema=None) as batch_op:
        batch_op.drop_index(batch_op.f('ix_other_cost_costing'))
        batch_op.create_index('ix_other_cost_costing', ['job_id', 'quantity', 'unit_cost', 'unquoted'], unique=False)
        batch_op.create_index(batch_op.f('ix_other_cost_cause_id'), ['cause_id'], unique=False)
