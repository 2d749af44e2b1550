"""What a proposal or change order says, in words and amounts: everything the paper prints, decided here."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from typing import TYPE_CHECKING

from domain.closeout.running_cost import running_cost
from domain.dates import format_day, format_day_short
from domain.firm import Firm
from domain.jobs import Job, RadonTest
from domain.library import LabourTask
from domain.money import format_money
from domain.papers.texts import words_of
from domain.people import Contact, Customer, Property
from domain.quoting.change_words import change_words, covered
from domain.quoting.lines import QuoteDocument, QuoteOption
from domain.quoting.price import PriceBuildUp, Totals, build_price
from domain.quoting.scope import scope_words
from domain.quoting.tax import SEPARATED
from domain.units import format_percent, format_quantity, format_radon

if TYPE_CHECKING:  # it brings all that reckons routes and air along
    from domain.job_takeoff.sketch import Sketch


@dataclass(frozen=True, slots=True)
class ProposalFacts:
    """What the paper is made from."""

    firm: Firm
    customer: Customer
    contacts: tuple[Contact, ...]
    house: Property
    job: Job
    job_type: str
    tests: tuple[RadonTest, ...]
    document: QuoteDocument
    agreed_before_cents: int | None  # change orders: accepted proposal and earlier change orders, after goodwill
    action_level: Decimal  # pCi/L
    sketch: Sketch | None = None  # the routes with their air, where a takeoff was made
    logo: bytes | None = None  # the firm's picture, PNG
    own_texts: Mapping[tuple[str, str], str] = field(default_factory=dict)  # the owner's wordings, by paper and part
    fan_watts: Decimal | None = None  # of the fan planned or priced, from its own sheet
    tasks: Mapping[int, LabourTask] = field(default_factory=dict)

    @property
    def task_names(self) -> dict[int, str]:
        """How each task is called."""
        return {task.id: task.name for task in self.tasks.values()}

    @property
    def task_units(self) -> dict[int, str]:
        """What each task is counted in."""
        return {task.id: task.unit for task in self.tasks.values()}


@dataclass(frozen=True, slots=True)
class PriceRow:
    """One row of the price table; ``kind``: part, option, goodwill, note, tax, total, deposit."""

    kind: str
    label: str
    detail: str
    amount: str


@dataclass(frozen=True, slots=True)
class OfferedOption:
    """One option as the customer may choose it."""

    name: str
    description: str
    price: str
    chosen: bool | None  # None: not answered yet


@dataclass(frozen=True, slots=True)
class TestRow:
    """One radon test: when, where, how, what came out, and what that means."""

    when: str
    where: str
    device: str
    result: str
    meaning: str


@dataclass(frozen=True, slots=True)
class Proposal:
    """The paper's contents, in the order they are read."""

    title: str
    reference: str  # job number and version
    facts: tuple[tuple[str, str], ...]  # date, valid until ...
    customer_lines: tuple[str, ...]
    house_lines: tuple[str, ...]
    tests: tuple[TestRow, ...]
    scope_heading: str
    scope: str
    covers: tuple[str, ...]
    not_included: str
    options: tuple[OfferedOption, ...]
    price_rows: tuple[PriceRow, ...]
    price_note: str
    sections: tuple[tuple[str, str], ...]  # heading, text
    acceptance: str
    draft: bool


def proposal(facts: ProposalFacts) -> Proposal:
    """Decide what the paper of a quote says. Pure: the same facts give the same paper."""
    quote = facts.document.quote
    order = quote.kind == "change_order"
    price = build_price(facts.document)
    answered = quote.accepted_on is not None
    name = f"Change order {quote.version}" if order else "Proposal"
    scope = scope_words(facts.document, facts.tasks)
    covers: tuple[str, ...] = ()
    if order:
        scope, covers = change_words(facts.document, facts.task_names, facts.task_units)
    return Proposal(
        title=name,
        reference=f"Job {facts.job.number}" + ("" if order else f", version {quote.version}"),
        facts=_facts(facts),
        customer_lines=_customer_lines(facts),
        house_lines=_house_lines(facts),
        tests=_tests(facts),
        scope_heading="What changes" if order else "What we will do",
        scope=scope,
        covers=covers,
        not_included=quote.not_included_text,
        options=tuple(
            OfferedOption(
                part.option.name, _option_words(facts, part.option), format_money(part.price_cents),
                part.option.chosen if answered else None,
            )
            for part in price.options
            if part.option is not None
        ),
        price_rows=_price_rows(facts, price),
        price_note=_price_note(facts, answered),
        sections=_sections(facts),
        acceptance=_acceptance(facts),
        draft=not quote.frozen,
    )  # fmt: skip


