"""Every table of a company file, one module a room; `METADATA` knows them all."""

from db.tables.actuals import hours_entry, material_use, other_cost, price_adjustment
from db.tables.base import METADATA
from db.tables.company import (
    company,
    mile_cost,
    overhead_basis,
    overhead_item,
    person,
    person_cost,
    timer,
)
from db.tables.jobs import deadline, job, job_condition, party, photo, radon_test, survey
from db.tables.journal import action, change
from db.tables.library import (
    access_condition,
    cause,
    job_type,
    job_type_item,
    job_type_task,
    labour_task,
    lead_source,
    task_factor,
)
from db.tables.people import contact, customer, property_
from db.tables.price_list import item, item_price, supplier
from db.tables.quotes import labour_line, material_line, other_line, quote, quote_option

__all__ = [
    "METADATA",
    "access_condition",
    "action",
    "cause",
    "change",
    "company",
    "contact",
    "customer",
    "deadline",
    "hours_entry",
    "item",
    "item_price",
    "job",
    "job_condition",
    "job_type",
    "job_type_item",
    "job_type_task",
    "labour_line",
    "labour_task",
    "lead_source",
    "material_line",
    "material_use",
    "mile_cost",
    "other_cost",
    "other_line",
    "overhead_basis",
    "overhead_item",
    "party",
    "person",
    "person_cost",
    "photo",
    "price_adjustment",
    "property_",
    "quote",
    "quote_option",
    "radon_test",
    "supplier",
    "survey",
    "task_factor",
    "timer",
]
