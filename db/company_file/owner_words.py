"""What the tables of a company file hold, in the owner's words; a report names no table."""

from __future__ import annotations

_WORDS = {
    "access_condition": "access conditions", "action": "saved steps", "air_plan": "air plans",
    "attachment": "reports and bills taken in", "bad_debt": "debts given up", "bill": "bills",
    "bill_line": "bill lines", "bill_payment": "payments of bills", "cause": "causes",
    "change": "notes of what each step changed", "check_answer": "checklist answers", "check_point": "checklist points",
    "closed_month": "closed months", "closeout": "closeouts", "closing_answer": "answers at closing",
    "company": "firm's own settings", "contact": "phone numbers and addresses", "correction": "corrections",
    "customer": "customers", "deadline": "closing dates", "defect": "defects", "exposure": "hours in radon air",
    "fan_curve": "fan curves", "hours_entry": "hours entries", "invoice": "invoices", "invoice_line": "invoice lines",
    "item": "price list items", "item_price": "prices", "job": "jobs", "job_condition": "conditions of jobs",
    "job_type": "job types", "job_type_item": "usual materials", "job_type_task": "usual tasks",
    "labour_line": "labor lines of quotes", "labour_task": "labor tasks", "lead_source": "lead sources",
    "ledger_account": "accounts", "library_proposal": "proposals of the record", "logo_file": "logo pictures",
    "material_line": "material lines of quotes", "material_use": "materials used", "mile_cost": "costs of a mile",
    "other_cost": "other costs of jobs", "other_line": "other lines of quotes", "overhead_basis": "overhead hours",
    "overhead_item": "overhead items", "own_standard": "own values", "paper": "papers", "paper_file": "kept papers",
    "paper_text": "wordings of papers", "party": "other people at a job", "payment": "payments", "person": "people",
    "person_cost": "costs of people", "photo": "photos", "price_adjustment": "write-offs", "property": "houses",
    "purchase": "purchases", "quote": "quotes", "quote_expectation": "forecasts of quotes",
    "quote_option": "options of quotes", "quote_sketch": "sketches of quotes", "radon_test": "radon tests",
    "route": "pipe routes", "row_sums": "sums kept in the file", "settlement": "payments against invoices",
    "site_reading": "readings on site", "stock_count": "counts of the truck", "stock_rule": "stock to carry",
    "supplier": "suppliers", "supplier_sheet": "price sheets", "survey": "surveys", "takeoff_answer": "takeoff answers",
    "takeoff_choice": "takeoff choices", "takeoff_extra": "takeoff extras", "takeoff_item": "takeoff items",
    "takeoff_override": "takeoff numbers of your own", "takeoff_part": "takeoff parts", "takeoff_task": "takeoff tasks",
    "task_factor": "extra time under conditions", "task_progress": "notes of what is done", "timer": "running timer",
    "trip": "trips", "truck_offcut": "offcuts on the truck", "visit": "visits",
}  # fmt: skip


def things(table: str) -> str:
    """What a table's rows are, several of them: ``hours entries``."""
    return _WORDS.get(table) or table.rstrip("_").replace("_", " ")


def value_name(column: str) -> str:
    """A column as an owner would call it."""
    return column.removesuffix("_id").removesuffix("_cents").replace("_", " ").replace("labour", "labor")
