"""Everything the paper of a proposal or change order is made from."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from sqlalchemy import Connection, select

from db.queries.logo import logo
from db.queries.papers import own_texts
from db.queries.quotes import quote_document, quote_documents
from db.queries.sold_fans import sold_fans
from db.queries.standards import own_standards
from db.records import fetch_all, fetch_one
from db.tables import (
    air_plan,
    company,
    contact,
    customer,
    fan_curve,
    job,
    job_type,
    labour_task,
    material_line,
    property_,
    quote,
    quote_sketch,
    radon_test,
    route,
)
from domain.firm import Firm
from domain.jobs import Job, RadonTest
from domain.library import LabourTask
from domain.people import Contact, Customer, Property
from domain.quoting.lines import Quote
from domain.quoting.price import build_price
from domain.quoting.proposal import ProposalFacts
from domain.standards import standard_on
from domain.standards.trade import FIRST_DAY

if TYPE_CHECKING:
    from domain.job_takeoff.sketch import Sketch



def proposal_facts(conn: Connection, quote_id: int) -> ProposalFacts:
    """The quote with firm, customer, house and radon tests; a change order with what was agreed before it.

    Raises:
        LookupError: there is no such quote.
    """
    document = quote_document(conn, quote_id)
    header = document.quote
    of_job = fetch_one(conn, Job, job, header.job_id)
    return ProposalFacts(
        firm=fetch_one(conn, Firm, company, 1),
        customer=fetch_one(conn, Customer, customer, of_job.customer_id),
        contacts=tuple(fetch_all(conn, Contact, contact, contact.c.customer_id == of_job.customer_id)),
        house=fetch_one(conn, Property, property_, of_job.property_id),
        job=of_job,
        job_type=conn.execute(select(job_type.c.name).where(job_type.c.id == of_job.job_type_id)).scalar_one(),
        tests=tuple(_tests_known(conn, header)),
        document=document,
        agreed_before_cents=_agreed_before(conn, header) if header.kind == "change_order" else None,
        action_level=standard_on("action_level", max(header.created_on, FIRST_DAY), own_standards(conn)).value,
        sketch=_sketch(conn, header),
        logo=logo(conn),
        own_texts=own_texts(conn),
        fan_watts=_fan_watts(conn, header),
        tasks={task.id: task for task in fetch_all(conn, LabourTask, labour_task)},
    )


def _fan_watts(conn: Connection, header: Quote) -> Decimal | None:
    """Watts of the fan the job's air was reckoned with, where that is sold; else of the one fan in the quote."""
    sold = sold_fans(conn, [header.id])
    planned = (
        select(fan_curve.c.watts)
        .join(air_plan, air_plan.c.fan_curve_id == fan_curve.c.id)
        .where(air_plan.c.job_id == header.job_id, fan_curve.c.watts.is_not(None))
    )
    watts = conn.execute(planned.where(fan_curve.c.item_id.in_(sold)) if sold else planned).scalar()
    if watts is None:
        priced = (
            select(fan_curve.c.watts)
            .join(material_line, material_line.c.item_id == fan_curve.c.item_id)
            .where(material_line.c.quote_id == header.id, fan_curve.c.watts.is_not(None))
            .distinct()
        )
        found = list(conn.execute(priced).scalars())
        watts = found[0] if len(found) == 1 else None
    return watts


def _sketch(conn: Connection, header: Quote) -> Sketch | None:
    """The routes on the paper; what reckons them is loaded only for a job that has some."""
    if not conn.execute(select(route.c.id).where(route.c.job_id == header.job_id).limit(1)).first():
        kept = select(quote_sketch.c.id).where(quote_sketch.c.quote_id == header.id)
        if not conn.execute(kept).first():
            return None
    from db.queries.sketches import quote_sketch_of

    return quote_sketch_of(conn, header)


def _tests_known(conn: Connection, header: Quote) -> list[RadonTest]:
    """The job's tests; a sent paper keeps to those that had ended when it was sent."""
    known = () if header.sent_on is None else (radon_test.c.ended_on <= header.sent_on,)
    return fetch_all(conn, RadonTest, radon_test, radon_test.c.job_id == header.job_id, *known)


def _agreed_before(conn: Connection, order: Quote) -> int:
    """The accepted proposal and the change orders accepted before this one, after goodwill, before tax."""
    accepted = fetch_all(
        conn, Quote, quote, quote.c.job_id == order.job_id, quote.c.accepted_on.is_not(None), quote.c.id != order.id
    )
    earlier = [
        one for one in accepted if one.kind == "proposal" or order.accepted_on is None or one.version < order.version
    ]
    return sum(build_price(document).together.net_price_cents for document in quote_documents(conn, earlier))
