"""What the papers about money say, decided from facts: invoice, credit note, receipt, statement, payment reminder.

Pure: the same facts give the same words and the same cents; the pages are laid out in `desktop.papers`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from domain.billing.aging import BUCKETS, AgingRow
from domain.billing.matching import OpenInvoice
from domain.billing.records import INVOICE_KINDS, MEANS, Invoice, InvoiceLine, Payment
from domain.billing.statement import Statement
from domain.dates import format_day, format_day_short
from domain.firm import Firm
from domain.money import format_money, format_unit_cost
from domain.papers.texts import words_of
from domain.units import format_percent, format_quantity

Own = Mapping[tuple[str, str], str]
"""The owner's wordings, from `db.queries.papers.own_texts`."""


@dataclass(frozen=True, slots=True)
class Row:
    """One row of a table on a paper. ``kind``: part, note, tax, less, total."""

    kind: str
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class MoneyPaper:
    """What stands on one of these papers, in the order it is read.

    Attributes:
        title: e.g. "Deposit invoice"; a draft says so.
        reference: lines under the firm's head at the right.
        facts: named values beneath them.
        to_lines: whom it is for; the first line is the name.
        about_lines: the house or job it is about.
        opening: words before the table.
        columns: the table's headings; the last ones hold figures.
        right_columns: how many of the last columns stand at the right.
        rows: the table.
        boxes: named figures beneath it, the last one the most important.
        closing: paragraphs under it.
        mark: at the foot of each page, e.g. of a draft.
    """

    firm: Firm
    title: str
    reference: tuple[str, ...]
    facts: tuple[tuple[str, str], ...]
    to_word: str
    to_lines: tuple[str, ...]
    about_word: str
    about_lines: tuple[str, ...]
    opening: str
    columns: tuple[str, ...]
    right_columns: int
    rows: tuple[Row, ...]
    boxes: tuple[tuple[str, str], ...]
    closing: tuple[str, ...]
    mark: str = ""


@dataclass(frozen=True, slots=True)
class About:
    """What every one of these papers knows: the firm, who pays, the house and the job."""

    firm: Firm
    own: Own
    customer_lines: tuple[str, ...]
    house_lines: tuple[str, ...] = ()
    job_number: str = ""


def invoice_paper(
    about: About,
    kept: Invoice,
    lines: Sequence[InvoiceLine],
    *,
    tax_cents: int,
    taxable_cents: int,
    credited_number: str = "",
    credited_cents: int = 0,
    payer: str = "",
    open_cents: int | None = None,
) -> MoneyPaper:
    """An invoice or a credit note.

    Args:
        tax_cents, taxable_cents: as issued; for a draft as they would be issued.
        credited_number, credited_cents: a credit note: number and total of the invoice it takes back, in part or whole.
        payer: who really pays, e.g. the closing's escrow.
        open_cents: what is still open of it, None before it is issued.
    """
    credit = kept.kind == "credit_note"
    name = INVOICE_KINDS[kept.kind]
    net = sum(line.net_cents for line in lines)
    sign = -1 if credit else 1  # on a credit note what is credited stands without a sign
    rows = [Row("less" if line.net_cents < 0 else "part", _line_cells(line, sign)) for line in lines]
    if tax_cents or taxable_cents:
        rows.append(Row("note", ("Before tax", "", "", format_money(net * sign))))
        where = f" ({kept.tax_place})" if kept.tax_place else ""
        taxed = format_money(taxable_cents * sign)
        rate = f"Sales tax, {format_percent(kept.tax_percent)} on {taxed} of materials{where}"
        rows.append(Row("tax", (rate, "", "", format_money(tax_cents * sign))))
    total = net + tax_cents
    rows.append(Row("total", ("Total credited" if credit else "Total", "", "", format_money(total * sign))))
    counted = any(row.cells[1] for row in rows)
    if not counted:
        rows = [Row(row.kind, (row.cells[0], row.cells[-1])) for row in rows]
    return MoneyPaper(
        firm=about.firm,
        title=name if kept.issued else f"Draft {name.lower()}",
        reference=_reference(about, f"{name} {kept.number}" if kept.number else f"{name}, draft"),
        facts=_invoice_facts(kept, credited_number, credited_cents, abs(total)),
        to_word="Credit to" if credit else "Bill to",
        to_lines=_lines(kept.bill_to) or about.customer_lines,
        about_word="Property",
        about_lines=about.house_lines,
        opening=kept.reason if credit else _payer_words(about, kept, payer),
        columns=("What for", "Quantity", "Price", "Amount") if counted else ("What for", "Amount"),
        right_columns=3 if counted else 1,
        rows=tuple(rows),
        boxes=_due_box(kept, total, open_cents),
        closing=_invoice_closing(about, kept),
        mark="" if kept.issued else "Draft: not issued, nothing is owed on it yet",
    )