def paper_name(facts: ProposalFacts) -> str:
    """The file name offered: ``Proposal 26-014 v2.pdf``, ``Change order 1 26-014.pdf``."""
    quote = facts.document.quote
    number = "".join(letter if letter.isalnum() or letter in "-_ ." else "-" for letter in facts.job.number)
    if quote.kind == "change_order":
        return f"Change order {quote.version} {number}.pdf"
    return f"Proposal {number} v{quote.version}.pdf"


def _facts(facts: ProposalFacts) -> tuple[tuple[str, str], ...]:
    quote = facts.document.quote
    rows = [("Date", format_day(quote.sent_on or quote.created_on))]
    if quote.expires_on:
        rows.append(("Valid until", format_day(quote.expires_on)))
    if quote.accepted_on:
        rows.append(("Accepted", format_day(quote.accepted_on)))
    return tuple(rows)


def _customer_lines(facts: ProposalFacts) -> tuple[str, ...]:
    billing = [line.strip() for line in facts.customer.billing_address.splitlines() if line.strip()]
    reach = [contact.value for contact in facts.contacts[:3]]
    return (facts.customer.name, *billing, *reach)


def _house_lines(facts: ProposalFacts) -> tuple[str, ...]:
    house = facts.house
    built = f"built {house.year_built}" if house.year_built else ""
    kind = ", ".join(part for part in (house.foundation.replace("not recorded", ""), built) if part)
    system = ""
    if house.existing_system:
        system = "Radon system in place"  # who put it in is the firm's own note, and may be hearsay
    town = " ".join(part for part in (f"{house.town}," if house.town else "", house.region, house.postcode) if part)
    return tuple(line for line in (house.street, town.strip().rstrip(","), kind[:1].upper() + kind[1:], system) if line)


def _tests(facts: ProposalFacts) -> tuple[TestRow, ...]:
    return tuple(_test(facts, test) for test in sorted(facts.tests, key=lambda one: one.ended_on))


def _test(facts: ProposalFacts, test: RadonTest) -> TestRow:
    unit = facts.firm.radon_unit
    level = _level(facts)
    meaning = f"below the action level of {level}"
    if test.result == facts.action_level:
        meaning = f"at the action level of {level}"
    elif test.result > facts.action_level:
        meaning = f"above the action level of {level}"
    if test.started_on and test.started_on != test.ended_on:
        when = f"{format_day_short(test.started_on)} to {format_day_short(test.ended_on)}"
    else:
        when = format_day_short(test.ended_on)
    return TestRow(when, test.place, test.device, format_radon(test.result, unit), meaning)


def _level(facts: ProposalFacts) -> str:
    """The action level as people say it: ``4 pCi/L``, ``148 Bq/m³``."""
    if facts.firm.radon_unit == "pCi/L":
        return format_quantity(facts.action_level, "pCi/L")
    return format_radon(facts.action_level, facts.firm.radon_unit)


def _option_words(facts: ProposalFacts, option: QuoteOption) -> str:
    """The owner's sentence about an option; on a change order its lines where he wrote none."""
    if option.description.strip() or facts.document.quote.kind != "change_order":
        return option.description
    return "; ".join(covered(facts.document, facts.task_names, facts.task_units, option.id))


def _shown_totals(price: PriceBuildUp) -> Totals:
    return price.together if price.quote.accepted_on else price.alone


