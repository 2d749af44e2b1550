"""First tables."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

from db.tables import base

revision = '0001'
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table('access_condition',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('name', sa.String(), nullable=False),
    sa.Column('position', sa.Integer(), server_default='0', nullable=False),
    sa.Column('archived', sa.Boolean(), server_default='0', nullable=False),
    sa.Column('caution', sa.Text(), server_default='', nullable=False),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_access_condition'))
    )
    op.create_table('action',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('made_at', sa.String(), nullable=False),
    sa.Column('label', sa.String(), nullable=False),
    sa.Column('undone', sa.Boolean(), server_default='0', nullable=False),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_action'))
    )
    op.create_table('cause',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('name', sa.String(), nullable=False),
    sa.Column('position', sa.Integer(), server_default='0', nullable=False),
    sa.Column('archived', sa.Boolean(), server_default='0', nullable=False),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_cause'))
    )
    op.create_table('company',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('name', sa.String(), nullable=False),
    sa.Column('owner_name', sa.String(), server_default='', nullable=False),
    sa.Column('street', sa.String(), server_default='', nullable=False),
    sa.Column('town', sa.String(), server_default='', nullable=False),
    sa.Column('phone', sa.String(), server_default='', nullable=False),
    sa.Column('mail', sa.String(), server_default='', nullable=False),
    sa.Column('licence_number', sa.String(), server_default='', nullable=False),
    sa.Column('unit_system', sa.String(), server_default='us', nullable=False),
    sa.Column('radon_unit', sa.String(), server_default='pCi/L', nullable=False),
    sa.Column('margin_percent', base.Percent(), nullable=False),
    sa.Column('minimum_charge_cents', sa.Integer(), nullable=False),
    sa.Column('rounding_cents', sa.Integer(), nullable=False),
    sa.Column('deposit_percent', base.Percent(), nullable=False),
    sa.Column('tax_treatment', sa.String(), nullable=False),
    sa.Column('tax_percent', base.Percent(), nullable=False),
    sa.Column('tax_place', sa.String(), server_default='', nullable=False),
    sa.Column('valid_days', sa.Integer(), nullable=False),
    sa.Column('follow_up_days', sa.Integer(), nullable=False),
    sa.Column('capacity_minutes_per_day', sa.Integer(), nullable=False),
    sa.Column('not_included_text', sa.Text(), server_default='', nullable=False),
    sa.Column('warranty_text', sa.Text(), server_default='', nullable=False),
    sa.Column('above_action_text', sa.Text(), server_default='', nullable=False),
    sa.Column('caution_text', sa.Text(), server_default='', nullable=False),
    sa.Column('terms_text', sa.Text(), server_default='', nullable=False),
    sa.Column('pinned_today', sa.Date(), nullable=True),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_company'))
    )
    op.create_table('customer',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('kind', sa.String(), nullable=False),
    sa.Column('name', sa.String(), nullable=False),
    sa.Column('billing_address', sa.Text(), server_default='', nullable=False),
    sa.Column('note', sa.Text(), server_default='', nullable=False),
    sa.Column('created_on', sa.Date(), nullable=False),
    sa.Column('archived_on', sa.Date(), nullable=True),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_customer'))
    )
    op.create_table('job_type',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('name', sa.String(), nullable=False),
    sa.Column('position', sa.Integer(), server_default='0', nullable=False),
    sa.Column('archived', sa.Boolean(), server_default='0', nullable=False),
    sa.Column('margin_percent', base.Percent(), nullable=True),
    sa.Column('scope_text', sa.Text(), server_default='', nullable=False),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_job_type'))
    )
    op.create_table('labour_task',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('name', sa.String(), nullable=False),
    sa.Column('position', sa.Integer(), server_default='0', nullable=False),
    sa.Column('archived', sa.Boolean(), server_default='0', nullable=False),
    sa.Column('unit', sa.String(), nullable=False),
    sa.Column('standard_minutes', base.Quantity(), nullable=False),
    sa.Column('role', sa.String(), nullable=False),
    sa.Column('caution', sa.Text(), server_default='', nullable=False),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_labour_task'))
    )
    op.create_table('lead_source',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('name', sa.String(), nullable=False),
    sa.Column('position', sa.Integer(), server_default='0', nullable=False),
    sa.Column('archived', sa.Boolean(), server_default='0', nullable=False),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_lead_source'))
    )
    op.create_table('mile_cost',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('starts_on', sa.Date(), nullable=False),
    sa.Column('unit_cost', base.UnitCost(), nullable=False),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_mile_cost'))
    )
    op.create_table('overhead_basis',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('starts_on', sa.Date(), nullable=False),
    sa.Column('billable_minutes_per_month', sa.Integer(), nullable=False),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_overhead_basis'))
    )
    op.create_table('overhead_item',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('name', sa.String(), nullable=False),
    sa.Column('cents_per_month', sa.Integer(), nullable=False),
    sa.Column('starts_on', sa.Date(), nullable=False),
    sa.Column('ends_on', sa.Date(), nullable=True),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_overhead_item'))
    )
    op.create_table('person',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('name', sa.String(), nullable=False),
    sa.Column('role', sa.String(), nullable=False),
    sa.Column('archived', sa.Boolean(), server_default='0', nullable=False),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_person'))
    )
    op.create_table('supplier',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('name', sa.String(), nullable=False),
    sa.Column('phone', sa.String(), server_default='', nullable=False),
    sa.Column('archived', sa.Boolean(), server_default='0', nullable=False),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_supplier')),
    sa.UniqueConstraint('name', name=op.f('uq_supplier_name'))
    )
    op.create_table('change',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('action_id', sa.Integer(), nullable=False),
    sa.Column('table_name', sa.String(), nullable=False),
    sa.Column('row_id', sa.Integer(), nullable=False),
    sa.Column('before', sa.Text(), nullable=True),
    sa.Column('after', sa.Text(), nullable=True),
    sa.ForeignKeyConstraint(['action_id'], ['action.id'], name=op.f('fk_change_action_id_action')),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_change'))
    )
    with op.batch_alter_table('change', schema=None) as batch_op:
        batch_op.create_index(batch_op.f('ix_change_action_id'), ['action_id'], unique=False)

    op.create_table('contact',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('customer_id', sa.Integer(), nullable=False),
    sa.Column('kind', sa.String(), nullable=False),
    sa.Column('label', sa.String(), server_default='', nullable=False),
    sa.Column('value', sa.String(), nullable=False),
    sa.ForeignKeyConstraint(['customer_id'], ['customer.id'], name=op.f('fk_contact_customer_id_customer')),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_contact'))
    )
    with op.batch_alter_table('contact', schema=None) as batch_op:
        batch_op.create_index(batch_op.f('ix_contact_customer_id'), ['customer_id'], unique=False)

    op.create_table('item',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('code', sa.String(), nullable=False),
    sa.Column('name', sa.String(), nullable=False),
    sa.Column('item_class', sa.String(), nullable=False),
    sa.Column('unit', sa.String(), nullable=False),
    sa.Column('pack_quantity', base.Quantity(), nullable=False),
    sa.Column('supplier_id', sa.Integer(), nullable=True),
    sa.Column('waste_percent', base.Percent(), nullable=False),
    sa.Column('archived', sa.Boolean(), server_default='0', nullable=False),
    sa.ForeignKeyConstraint(['supplier_id'], ['supplier.id'], name=op.f('fk_item_supplier_id_supplier')),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_item')),
    sa.UniqueConstraint('code', name=op.f('uq_item_code'))
    )
    with op.batch_alter_table('item', schema=None) as batch_op:
        batch_op.create_index(batch_op.f('ix_item_supplier_id'), ['supplier_id'], unique=False)

    op.create_table('job_type_task',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('job_type_id', sa.Integer(), nullable=False),
    sa.Column('task_id', sa.Integer(), nullable=False),
    sa.Column('quantity', base.Quantity(), nullable=False),
    sa.Column('position', sa.Integer(), server_default='0', nullable=False),
    sa.ForeignKeyConstraint(['job_type_id'], ['job_type.id'], name=op.f('fk_job_type_task_job_type_id_job_type')),
    sa.ForeignKeyConstraint(['task_id'], ['labour_task.id'], name=op.f('fk_job_type_task_task_id_labour_task')),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_job_type_task'))
    )
    with op.batch_alter_table('job_type_task', schema=None) as batch_op:
        batch_op.create_index(batch_op.f('ix_job_type_task_job_type_id'), ['job_type_id'], unique=False)
        batch_op.create_index(batch_op.f('ix_job_type_task_task_id'), ['task_id'], unique=False)

    op.create_table('person_cost',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('person_id', sa.Integer(), nullable=False),
    sa.Column('starts_on', sa.Date(), nullable=False),
    sa.Column('wage_cents', sa.Integer(), nullable=False),
    sa.Column('paid_hours', sa.Integer(), nullable=False),
    sa.Column('billable_hours', sa.Integer(), nullable=False),
    sa.Column('workers_comp_percent', base.Percent(), nullable=False),
    sa.Column('state_unemployment_percent', base.Percent(), nullable=False),
    sa.Column('state_unemployment_base_cents', sa.Integer(), nullable=False),
    sa.Column('other_cents_per_year', sa.Integer(), nullable=False),
    sa.ForeignKeyConstraint(['person_id'], ['person.id'], name=op.f('fk_person_cost_person_id_person')),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_person_cost'))
    )
    with op.batch_alter_table('person_cost', schema=None) as batch_op:
        batch_op.create_index(batch_op.f('ix_person_cost_person_id'), ['person_id'], unique=False)

    op.create_table('property',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('customer_id', sa.Integer(), nullable=False),
    sa.Column('street', sa.String(), nullable=False),
    sa.Column('town', sa.String(), server_default='', nullable=False),
    sa.Column('region', sa.String(), server_default='', nullable=False),
    sa.Column('postcode', sa.String(), server_default='', nullable=False),
    sa.Column('year_built', sa.Integer(), nullable=True),
    sa.Column('storeys', sa.String(), server_default='', nullable=False),
    sa.Column('slab', sa.Boolean(), server_default='0', nullable=False),
    sa.Column('basement', sa.Boolean(), server_default='0', nullable=False),
    sa.Column('crawl_space', sa.Boolean(), server_default='0', nullable=False),
    sa.Column('existing_system', sa.Boolean(), server_default='0', nullable=False),
    sa.Column('existing_by', sa.String(), server_default='', nullable=False),
    sa.Column('note', sa.Text(), server_default='', nullable=False),
    sa.Column('archived_on', sa.Date(), nullable=True),
    sa.ForeignKeyConstraint(['customer_id'], ['customer.id'], name=op.f('fk_property_customer_id_customer')),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_property'))
    )
    with op.batch_alter_table('property', schema=None) as batch_op:
        batch_op.create_index(batch_op.f('ix_property_customer_id'), ['customer_id'], unique=False)

    op.create_table('task_factor',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('task_id', sa.Integer(), nullable=False),
    sa.Column('condition_id', sa.Integer(), nullable=False),
    sa.Column('factor_percent', base.Percent(), nullable=False),
    sa.ForeignKeyConstraint(['condition_id'], ['access_condition.id'], name=op.f('fk_task_factor_condition_id_access_condition')),
    sa.ForeignKeyConstraint(['task_id'], ['labour_task.id'], name=op.f('fk_task_factor_task_id_labour_task')),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_task_factor')),
    sa.UniqueConstraint('task_id', 'condition_id', name=op.f('uq_task_factor_task_id_condition_id'))
    )
    with op.batch_alter_table('task_factor', schema=None) as batch_op:
        batch_op.create_index(batch_op.f('ix_task_factor_condition_id'), ['condition_id'], unique=False)
        batch_op.create_index(batch_op.f('ix_task_factor_task_id'), ['task_id'], unique=False)

    op.create_table('item_price',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('item_id', sa.Integer(), nullable=False),
    sa.Column('starts_on', sa.Date(), nullable=False),
    sa.Column('unit_cost', base.UnitCost(), nullable=False),
    sa.ForeignKeyConstraint(['item_id'], ['item.id'], name=op.f('fk_item_price_item_id_item')),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_item_price')),
    sa.UniqueConstraint('item_id', 'starts_on', name=op.f('uq_item_price_item_id_starts_on'))
    )
    with op.batch_alter_table('item_price', schema=None) as batch_op:
        batch_op.create_index(batch_op.f('ix_item_price_item_id'), ['item_id'], unique=False)

    op.create_table('job',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('number', sa.String(), nullable=False),
    sa.Column('customer_id', sa.Integer(), nullable=False),
    sa.Column('property_id', sa.Integer(), nullable=False),
    sa.Column('job_type_id', sa.Integer(), nullable=False),
    sa.Column('lead_source_id', sa.Integer(), nullable=True),
    sa.Column('title', sa.String(), server_default='', nullable=False),
    sa.Column('opened_on', sa.Date(), nullable=False),
    sa.Column('scheduled_on', sa.Date(), nullable=True),
    sa.Column('installed_on', sa.Date(), nullable=True),
    sa.Column('invoiced_on', sa.Date(), nullable=True),
    sa.Column('paid_on', sa.Date(), nullable=True),
    sa.Column('closed_on', sa.Date(), nullable=True),
    sa.Column('cancelled_on', sa.Date(), nullable=True),
    sa.Column('cancelled_reason', sa.String(), server_default='', nullable=False),
    sa.Column('note', sa.Text(), server_default='', nullable=False),
    sa.ForeignKeyConstraint(['customer_id'], ['customer.id'], name=op.f('fk_job_customer_id_customer')),
    sa.ForeignKeyConstraint(['job_type_id'], ['job_type.id'], name=op.f('fk_job_job_type_id_job_type')),
    sa.ForeignKeyConstraint(['lead_source_id'], ['lead_source.id'], name=op.f('fk_job_lead_source_id_lead_source')),
    sa.ForeignKeyConstraint(['property_id'], ['property.id'], name=op.f('fk_job_property_id_property')),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_job')),
    sa.UniqueConstraint('number', name=op.f('uq_job_number'))
    )
    with op.batch_alter_table('job', schema=None) as batch_op:
        batch_op.create_index(batch_op.f('ix_job_customer_id'), ['customer_id'], unique=False)
        batch_op.create_index(batch_op.f('ix_job_job_type_id'), ['job_type_id'], unique=False)
        batch_op.create_index(batch_op.f('ix_job_lead_source_id'), ['lead_source_id'], unique=False)
        batch_op.create_index(batch_op.f('ix_job_property_id'), ['property_id'], unique=False)

    op.create_table('job_type_item',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('job_type_id', sa.Integer(), nullable=False),
    sa.Column('item_id', sa.Integer(), nullable=False),
    sa.Column('quantity', base.Quantity(), nullable=False),
    sa.Column('position', sa.Integer(), server_default='0', nullable=False),
    sa.ForeignKeyConstraint(['item_id'], ['item.id'], name=op.f('fk_job_type_item_item_id_item')),
    sa.ForeignKeyConstraint(['job_type_id'], ['job_type.id'], name=op.f('fk_job_type_item_job_type_id_job_type')),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_job_type_item'))
    )
    with op.batch_alter_table('job_type_item', schema=None) as batch_op:
        batch_op.create_index(batch_op.f('ix_job_type_item_item_id'), ['item_id'], unique=False)
        batch_op.create_index(batch_op.f('ix_job_type_item_job_type_id'), ['job_type_id'], unique=False)

    op.create_table('deadline',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('job_id', sa.Integer(), nullable=False),
    sa.Column('due_on', sa.Date(), nullable=False),
    sa.Column('reason', sa.String(), nullable=False),
    sa.Column('met', sa.Boolean(), server_default='0', nullable=False),
    sa.ForeignKeyConstraint(['job_id'], ['job.id'], name=op.f('fk_deadline_job_id_job')),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_deadline'))
    )
    with op.batch_alter_table('deadline', schema=None) as batch_op:
        batch_op.create_index(batch_op.f('ix_deadline_job_id'), ['job_id'], unique=False)

    op.create_table('hours_entry',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('job_id', sa.Integer(), nullable=False),
    sa.Column('day', sa.Date(), nullable=False),
    sa.Column('task_id', sa.Integer(), nullable=False),
    sa.Column('person_id', sa.Integer(), nullable=False),
    sa.Column('minutes', sa.Integer(), nullable=False),
    sa.Column('began', sa.Integer(), nullable=True),
    sa.Column('rate_cents', sa.Integer(), nullable=False),
    sa.Column('overhead_rate_cents', sa.Integer(), nullable=False),
    sa.Column('unquoted', sa.Boolean(), server_default='0', nullable=False),
    sa.Column('cause_id', sa.Integer(), nullable=True),
    sa.Column('note', sa.Text(), server_default='', nullable=False),
    sa.ForeignKeyConstraint(['cause_id'], ['cause.id'], name=op.f('fk_hours_entry_cause_id_cause')),
    sa.ForeignKeyConstraint(['job_id'], ['job.id'], name=op.f('fk_hours_entry_job_id_job')),
    sa.ForeignKeyConstraint(['person_id'], ['person.id'], name=op.f('fk_hours_entry_person_id_person')),
    sa.ForeignKeyConstraint(['task_id'], ['labour_task.id'], name=op.f('fk_hours_entry_task_id_labour_task')),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_hours_entry'))
    )
    with op.batch_alter_table('hours_entry', schema=None) as batch_op:
        batch_op.create_index('ix_hours_entry_costing', ['job_id', 'person_id', 'minutes', 'rate_cents', 'overhead_rate_cents'], unique=False)
        batch_op.create_index(batch_op.f('ix_hours_entry_day'), ['day'], unique=False)
        batch_op.create_index(batch_op.f('ix_hours_entry_person_id'), ['person_id'], unique=False)
        batch_op.create_index(batch_op.f('ix_hours_entry_task_id'), ['task_id'], unique=False)

    op.create_table('job_condition',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('job_id', sa.Integer(), nullable=False),
    sa.Column('condition_id', sa.Integer(), nullable=False),
    sa.ForeignKeyConstraint(['condition_id'], ['access_condition.id'], name=op.f('fk_job_condition_condition_id_access_condition')),
    sa.ForeignKeyConstraint(['job_id'], ['job.id'], name=op.f('fk_job_condition_job_id_job')),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_job_condition')),
    sa.UniqueConstraint('job_id', 'condition_id', name=op.f('uq_job_condition_job_id_condition_id'))
    )
    with op.batch_alter_table('job_condition', schema=None) as batch_op:
        batch_op.create_index(batch_op.f('ix_job_condition_condition_id'), ['condition_id'], unique=False)
        batch_op.create_index(batch_op.f('ix_job_condition_job_id'), ['job_id'], unique=False)

    op.create_table('material_use',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('job_id', sa.Integer(), nullable=False),
    sa.Column('day', sa.Date(), nullable=False),
    sa.Column('item_id', sa.Integer(), nullable=True),
    sa.Column('description', sa.String(), server_default='', nullable=False),
    sa.Column('quantity', base.Quantity(), nullable=False),
    sa.Column('unit', sa.String(), nullable=False),
    sa.Column('unit_cost', base.UnitCost(), nullable=False),
    sa.Column('source', sa.String(), nullable=False),
    sa.Column('receipt', sa.String(), server_default='', nullable=False),
    sa.Column('unquoted', sa.Boolean(), server_default='0', nullable=False),
    sa.Column('cause_id', sa.Integer(), nullable=True),
    sa.Column('note', sa.Text(), server_default='', nullable=False),
    sa.ForeignKeyConstraint(['cause_id'], ['cause.id'], name=op.f('fk_material_use_cause_id_cause')),
    sa.ForeignKeyConstraint(['item_id'], ['item.id'], name=op.f('fk_material_use_item_id_item')),
    sa.ForeignKeyConstraint(['job_id'], ['job.id'], name=op.f('fk_material_use_job_id_job')),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_material_use'))
    )
    with op.batch_alter_table('material_use', schema=None) as batch_op:
        batch_op.create_index('ix_material_use_costing', ['job_id', 'quantity', 'unit_cost'], unique=False)
        batch_op.create_index(batch_op.f('ix_material_use_day'), ['day'], unique=False)
        batch_op.create_index(batch_op.f('ix_material_use_item_id'), ['item_id'], unique=False)

    op.create_table('other_cost',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('job_id', sa.Integer(), nullable=False),
    sa.Column('day', sa.Date(), nullable=False),
    sa.Column('kind', sa.String(), nullable=False),
    sa.Column('description', sa.String(), server_default='', nullable=False),
    sa.Column('quantity', base.Quantity(), nullable=False),
    sa.Column('unit', sa.String(), nullable=False),
    sa.Column('unit_cost', base.UnitCost(), nullable=False),
    sa.Column('unquoted', sa.Boolean(), server_default='0', nullable=False),
    sa.Column('cause_id', sa.Integer(), nullable=True),
    sa.Column('note', sa.Text(), server_default='', nullable=False),
    sa.ForeignKeyConstraint(['cause_id'], ['cause.id'], name=op.f('fk_other_cost_cause_id_cause')),
    sa.ForeignKeyConstraint(['job_id'], ['job.id'], name=op.f('fk_other_cost_job_id_job')),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_other_cost'))
    )
    with op.batch_alter_table('other_cost', schema=None) as batch_op:
        batch_op.create_index('ix_other_cost_costing', ['job_id', 'quantity', 'unit_cost'], unique=False)
        batch_op.create_index(batch_op.f('ix_other_cost_day'), ['day'], unique=False)

    op.create_table('party',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('job_id', sa.Integer(), nullable=False),
    sa.Column('role', sa.String(), nullable=False),
    sa.Column('name', sa.String(), nullable=False),
    sa.Column('phone', sa.String(), server_default='', nullable=False),
    sa.Column('mail', sa.String(), server_default='', nullable=False),
    sa.Column('note', sa.String(), server_default='', nullable=False),
    sa.ForeignKeyConstraint(['job_id'], ['job.id'], name=op.f('fk_party_job_id_job')),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_party'))
    )
    with op.batch_alter_table('party', schema=None) as batch_op:
        batch_op.create_index(batch_op.f('ix_party_job_id'), ['job_id'], unique=False)

    op.create_table('photo',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('job_id', sa.Integer(), nullable=False),
    sa.Column('file_name', sa.String(), nullable=False),
    sa.Column('original_name', sa.String(), nullable=False),
    sa.Column('caption', sa.String(), server_default='', nullable=False),
    sa.Column('added_on', sa.Date(), nullable=False),
    sa.ForeignKeyConstraint(['job_id'], ['job.id'], name=op.f('fk_photo_job_id_job')),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_photo'))
    )
    with op.batch_alter_table('photo', schema=None) as batch_op:
        batch_op.create_index(batch_op.f('ix_photo_job_id'), ['job_id'], unique=False)

    op.create_table('price_adjustment',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('job_id', sa.Integer(), nullable=False),
    sa.Column('day', sa.Date(), nullable=False),
    sa.Column('kind', sa.String(), nullable=False),
    sa.Column('amount_cents', sa.Integer(), nullable=False),
    sa.Column('reason', sa.String(), server_default='', nullable=False),
    sa.ForeignKeyConstraint(['job_id'], ['job.id'], name=op.f('fk_price_adjustment_job_id_job')),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_price_adjustment'))
    )
    with op.batch_alter_table('price_adjustment', schema=None) as batch_op:
        batch_op.create_index(batch_op.f('ix_price_adjustment_job_id'), ['job_id'], unique=False)

    op.create_table('quote',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('job_id', sa.Integer(), nullable=False),
    sa.Column('kind', sa.String(), nullable=False),
    sa.Column('version', sa.Integer(), nullable=False),
    sa.Column('title', sa.String(), server_default='', nullable=False),
    sa.Column('created_on', sa.Date(), nullable=False),
    sa.Column('sent_on', sa.Date(), nullable=True),
    sa.Column('expires_on', sa.Date(), nullable=True),
    sa.Column('accepted_on', sa.Date(), nullable=True),
    sa.Column('declined_on', sa.Date(), nullable=True),
    sa.Column('declined_reason', sa.String(), server_default='', nullable=False),
    sa.Column('pricing', sa.String(), nullable=False),
    sa.Column('pricing_percent', base.Percent(), nullable=False),
    sa.Column('fixed_price_cents', sa.Integer(), server_default='0', nullable=False),
    sa.Column('minimum_charge_cents', sa.Integer(), nullable=False),
    sa.Column('rounding_cents', sa.Integer(), nullable=False),
    sa.Column('goodwill_cents', sa.Integer(), server_default='0', nullable=False),
    sa.Column('goodwill_reason', sa.String(), server_default='', nullable=False),
    sa.Column('tax_treatment', sa.String(), nullable=False),
    sa.Column('tax_percent', base.Percent(), nullable=False),
    sa.Column('deposit_percent', base.Percent(), nullable=False),
    sa.Column('owner_rate_cents', sa.Integer(), nullable=False),
    sa.Column('helper_rate_cents', sa.Integer(), nullable=False),
    sa.Column('overhead_rate_cents', sa.Integer(), nullable=False),
    sa.Column('mile_cost', base.UnitCost(), nullable=False),
    sa.Column('scope_text', sa.Text(), server_default='', nullable=False),
    sa.Column('not_included_text', sa.Text(), server_default='', nullable=False),
    sa.Column('warranty_text', sa.Text(), server_default='', nullable=False),
    sa.Column('above_action_text', sa.Text(), server_default='', nullable=False),
    sa.Column('caution_text', sa.Text(), server_default='', nullable=False),
    sa.Column('terms_text', sa.Text(), server_default='', nullable=False),
    sa.Column('price_cents', sa.Integer(), nullable=True),
    sa.Column('tax_cents', sa.Integer(), nullable=True),
    sa.Column('deposit_cents', sa.Integer(), nullable=True),
    sa.ForeignKeyConstraint(['job_id'], ['job.id'], name=op.f('fk_quote_job_id_job')),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_quote'))
    )
    with op.batch_alter_table('quote', schema=None) as batch_op:
        batch_op.create_index(batch_op.f('ix_quote_job_id'), ['job_id'], unique=False)

    op.create_table('radon_test',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('job_id', sa.Integer(), nullable=False),
    sa.Column('purpose', sa.String(), nullable=False),
    sa.Column('device', sa.String(), nullable=False),
    sa.Column('place', sa.String(), server_default='', nullable=False),
    sa.Column('started_on', sa.Date(), nullable=True),
    sa.Column('ended_on', sa.Date(), nullable=False),
    sa.Column('result', base.Quantity(), nullable=False),
    sa.Column('note', sa.String(), server_default='', nullable=False),
    sa.ForeignKeyConstraint(['job_id'], ['job.id'], name=op.f('fk_radon_test_job_id_job')),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_radon_test'))
    )
    with op.batch_alter_table('radon_test', schema=None) as batch_op:
        batch_op.create_index(batch_op.f('ix_radon_test_job_id'), ['job_id'], unique=False)

    op.create_table('survey',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('job_id', sa.Integer(), nullable=False),
    sa.Column('surveyed_on', sa.Date(), nullable=False),
    sa.Column('existing_notes', sa.Text(), server_default='', nullable=False),
    sa.Column('findings', sa.Text(), server_default='', nullable=False),
    sa.Column('access_notes', sa.Text(), server_default='', nullable=False),
    sa.ForeignKeyConstraint(['job_id'], ['job.id'], name=op.f('fk_survey_job_id_job')),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_survey')),
    sa.UniqueConstraint('job_id', name=op.f('uq_survey_job_id'))
    )
    op.create_table('timer',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('job_id', sa.Integer(), nullable=False),
    sa.Column('task_id', sa.Integer(), nullable=False),
    sa.Column('person_id', sa.Integer(), nullable=False),
    sa.Column('started_at', sa.String(), nullable=False),
    sa.ForeignKeyConstraint(['job_id'], ['job.id'], name=op.f('fk_timer_job_id_job')),
    sa.ForeignKeyConstraint(['person_id'], ['person.id'], name=op.f('fk_timer_person_id_person')),
    sa.ForeignKeyConstraint(['task_id'], ['labour_task.id'], name=op.f('fk_timer_task_id_labour_task')),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_timer'))
    )
    with op.batch_alter_table('timer', schema=None) as batch_op:
        batch_op.create_index(batch_op.f('ix_timer_job_id'), ['job_id'], unique=False)
        batch_op.create_index(batch_op.f('ix_timer_person_id'), ['person_id'], unique=False)
        batch_op.create_index(batch_op.f('ix_timer_task_id'), ['task_id'], unique=False)

    op.create_table('quote_option',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('quote_id', sa.Integer(), nullable=False),
    sa.Column('position', sa.Integer(), server_default='0', nullable=False),
    sa.Column('name', sa.String(), nullable=False),
    sa.Column('description', sa.Text(), server_default='', nullable=False),
    sa.Column('chosen', sa.Boolean(), server_default='0', nullable=False),
    sa.Column('price_cents', sa.Integer(), nullable=True),
    sa.ForeignKeyConstraint(['quote_id'], ['quote.id'], name=op.f('fk_quote_option_quote_id_quote')),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_quote_option'))
    )
    with op.batch_alter_table('quote_option', schema=None) as batch_op:
        batch_op.create_index(batch_op.f('ix_quote_option_quote_id'), ['quote_id'], unique=False)

    op.create_table('labour_line',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('quote_id', sa.Integer(), nullable=False),
    sa.Column('option_id', sa.Integer(), nullable=True),
    sa.Column('position', sa.Integer(), server_default='0', nullable=False),
    sa.Column('task_id', sa.Integer(), nullable=False),
    sa.Column('crew', sa.String(), nullable=False),
    sa.Column('quantity', base.Quantity(), nullable=False),
    sa.Column('unit_minutes', base.Quantity(), nullable=False),
    sa.Column('factor_percent', base.Percent(), nullable=False),
    sa.Column('standard_minutes', sa.Integer(), nullable=False),
    sa.Column('override_minutes', sa.Integer(), nullable=True),
    sa.Column('minutes', sa.Integer(), nullable=False),
    sa.Column('rate_cents', sa.Integer(), nullable=False),
    sa.Column('reason', sa.String(), server_default='', nullable=False),
    sa.ForeignKeyConstraint(['option_id'], ['quote_option.id'], name=op.f('fk_labour_line_option_id_quote_option')),
    sa.ForeignKeyConstraint(['quote_id'], ['quote.id'], name=op.f('fk_labour_line_quote_id_quote')),
    sa.ForeignKeyConstraint(['task_id'], ['labour_task.id'], name=op.f('fk_labour_line_task_id_labour_task')),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_labour_line'))
    )
    with op.batch_alter_table('labour_line', schema=None) as batch_op:
        batch_op.create_index('ix_labour_line_costing', ['quote_id', 'option_id', 'minutes', 'rate_cents'], unique=False)
        batch_op.create_index(batch_op.f('ix_labour_line_option_id'), ['option_id'], unique=False)
        batch_op.create_index(batch_op.f('ix_labour_line_task_id'), ['task_id'], unique=False)

    op.create_table('material_line',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('quote_id', sa.Integer(), nullable=False),
    sa.Column('option_id', sa.Integer(), nullable=True),
    sa.Column('position', sa.Integer(), server_default='0', nullable=False),
    sa.Column('item_id', sa.Integer(), nullable=True),
    sa.Column('description', sa.String(), server_default='', nullable=False),
    sa.Column('net_quantity', base.Quantity(), nullable=False),
    sa.Column('waste_percent', base.Percent(), nullable=False),
    sa.Column('quantity', base.Quantity(), nullable=False),
    sa.Column('unit', sa.String(), nullable=False),
    sa.Column('unit_cost', base.UnitCost(), nullable=False),
    sa.Column('reason', sa.String(), server_default='', nullable=False),
    sa.ForeignKeyConstraint(['item_id'], ['item.id'], name=op.f('fk_material_line_item_id_item')),
    sa.ForeignKeyConstraint(['option_id'], ['quote_option.id'], name=op.f('fk_material_line_option_id_quote_option')),
    sa.ForeignKeyConstraint(['quote_id'], ['quote.id'], name=op.f('fk_material_line_quote_id_quote')),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_material_line'))
    )
    with op.batch_alter_table('material_line', schema=None) as batch_op:
        batch_op.create_index('ix_material_line_costing', ['quote_id', 'option_id', 'quantity', 'unit_cost'], unique=False)
        batch_op.create_index(batch_op.f('ix_material_line_item_id'), ['item_id'], unique=False)
        batch_op.create_index(batch_op.f('ix_material_line_option_id'), ['option_id'], unique=False)

    op.create_table('other_line',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('quote_id', sa.Integer(), nullable=False),
    sa.Column('option_id', sa.Integer(), nullable=True),
    sa.Column('position', sa.Integer(), server_default='0', nullable=False),
    sa.Column('kind', sa.String(), nullable=False),
    sa.Column('description', sa.String(), server_default='', nullable=False),
    sa.Column('quantity', base.Quantity(), nullable=False),
    sa.Column('unit', sa.String(), nullable=False),
    sa.Column('unit_cost', base.UnitCost(), nullable=False),
    sa.Column('reason', sa.String(), server_default='', nullable=False),
    sa.ForeignKeyConstraint(['option_id'], ['quote_option.id'], name=op.f('fk_other_line_option_id_quote_option')),
    sa.ForeignKeyConstraint(['quote_id'], ['quote.id'], name=op.f('fk_other_line_quote_id_quote')),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_other_line'))
    )
    with op.batch_alter_table('other_line', schema=None) as batch_op:
        batch_op.create_index('ix_other_line_costing', ['quote_id', 'option_id', 'quantity', 'unit_cost'], unique=False)
        batch_op.create_index(batch_op.f('ix_other_line_option_id'), ['option_id'], unique=False)

