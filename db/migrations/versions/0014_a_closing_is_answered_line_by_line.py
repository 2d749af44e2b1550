"""A closing is answered line by line.

Jobs closed before nobody was asked. They are taken by their evidence: where every quoted task has hours in the log the
job counts as fully logged, materials aside, as an evening's log begins with hours. The others are marked with the
number of tasks without hours, and the record waits until their owner answers.
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = '0014'
down_revision = '0013'
branch_labels = None
depends_on = None

_BY_EVIDENCE = """
UPDATE job SET unanswered = (
    SELECT count(*) FROM (
        SELECT labour_line.task_id FROM labour_line
        JOIN quote ON quote.id = labour_line.quote_id
        JOIN labour_task ON labour_task.id = labour_line.task_id
        LEFT JOIN quote_option ON quote_option.id = labour_line.option_id
        WHERE quote.job_id = job.id AND quote.accepted_on IS NOT NULL AND labour_task.role <> 'callback'
        AND (labour_line.option_id IS NULL OR quote_option.chosen)
        AND labour_line.task_id NOT IN (SELECT task_id FROM hours_entry WHERE hours_entry.job_id = job.id)
        GROUP BY labour_line.task_id HAVING sum(labour_line.minutes) > 0
    ) AS lacking
) WHERE closed_on IS NOT NULL
"""


def upgrade() -> None:
    op.create_table('closing_answer',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('job_id', sa.Integer(), nullable=False),
    sa.Column('kind', sa.String(), nullable=False),
    sa.Column('task_id', sa.Integer(), nullable=True),
    sa.Column('item_id', sa.Integer(), nullable=True),
    sa.Column('words', sa.String(), server_default='', nullable=False),
    sa.Column('answer', sa.String(), nullable=False),
    sa.Column('within_task_id', sa.Integer(), nullable=True),
    sa.ForeignKeyConstraint(['item_id'], ['item.id'], name=op.f('fk_closing_answer_item_id_item')),
    sa.ForeignKeyConstraint(['job_id'], ['job.id'], name=op.f('fk_closing_answer_job_id_job')),
    sa.ForeignKeyConstraint(['task_id'], ['labour_task.id'], name=op.f('fk_closing_answer_task_id_labour_task')),
    sa.ForeignKeyConstraint(
        ['within_task_id'], ['labour_task.id'], name=op.f('fk_closing_answer_within_task_id_labour_task')
    ),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_closing_answer'))
    )
    op.create_index(op.f('ix_closing_answer_job_id'), 'closing_answer', ['job_id'], unique=False)
    with op.batch_alter_table('job', schema=None) as batch_op:
        batch_op.add_column(sa.Column('unanswered', sa.Integer(), server_default='0', nullable=False))
    op.execute(_BY_EVIDENCE)