def _line_cells(line: InvoiceLine, sign: int) -> tuple[str, ...]:
    single = line.quantity == 1 and line.unit in ("", "each", "job")
    return (
        line.description,
        "" if single else format_quantity(line.quantity, line.unit),
        "" if single else format_unit_cost(line.unit_price),
        format_money(line.net_cents * sign),
    )


def _invoice_facts(kept: Invoice, credited_number: str, whole_cents: int, cents: int) -> tuple[tuple[str, str], ...]:
    facts = [("Date", format_day(kept.issued_on or kept.created_on))]
    if credited_number:
        part = f"{format_money(cents)} of the {format_money(whole_cents)} of " if cents < whole_cents else ""
        facts.append(("Takes back", f"{part}invoice {credited_number}"))
    elif kept.due_on:
        facts.append(("Due", format_day(kept.due_on)))
    if kept.payer_reference:
        facts.append(("Payer's reference", kept.payer_reference))
    return tuple(facts)


def _payer_words(about: About, kept: Invoice, payer: str) -> str:
    if not payer and not kept.payer_reference:
        return ""
    words = words_of("invoice", "escrow", about.own)
    who = f" Payer: {payer}." if payer else ""
    return f"{words}{who}"


def _due_box(kept: Invoice, total: int, open_cents: int | None) -> tuple[tuple[str, str], ...]:
    if kept.kind == "credit_note":
        return ()
    if open_cents is None or open_cents == total:
        return (("Please pay", format_money(total)),)
    paid = total - open_cents
    return (("Paid or credited so far", format_money(paid)), ("Please pay", format_money(open_cents)))


def _invoice_closing(about: About, kept: Invoice) -> tuple[str, ...]:
    if kept.kind == "credit_note":
        return (words_of("credit_note", "note", about.own),)
    terms = kept.terms_text.strip() or words_of("invoice", "terms", about.own)
    tax = ""
    if kept.tax_treatment == "lump_sum":
        tax = "The price is a lump sum. Sales tax on materials was paid by us when we bought them."
    if kept.tax_treatment == "separated" and kept.kind == "deposit":
        tax = "Sales tax on materials is charged with the final invoice."
    return tuple(part for part in (kept.note.strip(), terms, tax) if part)


def receipt_paper(
    about: About, kept: Payment, matched: Sequence[tuple[str, int]], credit_cents: int
) -> MoneyPaper:
    """A receipt for a payment, or the confirmation of a refund or a returned check.

    Args:
        matched: number of an invoice and the cents of this payment that settle it.
        credit_cents: what is left of the payment as credit.
    """
    refund = kept.kind != "payment"
    rows = [Row("part", (f"Invoice {number}", format_money(cents))) for number, cents in matched]
    if credit_cents:
        rows.append(Row("note", ("Kept as credit for what is invoiced next", format_money(credit_cents))))
    amount = -kept.amount_cents if refund else kept.amount_cents
    titles = {"payment": "Receipt", "refund": "Refund", "returned": "Returned payment"}
    title = titles[kept.kind]
    rows.append(Row("total", ("Paid back" if refund else "Received", format_money(amount))))
    how = [MEANS[kept.means]]
    if kept.reference:
        how.append(kept.reference)
    facts = [("Date", format_day(kept.received_on)), ("By", ", ".join(how))]
    if kept.payer:
        facts.append(("From", kept.payer))
    return MoneyPaper(
        firm=about.firm, title=title,
        reference=_reference(about, f"{title} {kept.number}" if kept.number else title), facts=tuple(facts),
        to_word="For", to_lines=about.customer_lines, about_word="Property", about_lines=about.house_lines,
        opening="", columns=("What it settles", "Amount"), right_columns=1, rows=tuple(rows), boxes=(),
        closing=() if refund else (words_of("receipt", "thanks", about.own),),
    )  # fmt: skip


