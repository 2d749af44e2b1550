"""Quotes keep what finished jobs said of them."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

from db.tables import base

revision = '0005'
down_revision = '0004'
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table('library_proposal',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('task_id', sa.Integer(), nullable=False),
    sa.Column('condition_id', sa.Integer(), nullable=True),
    sa.Column('made_on', sa.Date(), nullable=False),
    sa.Column('old_value', base.Quantity(), nullable=False),
    sa.Column('new_value', base.Quantity(), nullable=False),
    sa.Column('jobs', sa.Integer(), nullable=False),
    sa.Column('evidence', sa.Text(), server_default='', nullable=False),
    sa.Column('accepted_on', sa.Date(), nullable=True),
    sa.Column('declined_on', sa.Date(), nullable=True),
    sa.Column('taken_back_on', sa.Date(), nullable=True),
    sa.ForeignKeyConstraint(['condition_id'], ['access_condition.id'], name=op.f('fk_library_proposal_condition_id_access_condition')),
    sa.ForeignKeyConstraint(['task_id'], ['labour_task.id'], name=op.f('fk_library_proposal_task_id_labour_task')),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_library_proposal'))
    )
    with op.batch_alter_table('library_proposal', schema=None) as batch_op:
        batch_op.create_index(batch_op.f('ix_library_proposal_condition_id'), ['condition_id'], unique=False)
        batch_op.create_index(batch_op.f('ix_library_proposal_task_id'), ['task_id'], unique=False)

    op.create_table('task_progress',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('job_id', sa.Integer(), nullable=False),
    sa.Column('task_id', sa.Integer(), nullable=False),
    sa.Column('done_percent', base.Percent(), nullable=False),
    sa.Column('noted_on', sa.Date(), nullable=False),
    sa.ForeignKeyConstraint(['job_id'], ['job.id'], name=op.f('fk_task_progress_job_id_job')),
    sa.ForeignKeyConstraint(['task_id'], ['labour_task.id'], name=op.f('fk_task_progress_task_id_labour_task')),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_task_progress')),
    sa.UniqueConstraint('job_id', 'task_id', name=op.f('uq_task_progress_job_id_task_id'))
    )
    with op.batch_alter_table('task_progress', schema=None) as batch_op:
        batch_op.create_index(batch_op.f('ix_task_progress_job_id'), ['job_id'], unique=False)
        batch_op.create_index(batch_op.f('ix_task_progress_task_id'), ['task_id'], unique=False)

    op.create_table('quote_expectation',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('quote_id', sa.Integer(), nullable=False),
    sa.Column('noted_on', sa.Date(), nullable=False),
    sa.Column('share_percent', base.Percent(), nullable=True),
    sa.Column('own_minutes', sa.Integer(), nullable=False),
    sa.Column('quoted_minutes', sa.Integer(), nullable=False),
    sa.Column('expected_minutes', sa.Integer(), nullable=False),
    sa.Column('low_minutes', sa.Integer(), nullable=False),
    sa.Column('high_minutes', sa.Integer(), nullable=False),
    sa.Column('expected_cost_cents', sa.Integer(), nullable=False),
    sa.Column('net_price_cents', sa.Integer(), nullable=False),
    sa.Column('loss_percent', base.Percent(), nullable=False),
    sa.Column('jobs_behind', sa.Integer(), nullable=False),
    sa.Column('sure', sa.Boolean(), nullable=False),
    sa.ForeignKeyConstraint(['quote_id'], ['quote.id'], name=op.f('fk_quote_expectation_quote_id_quote')),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_quote_expectation')),
    sa.UniqueConstraint('quote_id', name=op.f('uq_quote_expectation_quote_id'))
    )
    with op.batch_alter_table('labour_line', schema=None) as batch_op:
        batch_op.add_column(sa.Column('own_minutes', sa.Integer(), nullable=True))

