"""What the owner does with a job as a whole: open it, set its days, end it, note who and what hangs on it."""

from __future__ import annotations

from collections.abc import Collection
from datetime import date
from typing import Any

from sqlalchemy import select

from db.commands.checks import count_where, needed, only, tidied
from db.commands.closing import settle_answers
from db.commands.visits import bring_back_visits, call_off_visits, mark_work_done, schedule_first_work
from db.company_file.problems import Refused
from db.edit import Edit
from db.records import fetch_one
from db.tables import customer, deadline, invoice, job, job_condition, party, property_, visit
from domain.dates import format_day_short
from domain.job_dates import date_problem, next_job_number
from domain.jobs import PARTY_ROLES, Job
from domain.people import Customer, Property

_FREE_FIELDS = {"number", "customer_id", "property_id", "job_type_id", "lead_source_id", "title", "note", "opened_on"}


def open_job(
    edit: Edit, customer_id: int, property_id: int, job_type_id: int, lead_source_id: int | None,
    title: str, on: date, number: str | None = None,
) -> int:  # fmt: skip
    """Open a job and return its id; without a number it gets the next one of its year, e.g. 26-014."""
    owner = fetch_one(edit.conn, Customer, customer, customer_id)
    if owner.archived_on:
        raise Refused(f"{owner.name} is archived.", "Bring the customer back first, on the customer's page.")
    _check_place(edit, customer_id, property_id)
    if number is None:
        number = next_job_number(edit.conn.execute(select(job.c.number)).scalars(), on)
    return edit.add(
        job, number=_free_number(edit, number), customer_id=customer_id, property_id=property_id,
        job_type_id=job_type_id, lead_source_id=lead_source_id, title=title.strip(), opened_on=on,
    )  # fmt: skip


def change_job(edit: Edit, job_id: int, **values: Any) -> None:
    """Change number, customer_id, property_id, job_type_id, lead_source_id, title, note or opened_on.

    A job given to another customer must be given a property of that customer in the same call.
    """
    only(values, _FREE_FIELDS)
    kept = fetch_one(edit.conn, Job, job, job_id)
    if "number" in values and values["number"].strip() != kept.number:
        values["number"] = _free_number(edit, values["number"])
    if {"customer_id", "property_id"} & set(values):
        if values.get("customer_id", kept.customer_id) != kept.customer_id:
            _refuse_billed(edit, kept, "its invoices are the present customer's", "Credit them first.")
        _check_place(
            edit, values.get("customer_id", kept.customer_id), values.get("property_id", kept.property_id)
        )
    if "opened_on" in values:
        _check_day(kept, "opened_on", values["opened_on"])
    edit.change(job, job_id, **tidied(values))


def delete_job(edit: Edit, job_id: int) -> None:
    """Delete a job opened by mistake: nothing quoted, logged, tested or surveyed on it, no visit made yet.

    Raises:
        Refused: something hangs on the job; cancelling is offered.
    """
    kept = fetch_one(edit.conn, Job, job, job_id)
    slight = {"job_condition", "party", "deadline", "visit"}
    others = [table for table in job.metadata.sorted_tables if table.name not in slight]
    pointing = [column for table in others for column in table.c if column.references(job.c.id)]
    made = count_where(edit.conn, visit, visit.c.job_id == job_id, visit.c.done_on.is_not(None))
    if made or any(count_where(edit.conn, column.table, column == job_id) for column in pointing):
        raise Refused(
            f"Job {kept.number} already has a survey, a quote or entries, and they would be lost.",
            "Cancel it with a reason instead.",
        )
    for table in (job_condition, party, deadline, visit):
        edit.remove_where(table, table.c.job_id == job_id)
    edit.remove(job, job_id)


def set_conditions(edit: Edit, job_id: int, condition_ids: Collection[int]) -> None:
    """Make these the job's access conditions; they say which labour factors its quote starts with."""
    wanted = set(condition_ids)
    rows = edit.conn.execute(
        select(job_condition.c.id, job_condition.c.condition_id).where(job_condition.c.job_id == job_id)
    ).all()
    for row in rows:
        if row.condition_id not in wanted:
            edit.remove(job_condition, row.id)
    for condition_id in sorted(wanted - {row.condition_id for row in rows}):
        edit.add(job_condition, job_id=job_id, condition_id=condition_id)