def _price_rows(facts: ProposalFacts, price: PriceBuildUp) -> tuple[PriceRow, ...]:
    quote, totals = facts.document.quote, _shown_totals(price)
    order = quote.kind == "change_order"
    base = "The change described above" if order else "The work described above"
    rows = [PriceRow("part", base, "", format_money(price.base.price_cents))]
    for part in price.options:
        if part.option is not None and part.option.chosen and quote.accepted_on:
            rows.append(PriceRow("option", part.option.name, "option chosen", format_money(part.price_cents)))
    if totals.goodwill_cents:  # its reason is the owner's own business
        rows.append(PriceRow("goodwill", "Goodwill", "", format_money(-totals.goodwill_cents)))
    if quote.tax_treatment == SEPARATED:
        rows += _separated_rows(totals, quote.tax_percent)
    detail = "comes off the price" if order and totals.total_cents < 0 else ""
    rows.append(PriceRow("total", "Change in price" if order else "Total", detail, format_money(totals.total_cents)))
    if order and facts.agreed_before_cents is not None:
        rows += _agreed_rows(facts.agreed_before_cents, totals, quote.tax_treatment == SEPARATED)
    if quote.deposit_percent and totals.deposit_cents > 0:
        rest = format_money(totals.total_cents - totals.deposit_cents)
        share = format_percent(quote.deposit_percent)
        detail = f"{share} of the total; {rest} remains"
        if price.options and not quote.accepted_on:  # what is asked for then is reckoned with what was chosen
            detail = f"{share} of the total with the options you choose; without options {rest} remains"
        rows.append(PriceRow("deposit", "Deposit on acceptance", detail, format_money(totals.deposit_cents)))
    return tuple(rows)


def _separated_rows(totals: Totals, tax_percent: Decimal) -> list[PriceRow]:
    work = totals.net_price_cents - totals.materials_price_cents
    return [
        PriceRow("note", "of this, materials", "", format_money(totals.materials_price_cents)),
        PriceRow("note", "of this, work and all else", "", format_money(work)),
        PriceRow("tax", f"Sales tax, {format_percent(tax_percent)} on materials", "", format_money(totals.tax_cents)),
    ]


def _agreed_rows(before_cents: int, totals: Totals, taxed: bool) -> list[PriceRow]:
    detail = "before sales tax" if taxed else ""
    return [
        PriceRow("part", "Agreed so far", detail, format_money(before_cents)),
        PriceRow("part", "Agreed with this change", detail, format_money(before_cents + totals.net_price_cents)),
    ]


def _price_note(facts: ProposalFacts, answered: bool) -> str:
    if not facts.document.options or answered:
        return ""
    taxed = facts.document.quote.tax_treatment == SEPARATED
    tax = " and the sales tax on its materials" if taxed else ""
    return f"The total is without options. Each option you tick adds its own price{tax}."


def _sections(facts: ProposalFacts) -> tuple[tuple[str, str], ...]:
    """The texts before the lines to sign: for a proposal what is disclosed before work, by the lists that
    `domain.papers.texts` names; for a change order only the owner's own."""
    quote = facts.document.quote
    level = _level(facts)
    above = (f"If the result is not below {level}", quote.above_action_text)
    warranty = ("Warranty", quote.warranty_text)
    rest = (("Please note", quote.caution_text), ("Terms", quote.terms_text))
    sections: Sequence[tuple[str, str]]
    if quote.kind == "change_order":
        sections = (above, warranty, *rest)
    else:
        sections = (
            ("Test after the work", _own(facts, "after_test")),
            above,
            warranty,
            ("What you look after", _own(facts, "maintenance")),
            ("What it costs to run", _running_words(facts)),
            ("Chemicals used", _own(facts, "chemicals")),
            ("Standard worked to", _standard_words(facts)),
            *rest,
        )
    return tuple((heading, text) for heading, text in sections if text.strip())


def _own(facts: ProposalFacts, part: str) -> str:
    return words_of("proposal", part, facts.own_texts)


def _running_words(facts: ProposalFacts) -> str:
    """The fan's yearly cost where its watts and the price of power are known, and the owner's words on it."""
    firm = facts.firm
    cost = running_cost(facts.fan_watts, firm.electricity_rate, firm.heat_loss_low_cents, firm.heat_loss_high_cents)
    known = [*cost.words] if cost.fan_cents is not None or firm.heat_loss_high_cents else []
    return "\n".join((_own(facts, "running_cost"), *known))


def _standard_words(facts: ProposalFacts) -> str:
    standard = facts.firm.standard_text.strip()
    return f"The system is built to {standard}, and to local code where it asks for more." if standard else ""


def _acceptance(facts: ProposalFacts) -> str:
    quote = facts.document.quote
    what = "change order" if quote.kind == "change_order" else "proposal"
    options = ", with the options I have ticked," if facts.document.options and not quote.accepted_on else ""
    until = f" It is valid until {format_day(quote.expires_on)}." if quote.expires_on and not quote.accepted_on else ""
    return f"I accept this {what}{options} at the price and on the terms above.{until}"
