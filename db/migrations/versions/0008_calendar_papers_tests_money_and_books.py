"""Calendar, papers, tests, money and books."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

from db.tables import base

revision = '0008'
down_revision = '0007'
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table('attachment',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('file_name', sa.String(), nullable=False),
    sa.Column('original_name', sa.String(), nullable=False),
    sa.Column('sha256', sa.String(), nullable=False),
    sa.Column('size', sa.Integer(), nullable=False),
    sa.Column('added_on', sa.Date(), nullable=False),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_attachment')),
    sa.UniqueConstraint('file_name', name=op.f('uq_attachment_file_name'))
    )
    op.create_table('closed_month',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('month', sa.String(), nullable=False),
    sa.Column('closed_on', sa.Date(), nullable=False),
    sa.Column('note', sa.Text(), server_default='', nullable=False),
    sa.Column('figures', sa.Text(), server_default='', nullable=False),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_closed_month')),
    sa.UniqueConstraint('month', name=op.f('uq_closed_month_month'))
    )
    op.create_table('correction',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('made_on', sa.Date(), nullable=False),
    sa.Column('table_name', sa.String(), nullable=False),
    sa.Column('wrong_id', sa.Integer(), nullable=False),
    sa.Column('right_id', sa.Integer(), nullable=False),
    sa.Column('reason', sa.String(), nullable=False),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_correction')),
    sa.UniqueConstraint('table_name', 'right_id', name=op.f('uq_correction_table_name_right_id'))
    )
    op.create_table('ledger_account',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('role', sa.String(), nullable=False),
    sa.Column('number', sa.String(), server_default='', nullable=False),
    sa.Column('name', sa.String(), nullable=False),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_ledger_account')),
    sa.UniqueConstraint('role', name=op.f('uq_ledger_account_role'))
    )
    op.create_table('paper_text',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('kind', sa.String(), nullable=False),
    sa.Column('part', sa.String(), nullable=False),
    sa.Column('wording', sa.Text(), nullable=False),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_paper_text')),
    sa.UniqueConstraint('kind', 'part', name=op.f('uq_paper_text_kind_part'))
    )
    op.create_table('trip',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('day', sa.Date(), nullable=False),
    sa.Column('miles', base.Quantity(), nullable=False),
    sa.Column('purpose', sa.String(), nullable=False),
    sa.Column('route', sa.String(), server_default='', nullable=False),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_trip'))
    )
    with op.batch_alter_table('trip', schema=None) as batch_op:
        batch_op.create_index(batch_op.f('ix_trip_day'), ['day'], unique=False)

    op.create_table('bill',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('supplier_id', sa.Integer(), nullable=False),
    sa.Column('kind', sa.String(), nullable=False),
    sa.Column('number', sa.String(), server_default='', nullable=False),
    sa.Column('billed_on', sa.Date(), nullable=False),
    sa.Column('due_on', sa.Date(), nullable=True),
    sa.Column('net_cents', sa.Integer(), nullable=False),
    sa.Column('tax_cents', sa.Integer(), nullable=False),
    sa.Column('note', sa.Text(), server_default='', nullable=False),
    sa.Column('attachment_id', sa.Integer(), nullable=True),
    sa.ForeignKeyConstraint(['attachment_id'], ['attachment.id'], name=op.f('fk_bill_attachment_id_attachment')),
    sa.ForeignKeyConstraint(['supplier_id'], ['supplier.id'], name=op.f('fk_bill_supplier_id_supplier')),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_bill'))
    )
    with op.batch_alter_table('bill', schema=None) as batch_op:
        batch_op.create_index(batch_op.f('ix_bill_attachment_id'), ['attachment_id'], unique=False)
        batch_op.create_index(batch_op.f('ix_bill_billed_on'), ['billed_on'], unique=False)
        batch_op.create_index(batch_op.f('ix_bill_supplier_id'), ['supplier_id'], unique=False)

    op.create_table('check_point',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('point_key', sa.String(), nullable=False),
    sa.Column('wording', sa.Text(), server_default='', nullable=False),
    sa.Column('source', sa.String(), server_default='', nullable=False),
    sa.Column('phase', sa.String(), nullable=False),
    sa.Column('job_type_id', sa.Integer(), nullable=True),
    sa.Column('hidden', sa.Boolean(), server_default='0', nullable=False),
    sa.Column('position', sa.Integer(), server_default='0', nullable=False),
    sa.ForeignKeyConstraint(['job_type_id'], ['job_type.id'], name=op.f('fk_check_point_job_type_id_job_type')),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_check_point')),
    sa.UniqueConstraint('point_key', name=op.f('uq_check_point_point_key'))
    )
    with op.batch_alter_table('check_point', schema=None) as batch_op:
        batch_op.create_index(batch_op.f('ix_check_point_job_type_id'), ['job_type_id'], unique=False)

    op.create_table('bill_payment',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('bill_id', sa.Integer(), nullable=False),
    sa.Column('paid_on', sa.Date(), nullable=False),
    sa.Column('amount_cents', sa.Integer(), nullable=False),
    sa.Column('means', sa.String(), nullable=False),
    sa.Column('reference', sa.String(), server_default='', nullable=False),
    sa.ForeignKeyConstraint(['bill_id'], ['bill.id'], name=op.f('fk_bill_payment_bill_id_bill')),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_bill_payment'))
    )
    with op.batch_alter_table('bill_payment', schema=None) as batch_op:
        batch_op.create_index(batch_op.f('ix_bill_payment_bill_id'), ['bill_id'], unique=False)
        batch_op.create_index(batch_op.f('ix_bill_payment_paid_on'), ['paid_on'], unique=False)

    op.create_table('closeout',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('job_id', sa.Integer(), nullable=False),
    sa.Column('description', sa.Text(), server_default='', nullable=False),
    sa.Column('fan', sa.String(), server_default='', nullable=False),
    sa.Column('fan_watts', base.Quantity(), nullable=True),
    sa.Column('fan_on_minute', sa.Integer(), nullable=True),
    sa.Column('read_on', sa.Date(), nullable=True),
    sa.Column('suction', base.Quantity(), nullable=True),
    sa.Column('indicator', sa.String(), server_default='', nullable=False),
    sa.Column('indicator_place', sa.String(), server_default='', nullable=False),
    sa.Column('standard', sa.String(), server_default='', nullable=False),
    sa.Column('warranty_until', sa.Date(), nullable=True),
    sa.Column('level_promised', base.Quantity(), nullable=True),
    sa.Column('warranty_text', sa.Text(), server_default='', nullable=False),
    sa.Column('retest_on', sa.Date(), nullable=True),
    sa.Column('note', sa.Text(), server_default='', nullable=False),
    sa.ForeignKeyConstraint(['job_id'], ['job.id'], name=op.f('fk_closeout_job_id_job')),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_closeout')),
    sa.UniqueConstraint('job_id', name=op.f('uq_closeout_job_id'))
    )
    op.create_table('exposure',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('job_id', sa.Integer(), nullable=True),
    sa.Column('person_id', sa.Integer(), nullable=False),
    sa.Column('day', sa.Date(), nullable=False),
    sa.Column('minutes', sa.Integer(), nullable=False),
    sa.Column('level', base.Quantity(), nullable=False),
    sa.Column('level_from', sa.String(), server_default='', nullable=False),
    sa.Column('equilibrium_percent', base.Percent(), nullable=False),
    sa.Column('note', sa.Text(), server_default='', nullable=False),
    sa.ForeignKeyConstraint(['job_id'], ['job.id'], name=op.f('fk_exposure_job_id_job')),
    sa.ForeignKeyConstraint(['person_id'], ['person.id'], name=op.f('fk_exposure_person_id_person')),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_exposure'))
    )
    with op.batch_alter_table('exposure', schema=None) as batch_op:
        batch_op.create_index(batch_op.f('ix_exposure_day'), ['day'], unique=False)
        batch_op.create_index(batch_op.f('ix_exposure_job_id'), ['job_id'], unique=False)
        batch_op.create_index(batch_op.f('ix_exposure_person_id'), ['person_id'], unique=False)

    op.create_table('payment',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('customer_id', sa.Integer(), nullable=False),
    sa.Column('job_id', sa.Integer(), nullable=True),
    sa.Column('received_on', sa.Date(), nullable=False),
    sa.Column('kind', sa.String(), nullable=False),
    sa.Column('means', sa.String(), nullable=False),
    sa.Column('amount_cents', sa.Integer(), nullable=False),
    sa.Column('payer', sa.String(), server_default='', nullable=False),
    sa.Column('reference', sa.String(), server_default='', nullable=False),
    sa.Column('number', sa.String(), nullable=True),
    sa.Column('takes_back_id', sa.Integer(), nullable=True),
    sa.Column('note', sa.Text(), server_default='', nullable=False),
    sa.ForeignKeyConstraint(['customer_id'], ['customer.id'], name=op.f('fk_payment_customer_id_customer')),
    sa.ForeignKeyConstraint(['job_id'], ['job.id'], name=op.f('fk_payment_job_id_job')),
    sa.ForeignKeyConstraint(['takes_back_id'], ['payment.id'], name=op.f('fk_payment_takes_back_id_payment')),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_payment')),
    sa.UniqueConstraint('number', name=op.f('uq_payment_number'))
    )
    with op.batch_alter_table('payment', schema=None) as batch_op:
        batch_op.create_index(batch_op.f('ix_payment_customer_id'), ['customer_id'], unique=False)
        batch_op.create_index(batch_op.f('ix_payment_job_id'), ['job_id'], unique=False)
        batch_op.create_index(batch_op.f('ix_payment_received_on'), ['received_on'], unique=False)
        batch_op.create_index(batch_op.f('ix_payment_takes_back_id'), ['takes_back_id'], unique=False)

    op.create_table('visit',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('job_id', sa.Integer(), nullable=True),
    sa.Column('kind', sa.String(), nullable=False),
    sa.Column('title', sa.String(), server_default='', nullable=False),
    sa.Column('day', sa.Date(), nullable=False),
    sa.Column('starts_at', sa.Integer(), nullable=True),
    sa.Column('minutes', sa.Integer(), nullable=False),
    sa.Column('travel_minutes', sa.Integer(), server_default='0', nullable=False),
    sa.Column('who', sa.String(), server_default='', nullable=False),
    sa.Column('supplier_id', sa.Integer(), nullable=True),
    sa.Column('takes_own_time', sa.Integer(), server_default='1', nullable=False),
    sa.Column('note', sa.Text(), server_default='', nullable=False),
    sa.Column('done_on', sa.Date(), nullable=True),
    sa.Column('cancelled_on', sa.Date(), nullable=True),
    sa.Column('uid', sa.String(), nullable=False),
    sa.Column('sequence', sa.Integer(), server_default='0', nullable=False),
    sa.ForeignKeyConstraint(['job_id'], ['job.id'], name=op.f('fk_visit_job_id_job')),
    sa.ForeignKeyConstraint(['supplier_id'], ['supplier.id'], name=op.f('fk_visit_supplier_id_supplier')),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_visit')),
    sa.UniqueConstraint('uid', name=op.f('uq_visit_uid'))
    )
    with op.batch_alter_table('visit', schema=None) as batch_op:
        batch_op.create_index(batch_op.f('ix_visit_day'), ['day'], unique=False)
        batch_op.create_index(batch_op.f('ix_visit_job_id'), ['job_id'], unique=False)
        batch_op.create_index(batch_op.f('ix_visit_supplier_id'), ['supplier_id'], unique=False)

    op.create_table('bill_line',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('bill_id', sa.Integer(), nullable=False),
    sa.Column('position', sa.Integer(), server_default='0', nullable=False),
    sa.Column('kind', sa.String(), nullable=False),
    sa.Column('description', sa.String(), server_default='', nullable=False),
    sa.Column('net_cents', sa.Integer(), nullable=False),
    sa.Column('job_id', sa.Integer(), nullable=True),
    sa.Column('purchase_id', sa.Integer(), nullable=True),
    sa.Column('material_use_id', sa.Integer(), nullable=True),
    sa.Column('other_cost_id', sa.Integer(), nullable=True),
    sa.ForeignKeyConstraint(['bill_id'], ['bill.id'], name=op.f('fk_bill_line_bill_id_bill')),
    sa.ForeignKeyConstraint(['job_id'], ['job.id'], name=op.f('fk_bill_line_job_id_job')),
    sa.ForeignKeyConstraint(['material_use_id'], ['material_use.id'], name=op.f('fk_bill_line_material_use_id_material_use')),
    sa.ForeignKeyConstraint(['other_cost_id'], ['other_cost.id'], name=op.f('fk_bill_line_other_cost_id_other_cost')),
    sa.ForeignKeyConstraint(['purchase_id'], ['purchase.id'], name=op.f('fk_bill_line_purchase_id_purchase')),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_bill_line'))
    )
    with op.batch_alter_table('bill_line', schema=None) as batch_op:
        batch_op.create_index(batch_op.f('ix_bill_line_bill_id'), ['bill_id'], unique=False)
        batch_op.create_index(batch_op.f('ix_bill_line_job_id'), ['job_id'], unique=False)
        batch_op.create_index(batch_op.f('ix_bill_line_material_use_id'), ['material_use_id'], unique=False)
        batch_op.create_index(batch_op.f('ix_bill_line_other_cost_id'), ['other_cost_id'], unique=False)
        batch_op.create_index(batch_op.f('ix_bill_line_purchase_id'), ['purchase_id'], unique=False)

    op.create_table('check_answer',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('job_id', sa.Integer(), nullable=False),
    sa.Column('point_key', sa.String(), nullable=False),
    sa.Column('wording', sa.Text(), nullable=False),
    sa.Column('source', sa.String(), server_default='', nullable=False),
    sa.Column('answer', sa.String(), nullable=False),
    sa.Column('note', sa.Text(), server_default='', nullable=False),
    sa.Column('answered_on', sa.Date(), nullable=False),
    sa.Column('photo_id', sa.Integer(), nullable=True),
    sa.ForeignKeyConstraint(['job_id'], ['job.id'], name=op.f('fk_check_answer_job_id_job')),
    sa.ForeignKeyConstraint(['photo_id'], ['photo.id'], name=op.f('fk_check_answer_photo_id_photo')),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_check_answer')),
    sa.UniqueConstraint('job_id', 'point_key', name=op.f('uq_check_answer_job_id_point_key'))
    )
    with op.batch_alter_table('check_answer', schema=None) as batch_op:
        batch_op.create_index(batch_op.f('ix_check_answer_job_id'), ['job_id'], unique=False)
        batch_op.create_index(batch_op.f('ix_check_answer_photo_id'), ['photo_id'], unique=False)

    op.create_table('defect',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('job_id', sa.Integer(), nullable=False),
    sa.Column('found_on', sa.Date(), nullable=False),
    sa.Column('place', sa.String(), server_default='', nullable=False),
    sa.Column('description', sa.Text(), nullable=False),
    sa.Column('rule', sa.String(), server_default='', nullable=False),
    sa.Column('price_cents', sa.Integer(), nullable=True),
    sa.Column('quote_id', sa.Integer(), nullable=True),
    sa.Column('outcome', sa.String(), server_default='open', nullable=False),
    sa.Column('answered_on', sa.Date(), nullable=True),
    sa.Column('answer', sa.Text(), server_default='', nullable=False),
    sa.Column('photo_id', sa.Integer(), nullable=True),
    sa.ForeignKeyConstraint(['job_id'], ['job.id'], name=op.f('fk_defect_job_id_job')),
    sa.ForeignKeyConstraint(['photo_id'], ['photo.id'], name=op.f('fk_defect_photo_id_photo')),
    sa.ForeignKeyConstraint(['quote_id'], ['quote.id'], name=op.f('fk_defect_quote_id_quote')),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_defect'))
    )
    with op.batch_alter_table('defect', schema=None) as batch_op:
        batch_op.create_index(batch_op.f('ix_defect_job_id'), ['job_id'], unique=False)
        batch_op.create_index(batch_op.f('ix_defect_photo_id'), ['photo_id'], unique=False)
        batch_op.create_index(batch_op.f('ix_defect_quote_id'), ['quote_id'], unique=False)

    op.create_table('invoice',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('kind', sa.String(), nullable=False),
    sa.Column('number', sa.String(), nullable=True),
    sa.Column('customer_id', sa.Integer(), nullable=False),
    sa.Column('job_id', sa.Integer(), nullable=True),
    sa.Column('bill_to', sa.Text(), server_default='', nullable=False),
    sa.Column('payer_id', sa.Integer(), nullable=True),
    sa.Column('payer_reference', sa.String(), server_default='', nullable=False),
    sa.Column('created_on', sa.Date(), nullable=False),
    sa.Column('issued_on', sa.Date(), nullable=True),
    sa.Column('due_on', sa.Date(), nullable=True),
    sa.Column('tax_treatment', sa.String(), nullable=False),
    sa.Column('tax_percent', base.Percent(), nullable=False),
    sa.Column('tax_place', sa.String(), server_default='', nullable=False),
    sa.Column('terms_text', sa.Text(), server_default='', nullable=False),
    sa.Column('note', sa.Text(), server_default='', nullable=False),
    sa.Column('credits_id', sa.Integer(), nullable=True),
    sa.Column('reason', sa.String(), server_default='', nullable=False),
    sa.Column('net_cents', sa.Integer(), nullable=True),
    sa.Column('taxable_cents', sa.Integer(), nullable=True),
    sa.Column('tax_cents', sa.Integer(), nullable=True),
    sa.ForeignKeyConstraint(['credits_id'], ['invoice.id'], name=op.f('fk_invoice_credits_id_invoice')),
    sa.ForeignKeyConstraint(['customer_id'], ['customer.id'], name=op.f('fk_invoice_customer_id_customer')),
    sa.ForeignKeyConstraint(['job_id'], ['job.id'], name=op.f('fk_invoice_job_id_job')),
    sa.ForeignKeyConstraint(['payer_id'], ['party.id'], name=op.f('fk_invoice_payer_id_party')),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_invoice')),
    sa.UniqueConstraint('number', name=op.f('uq_invoice_number'))
    )
    with op.batch_alter_table('invoice', schema=None) as batch_op:
        batch_op.create_index(batch_op.f('ix_invoice_credits_id'), ['credits_id'], unique=False)
        batch_op.create_index(batch_op.f('ix_invoice_customer_id'), ['customer_id'], unique=False)
        batch_op.create_index(batch_op.f('ix_invoice_issued_on'), ['issued_on'], unique=False)
        batch_op.create_index(batch_op.f('ix_invoice_job_id'), ['job_id'], unique=False)
        batch_op.create_index(batch_op.f('ix_invoice_payer_id'), ['payer_id'], unique=False)

    op.create_table('bad_debt',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('invoice_id', sa.Integer(), nullable=False),
    sa.Column('day', sa.Date(), nullable=False),
    sa.Column('net_cents', sa.Integer(), nullable=False),
    sa.Column('tax_cents', sa.Integer(), nullable=False),
    sa.Column('reason', sa.String(), nullable=False),
    sa.Column('write_off_id', sa.Integer(), nullable=True),
    sa.ForeignKeyConstraint(['invoice_id'], ['invoice.id'], name=op.f('fk_bad_debt_invoice_id_invoice')),
    sa.ForeignKeyConstraint(['write_off_id'], ['price_adjustment.id'], name=op.f('fk_bad_debt_write_off_id_price_adjustment')),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_bad_debt'))
    )
    with op.batch_alter_table('bad_debt', schema=None) as batch_op:
        batch_op.create_index(batch_op.f('ix_bad_debt_invoice_id'), ['invoice_id'], unique=False)
        batch_op.create_index(batch_op.f('ix_bad_debt_write_off_id'), ['write_off_id'], unique=False)

    op.create_table('invoice_line',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('invoice_id', sa.Integer(), nullable=False),
    sa.Column('position', sa.Integer(), server_default='0', nullable=False),
    sa.Column('kind', sa.String(), nullable=False),
    sa.Column('description', sa.Text(), nullable=False),
    sa.Column('quantity', base.Quantity(), nullable=False),
    sa.Column('unit', sa.String(), server_default='', nullable=False),
    sa.Column('unit_price', base.UnitCost(), nullable=False),
    sa.Column('net_cents', sa.Integer(), nullable=False),
    sa.Column('taxable_cents', sa.Integer(), server_default='0', nullable=False),
    sa.Column('quote_id', sa.Integer(), nullable=True),
    sa.Column('earlier_id', sa.Integer(), nullable=True),
    sa.ForeignKeyConstraint(['earlier_id'], ['invoice.id'], name=op.f('fk_invoice_line_earlier_id_invoice')),
    sa.ForeignKeyConstraint(['invoice_id'], ['invoice.id'], name=op.f('fk_invoice_line_invoice_id_invoice')),
    sa.ForeignKeyConstraint(['quote_id'], ['quote.id'], name=op.f('fk_invoice_line_quote_id_quote')),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_invoice_line'))
    )
    with op.batch_alter_table('invoice_line', schema=None) as batch_op:
        batch_op.create_index(batch_op.f('ix_invoice_line_earlier_id'), ['earlier_id'], unique=False)
        batch_op.create_index(batch_op.f('ix_invoice_line_invoice_id'), ['invoice_id'], unique=False)
        batch_op.create_index(batch_op.f('ix_invoice_line_quote_id'), ['quote_id'], unique=False)

    op.create_table('paper',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('kind', sa.String(), nullable=False),
    sa.Column('number', sa.String(), nullable=False),
    sa.Column('title', sa.String(), nullable=False),
    sa.Column('issued_on', sa.Date(), nullable=False),
    sa.Column('issued_at', sa.String(), nullable=False),
    sa.Column('sent_to', sa.String(), server_default='', nullable=False),
    sa.Column('customer_id', sa.Integer(), nullable=True),
    sa.Column('job_id', sa.Integer(), nullable=True),
    sa.Column('quote_id', sa.Integer(), nullable=True),
    sa.Column('invoice_id', sa.Integer(), nullable=True),
    sa.Column('payment_id', sa.Integer(), nullable=True),
    sa.Column('pages', sa.Integer(), nullable=False),
    sa.Column('sha256', sa.String(), nullable=False),
    sa.ForeignKeyConstraint(['customer_id'], ['customer.id'], name=op.f('fk_paper_customer_id_customer')),
    sa.ForeignKeyConstraint(['invoice_id'], ['invoice.id'], name=op.f('fk_paper_invoice_id_invoice')),
    sa.ForeignKeyConstraint(['job_id'], ['job.id'], name=op.f('fk_paper_job_id_job')),
    sa.ForeignKeyConstraint(['payment_id'], ['payment.id'], name=op.f('fk_paper_payment_id_payment')),
    sa.ForeignKeyConstraint(['quote_id'], ['quote.id'], name=op.f('fk_paper_quote_id_quote')),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_paper'))
    )
    with op.batch_alter_table('paper', schema=None) as batch_op:
        batch_op.create_index(batch_op.f('ix_paper_customer_id'), ['customer_id'], unique=False)
        batch_op.create_index(batch_op.f('ix_paper_invoice_id'), ['invoice_id'], unique=False)
        batch_op.create_index(batch_op.f('ix_paper_issued_on'), ['issued_on'], unique=False)
        batch_op.create_index(batch_op.f('ix_paper_job_id'), ['job_id'], unique=False)
        batch_op.create_index(batch_op.f('ix_paper_payment_id'), ['payment_id'], unique=False)
        batch_op.create_index(batch_op.f('ix_paper_quote_id'), ['quote_id'], unique=False)

    op.create_table('paper_file',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('sha256', sa.String(), nullable=False),
    sa.Column('pdf', sa.LargeBinary(), nullable=False),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_paper_file')),
    sa.UniqueConstraint('sha256', name=op.f('uq_paper_file_sha256'))
    )
    op.create_table('settlement',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('invoice_id', sa.Integer(), nullable=False),
    sa.Column('settled_on', sa.Date(), nullable=False),
    sa.Column('amount_cents', sa.Integer(), nullable=False),
    sa.Column('payment_id', sa.Integer(), nullable=True),
    sa.Column('credit_id', sa.Integer(), nullable=True),
    sa.Column('bad_debt_id', sa.Integer(), nullable=True),
    sa.ForeignKeyConstraint(['bad_debt_id'], ['bad_debt.id'], name=op.f('fk_settlement_bad_debt_id_bad_debt')),
    sa.ForeignKeyConstraint(['credit_id'], ['invoice.id'], name=op.f('fk_settlement_credit_id_invoice')),
    sa.ForeignKeyConstraint(['invoice_id'], ['invoice.id'], name=op.f('fk_settlement_invoice_id_invoice')),
    sa.ForeignKeyConstraint(['payment_id'], ['payment.id'], name=op.f('fk_settlement_payment_id_payment')),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_settlement'))
    )
    with op.batch_alter_table('settlement', schema=None) as batch_op:
        batch_op.create_index(batch_op.f('ix_settlement_bad_debt_id'), ['bad_debt_id'], unique=False)
        batch_op.create_index(batch_op.f('ix_settlement_credit_id'), ['credit_id'], unique=False)
        batch_op.create_index(batch_op.f('ix_settlement_invoice_id'), ['invoice_id'], unique=False)
        batch_op.create_index(batch_op.f('ix_settlement_payment_id'), ['payment_id'], unique=False)

    with op.batch_alter_table('action', schema=None) as batch_op:
        batch_op.add_column(sa.Column('final', sa.Boolean(), server_default='0', nullable=False))

    with op.batch_alter_table('company', schema=None) as batch_op:
        batch_op.add_column(sa.Column('invoice_due_days', sa.Integer(), server_default='14', nullable=False))
        batch_op.add_column(sa.Column('standard_text', sa.String(), server_default='', nullable=False))
        batch_op.add_column(sa.Column('electricity_rate', base.UnitCost(), server_default='0', nullable=False))
        batch_op.add_column(sa.Column('heat_loss_low_cents', sa.Integer(), server_default='0', nullable=False))
        batch_op.add_column(sa.Column('heat_loss_high_cents', sa.Integer(), server_default='0', nullable=False))

    with op.batch_alter_table('radon_test', schema=None) as batch_op:
        batch_op.add_column(sa.Column('started_minute', sa.Integer(), nullable=True))
        batch_op.add_column(sa.Column('ended_minute', sa.Integer(), nullable=True))
        batch_op.add_column(sa.Column('closed_house', sa.String(), server_default='', nullable=False))
        batch_op.add_column(sa.Column('placed_by', sa.String(), server_default='', nullable=False))
        batch_op.add_column(sa.Column('serial', sa.String(), server_default='', nullable=False))
        batch_op.add_column(sa.Column('attachment_id', sa.Integer(), nullable=True))
        batch_op.create_index(batch_op.f('ix_radon_test_attachment_id'), ['attachment_id'], unique=False)
        batch_op.create_foreign_key(batch_op.f('fk_radon_test_attachment_id_attachment'), 'attachment', ['attachment_id'], ['id'])

    with op.batch_alter_table('supplier', schema=None) as batch_op:
        batch_op.add_column(sa.Column('mail', sa.String(), server_default='', nullable=False))
        batch_op.add_column(sa.Column('address', sa.String(), server_default='', nullable=False))
        batch_op.add_column(sa.Column('subcontractor', sa.Boolean(), server_default='0', nullable=False))
        batch_op.add_column(sa.Column('tax_form_on', sa.Date(), nullable=True))

    # What a job knew as its first work day is its first visit; a day that has passed with the fan on is done.
    op.execute(
        """
        INSERT INTO visit (job_id, kind, title, day, minutes, travel_minutes, who, takes_own_time, note, done_on,
                           cancelled_on, uid, sequence)
        SELECT id, 'work', '', scheduled_on, 480, 0, '', 1, '', installed_on,
               cancelled_on, 'job-' || id || '-work-1@riserbook.invalid', 0
        FROM job WHERE scheduled_on IS NOT NULL
        """
    )