# Days and endings


def schedule_job(edit: Edit, job_id: int, on: date | None, *, today: date | None = None) -> None:
    """Set the first work day: its first work visit is booked or moved; None takes it away.

    With `today` the visits are called off on that day, so that calendars elsewhere learn of it; else they go.
    """
    _check_day(fetch_one(edit.conn, Job, job, job_id), "scheduled_on", on)
    schedule_first_work(edit, job_id, on, today)


def mark_installed(edit: Edit, job_id: int, on: date | None) -> None:
    """Set the day the work stood and the fan was on, and with it the work visits done; None takes it away."""
    before = fetch_one(edit.conn, Job, job, job_id).installed_on
    _set_day(edit, job_id, "installed_on", on)
    mark_work_done(edit, job_id, on, before)


def mark_invoiced(edit: Edit, job_id: int, on: date | None) -> None:
    """Set the day of the final invoice by hand; None takes it away.

    Raises:
        Refused: the job has invoices, which set the day themselves.
    """
    _refuse_billed(edit, fetch_one(edit.conn, Job, job, job_id), *_BY_INVOICES)
    _set_day(edit, job_id, "invoiced_on", on)


def mark_paid(edit: Edit, job_id: int, on: date | None) -> None:
    """Set the day the last of the money came, by hand; None takes it away.

    Raises:
        Refused: the job was not invoiced yet, or has invoices, whose payments set the day themselves.
    """
    kept = fetch_one(edit.conn, Job, job, job_id)
    _refuse_billed(edit, kept, *_BY_INVOICES)
    if on is not None and kept.invoiced_on is None:
        raise Refused(f"Job {kept.number} has no day of invoice yet.", "Enter that first, then the payment.")
    _set_day(edit, job_id, "paid_on", on)


def close_job(edit: Edit, job_id: int, on: date) -> None:
    """Close a job: nothing more is expected on it, and it counts in Margins.

    How many quoted lines have neither a log nor an answer is kept with it: above nothing it is not fully logged, and
    the record does not learn of it.
    """
    kept = fetch_one(edit.conn, Job, job, job_id)
    if kept.cancelled_on:
        raise Refused(f"Job {kept.number} was canceled and needs no closing.", "Reopen it if that was a mistake.")
    _check_day(kept, "closed_on", on)
    edit.change(job, job_id, closed_on=on, unanswered=settle_answers(edit, job_id))


def reopen_job(edit: Edit, job_id: int) -> None:
    """Take a closing or a cancelling back; visits called off with the job stand again."""
    kept = fetch_one(edit.conn, Job, job, job_id)
    edit.change(job, job_id, closed_on=None, unanswered=0, cancelled_on=None, cancelled_reason="")
    if kept.cancelled_on is not None:
        bring_back_visits(edit, job_id, kept.cancelled_on)


def cancel_job(edit: Edit, job_id: int, on: date, reason: str) -> None:
    """Cancel a job that will not be done or finished, with the reason.

    Raises:
        Refused: no reason, the job is paid or closed, or the day lies before its opening.
    """
    kept = fetch_one(edit.conn, Job, job, job_id)
    reason = needed(reason, "Say in a few words why the job is canceled; it helps when quotes are reviewed.")
    if kept.paid_on or kept.closed_on:
        word = "paid" if kept.paid_on else "closed"
        raise Refused(f"Job {kept.number} is {word} already.", "Take that back first if it was a mistake.")
    if on < kept.opened_on:
        raise Refused(
            f"The job was opened on {format_day_short(kept.opened_on)};"
            f" it cannot have been canceled on {format_day_short(on)}."
        )
    call_off_visits(edit, job_id, on)
    edit.change(job, job_id, cancelled_on=on, cancelled_reason=reason)


# Who else has a part in it, and by when


