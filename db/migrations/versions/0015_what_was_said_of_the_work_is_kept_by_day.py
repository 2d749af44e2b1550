"""What was said of the work is kept by day."""

from __future__ import annotations

from alembic import op

revision = '0015'
down_revision = '0014'
branch_labels = None
depends_on = None


def upgrade() -> None:
    with op.batch_alter_table('task_progress', schema=None) as batch_op:
        batch_op.drop_constraint(batch_op.f('uq_task_progress_job_id_task_id'), type_='unique')
        batch_op.create_unique_constraint(
            batch_op.f('uq_task_progress_job_id_task_id_noted_on'), ['job_id', 'task_id', 'noted_on']
        )
