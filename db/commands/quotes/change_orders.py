"""Change orders: what is different from the accepted proposal, often work that was logged without being quoted."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from decimal import Decimal

from sqlalchemy import select

from db.commands.quotes.checks import live_job
from db.commands.quotes.life import next_version
from db.commands.quotes.lines import add_labour, add_material, add_other
from db.company_file.problems import Refused
from db.edit import Edit
from db.queries.quotes import task_picks
from db.records import fetch_all
from db.tables import hours_entry, item, labour_task, material_use, other_cost, person, quote
from domain.actuals import HoursEntry, MaterialUse, OtherCost
from domain.dates import format_day_short
from domain.firm import DayRates, Firm, Person
from domain.library import LabourTask
from domain.quoting.change_words import LOGGED
from domain.quoting.doubts import without_deposit
from domain.quoting.lines import Quote
from domain.units.numbers import to_places


def start_change_order(
    edit: Edit, job_id: int, on: date, rates: DayRates, firm: Firm, *, title: str = "", from_unquoted: bool = True
) -> int:
    """Begin a change order on a job whose proposal was accepted; return its id.

    It is priced like the accepted proposal (same margin or markup, tax and rounding), without a minimum charge
    or deposit, at the rates of the day. With `from_unquoted` the entries marked as not quoted, up to that day,
    become its lines: hours as logged, standing over the standard; materials and other costs as they were paid.

    Raises:
        Refused: the job is cancelled or no proposal of it was accepted.
    """
    live_job(edit, job_id)
    accepted = fetch_all(
        edit.conn, Quote, quote,
        quote.c.job_id == job_id, quote.c.kind == "proposal", quote.c.accepted_on.is_not(None),
    )  # fmt: skip
    if not accepted:
        raise Refused(
            "A change order changes an accepted proposal, and this job has none yet.",
            "Revise the proposal, or note its acceptance first.",
        )
    basis = accepted[0]
    quote_id = edit.add(
        quote, job_id=job_id, kind="change_order", version=next_version(edit, job_id, "change_order"),
        title=title.strip(), created_on=on,
        pricing="margin" if basis.pricing == "fixed" else basis.pricing, pricing_percent=basis.pricing_percent,
        minimum_charge_cents=0, rounding_cents=basis.rounding_cents, tax_treatment=basis.tax_treatment,
        tax_percent=basis.tax_percent, deposit_percent=Decimal(0),
        owner_rate_cents=rates.owner_cents, helper_rate_cents=rates.helper_cents,
        overhead_rate_cents=rates.overhead_cents, mile_cost=rates.mile_cost,
        scope_text="", not_included_text="", warranty_text=basis.warranty_text, above_action_text="",
        caution_text=firm.caution_text, terms_text=without_deposit(firm.terms_text),
    )  # fmt: skip
    if from_unquoted:
        edit.change(quote, quote_id, scope_text=_noted_work(edit, job_id, on))
        _lines_from_hours(edit, quote_id, job_id, on)
        _lines_from_materials(edit, quote_id, job_id, on)
        _lines_from_other_costs(edit, quote_id, job_id, on)
    return quote_id


def _lines_from_hours(edit: Edit, quote_id: int, job_id: int, on: date) -> None:
    entries = fetch_all(
        edit.conn, HoursEntry, hours_entry,
        hours_entry.c.job_id == job_id, hours_entry.c.unquoted, hours_entry.c.day <= on,
        order=(hours_entry.c.day, hours_entry.c.id),
    )  # fmt: skip
    if not entries:
        return
    roles = {one.id: one.role for one in fetch_all(edit.conn, Person, person)}
    picks = {pick.task.id: pick for pick in task_picks(edit.conn, job_id, archived=True)}
    groups: dict[tuple[int, str], list[HoursEntry]] = {}
    for entry in entries:
        groups.setdefault((entry.task_id, roles[entry.person_id]), []).append(entry)
    for (task_id, role), logged in groups.items():
        minutes = sum(entry.minutes for entry in logged)
        add_labour(
            edit, quote_id, task_id, _quantity_of(picks[task_id].task, minutes), crew=role, override_minutes=minutes,
            reason=_logged_on([entry.day for entry in logged], [entry.note for entry in logged]),
            pick=picks[task_id],
        )  # fmt: skip


def _noted_work(edit: Edit, job_id: int, on: date) -> str:
    """What was noted on the unquoted hours, a point a task: a draft the owner puts into the customer's words."""
    noted = edit.conn.execute(
        select(labour_task.c.name, hours_entry.c.note)
        .join(labour_task, labour_task.c.id == hours_entry.c.task_id)
        .where(hours_entry.c.job_id == job_id, hours_entry.c.unquoted, hours_entry.c.day <= on)
        .order_by(hours_entry.c.day, hours_entry.c.id)
    ).all()
    by_task: dict[str, dict[str, None]] = {}
    for task_name, note in noted:
        if note.strip():
            by_task.setdefault(task_name, {})[note.strip()] = None
    return "\n".join(f"- {task_name}: {'; '.join(notes)}" for task_name, notes in by_task.items())


def _quantity_of(task: LabourTask, minutes: int) -> Decimal:
    """Hours for a task counted in hours; otherwise one, for how many joints or feet it was nobody wrote down."""
    return to_places(Decimal(minutes) / 60, 3) if task.unit == "hour" else Decimal(1)


def _lines_from_materials(edit: Edit, quote_id: int, job_id: int, on: date) -> None:
    uses = fetch_all(
        edit.conn, MaterialUse, material_use,
        material_use.c.job_id == job_id, material_use.c.unquoted, material_use.c.day <= on,
        order=(material_use.c.day, material_use.c.id),
    )  # fmt: skip
    names = {row.id: row.name for row in edit.conn.execute(select(item.c.id, item.c.name))} if uses else {}
    for use in uses:
        description = use.description or names.get(use.item_id or 0, "")
        add_material(
            edit, quote_id, use.item_id, use.quantity, description=description or "Material", unit=use.unit,
            unit_cost=use.unit_cost, waste_percent=Decimal(0), reason=_logged_on([use.day], [use.note]),
        )  # fmt: skip


def _lines_from_other_costs(edit: Edit, quote_id: int, job_id: int, on: date) -> None:
    for cost in fetch_all(
        edit.conn, OtherCost, other_cost,
        other_cost.c.job_id == job_id, other_cost.c.unquoted, other_cost.c.day <= on,
        order=(other_cost.c.day, other_cost.c.id),
    ):  # fmt: skip
        add_other(
            edit, quote_id, cost.kind, cost.quantity, cost.unit_cost, description=cost.description, unit=cost.unit,
            reason=_logged_on([cost.day], [cost.note]),
        )  # fmt: skip


def _logged_on(days: Sequence[date], notes: Sequence[str]) -> str:
    """``logged Mar 3, 2026: slope``."""
    when = ", ".join(format_day_short(day) for day in sorted(set(days)))
    words = "; ".join(dict.fromkeys(note.strip() for note in notes if note.strip()))
    return f"{LOGGED}{when}" + (f": {words}" if words else "")