def add_party(
    edit: Edit, job_id: int, role: str, name: str, *, phone: str = "", mail: str = "", note: str = ""
) -> int:
    """Note somebody with a part in the job and return the id; role is one of PARTY_ROLES."""
    _check_role(role)
    name = needed(name, "Type the name of the person first.")
    return edit.add(
        party, job_id=job_id, role=role, name=name, phone=phone.strip(), mail=mail.strip(), note=note.strip()
    )


def change_party(edit: Edit, party_id: int, **values: Any) -> None:
    """Change role, name, phone, mail or note."""
    only(values, {"role", "name", "phone", "mail", "note"})
    if "role" in values:
        _check_role(values["role"])
    if "name" in values:
        needed(values["name"], "Type the name of the person, or remove the line.")
    edit.change(party, party_id, **tidied(values))


def remove_party(edit: Edit, party_id: int) -> None:
    """Take somebody off the job.

    Raises:
        Refused: an invoice names them as the payer.
    """
    named = edit.conn.execute(select(invoice.c.number).where(invoice.c.payer_id == party_id)).first()
    if named:
        paper = f"invoice {named.number}" if named.number else "a draft invoice"
        raise Refused(f"They are the payer of {paper}.", "Leave them on the job, or choose another payer first.")
    edit.remove(party, party_id)


def add_deadline(edit: Edit, job_id: int, due_on: date, reason: str) -> int:
    """Note a day the job must meet and why (closing date, inspection, permit); return the id."""
    reason = needed(reason, "Say what happens on that day, for example closing date.")
    return edit.add(deadline, job_id=job_id, due_on=due_on, reason=reason)


def change_deadline(
    edit: Edit, deadline_id: int, *, due_on: date | None = None, reason: str | None = None
) -> None:
    """Move a deadline or reword its reason."""
    values: dict[str, Any] = {}
    if due_on is not None:
        values["due_on"] = due_on
    if reason is not None:
        values["reason"] = needed(reason, "Say what happens on that day, or remove the deadline.")
    if values:
        edit.change(deadline, deadline_id, **values)


def mark_deadline_met(edit: Edit, deadline_id: int, met: bool = True) -> None:
    """Tick a deadline off, or take the tick back."""
    edit.change(deadline, deadline_id, met=met)


def remove_deadline(edit: Edit, deadline_id: int) -> None:
    """Take a deadline away."""
    edit.remove(deadline, deadline_id)


_BY_INVOICES = ("its invoices and their payments set this day", "See the job's Money section.")


def _refuse_billed(edit: Edit, kept: Job, why: str, advice: str) -> None:
    if count_where(edit.conn, invoice, invoice.c.job_id == kept.id):
        raise Refused(f"Job {kept.number} has invoices, and {why}.", advice)


def _set_day(edit: Edit, job_id: int, step: str, on: date | None) -> None:
    kept = fetch_one(edit.conn, Job, job, job_id)
    _check_day(kept, step, on)
    if on is None and step == "invoiced_on" and kept.paid_on:
        raise Refused("The job is marked paid.", "Take the day of payment away first, then that of the invoice.")
    edit.change(job, job_id, **{step: on})


def _check_day(kept: Job, step: str, on: date | None) -> None:
    if problem := date_problem(kept, step, on):
        raise Refused(problem)


def _check_place(edit: Edit, customer_id: int, property_id: int) -> None:
    house = fetch_one(edit.conn, Property, property_, property_id)
    if house.customer_id != customer_id:
        raise Refused(f"{house.street} belongs to another customer.", "Choose one of this customer's properties.")


def _free_number(edit: Edit, number: str) -> str:
    number = needed(number, "A job needs a number. Leave the field alone to keep the one it has.")
    if count_where(edit.conn, job, job.c.number == number):
        raise Refused(f"There is a job {number} already.", "Choose another number.")
    return number


def _check_role(role: str) -> None:
    if role not in PARTY_ROLES:
        raise Refused(f"“{role}” is not one of the parts one can have: {', '.join(PARTY_ROLES)}.")