def statement_paper(about: About, account: Statement, age: AgingRow | None) -> MoneyPaper:
    """A customer's account: each event with the balance after it, and how old what is owed is."""
    rows = []
    if account.starts_on is not None:
        before = format_money(account.opening_cents)
        rows.append(Row("note", (format_day_short(account.starts_on), "Balance before", "", before)))
    for line in account.lines:
        job = f", job {line.job}" if line.job else ""
        due = f", due {format_day_short(line.due_on)}" if line.due_on else ""
        rows.append(
            Row(
                "less" if line.amount_cents < 0 else "part",
                (
                    format_day_short(line.day), f"{line.words}{job}{due}", format_money(line.amount_cents),
                    format_money(line.balance_cents),
                ),
            )
        )  # fmt: skip
    closing = account.closing_cents
    words = "You have a credit of" if closing < 0 else "Please pay" if closing else "Nothing is owed"
    rows.append(Row("total", ("", words, "", format_money(abs(closing)))))
    boxes: list[tuple[str, str]] = []
    if age is not None and age.open_cents:
        boxes = [
            (f"{name[:1].upper()}{name[1:]} past due" if place else "Not yet due", format_money(cents))
            for place, (name, cents) in enumerate(zip(BUCKETS, age.buckets, strict=True))
        ]
    starts = f"{format_day_short(account.starts_on)} to " if account.starts_on else "up to "
    return MoneyPaper(
        firm=about.firm, title="Statement of account", reference=(), facts=(
            ("Date", format_day(account.ends_on)), ("Shows", f"{starts}{format_day_short(account.ends_on)}"),
        ),
        to_word="For", to_lines=about.customer_lines, about_word="", about_lines=(), opening="",
        columns=("Day", "What", "Amount", "Balance"), right_columns=2, rows=tuple(rows), boxes=tuple(boxes),
        closing=(words_of("statement", "note", about.own),),
    )  # fmt: skip


def reminder_paper(
    about: About, overdue: Sequence[OpenInvoice], credit_cents: int, today: date
) -> MoneyPaper:
    """A polite letter about invoices past their due day."""
    rows = [
        Row(
            "part",
            (
                f"{INVOICE_KINDS[one.kind]} {one.number}", format_day_short(one.issued_on),
                format_day_short(one.due_on), _days(one.days_overdue(today)), format_money(one.open_cents),
            ),
        )
        for one in overdue
    ]  # fmt: skip
    owed = sum(one.open_cents for one in overdue)
    if credit_cents:
        rows.append(Row("less", ("Your credit with us", "", "", "", format_money(-credit_cents))))
    rows.append(Row("total", ("Please pay", "", "", "", format_money(owed - credit_cents))))
    return MoneyPaper(
        firm=about.firm, title="Payment reminder", reference=(), facts=(("Date", format_day(today)),),
        to_word="To", to_lines=about.customer_lines, about_word="", about_lines=(),
        opening=words_of("reminder", "first", about.own),
        columns=("Invoice", "Issued", "Was due", "Overdue", "Open"), right_columns=2, rows=tuple(rows), boxes=(),
        closing=(words_of("invoice", "terms", about.own),),
    )  # fmt: skip


def _days(days: int) -> str:
    return "1 day" if days == 1 else f"{days} days"


def _reference(about: About, name: str) -> tuple[str, ...]:
    job = f"Job {about.job_number}" if about.job_number else ""
    return tuple(part for part in (name, job) if part)


def _lines(text: str) -> tuple[str, ...]:
    return tuple(line.strip() for line in text.splitlines() if line.strip())


