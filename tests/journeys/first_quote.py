"""The steps of the first evening in a new company, each told as what one does and what one then sees."""

from __future__ import annotations

import os
from collections.abc import Callable
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

from pypdf import PdfReader
from PySide6.QtCore import Qt
from sqlalchemy import select

from db.commands.jobs import open_job
from db.commands.people import add_customer, add_property
from db.commands.quotes import accept_quote, send_quote, set_goodwill, start_quote
from db.company_file import create_company
from db.queries.firm import day_rates, firm
from db.queries.quote_page import quote_page
from db.tables import job_type
from domain.money import format_money
from domain.quoting.price import build_price
from tests.journeys.at_the_desk import SHIFT, FileDialogs, Person

Key = Qt.Key
Look = Callable[[str], Any]
CUSTOMER = "Łukasz & Søn <Ltd>"


def first_quote(owner: Person, dialogs: FileDialogs, folder: Path, look: Look) -> None:
    """From the welcome page to an accepted quote."""
    begin_company(owner, dialogs, folder, look)
    look_at_the_hour(owner, look)
    add_customer_and_job(owner, look)
    survey(owner, look)
    write_lines(owner, look)
    set_price(owner, look)
    add_option(owner, look)
    write_texts(owner, look)
    save_paper(owner, dialogs, folder, look)
    send(owner, look)
    accept(owner, look)


def company_with_quote(owner: Person, folder: Path) -> None:
    """Open a new company as the first evening leaves it, made at once through the program's own commands."""
    today = date.today()
    path = folder / "Juniper Ridge Radon.riserbook"
    company = create_company(path, "Juniper Ridge Radon", "Wren Osei", today)
    with company, company.action("The first evening", undoable=False) as edit:
        rework = edit.conn.execute(select(job_type.c.id).where(job_type.c.name.startswith("Rework"))).scalar_one()
        customer = add_customer(edit, CUSTOMER, today, kind="firm")
        house = add_property(edit, customer, "9 Alder Court", town="Weller", crawl_space=True, existing_system=True)
        job = open_job(edit, customer, house, rework, None, "", today)
        quote = start_quote(edit, job, today, day_rates(edit.conn, today), firm(edit.conn))
        set_goodwill(edit, quote, 4000, "waited a month for us")
        send_quote(edit, quote, today)
        accept_quote(edit, quote, today)
    owner.open(path)


def begin_company(owner: Person, dialogs: FileDialogs, folder: Path, look: Look) -> None:
    """The firm's name, the owner's name, where to keep it."""
    owner.fill("Your name", "Wren Osei", Key.Key_Return)
    assert owner.sees("Give the firm a name first")
    assert owner.here == "Name of the firm"
    look("welcome")
    dialogs.answer = folder / "evenings"
    owner.type("Juniper Ridge Radon", Key.Key_Return, Key.Key_Return)
    assert dialogs.proposed[-1].endswith("Juniper Ridge Radon.riserbook")
    assert owner.company.path == folder / "evenings.riserbook"
    assert owner.place == "Tonight"
    assert owner.sees("Good evening, Wren", "Three steps, and the first quote is written.")
    look("tonight")


def look_at_the_hour(owner: Person, look: Look) -> None:
    """The first step: what an hour costs, with the ladder that adds up."""
    assert owner.here.startswith("1  Set what an hour costs")
    owner.press(Key.Key_Return)
    assert owner.place == "Firm"
    assert owner.sees("Cost of an hour", "Cost of a billable hour", "The rungs add up to the total.")
    before = owner.desk.company.undo_label
    owner.fill("Pay an hour", "36", Key.Key_Return)
    assert owner.desk.company.undo_label != before
    look("hour")


def add_customer_and_job(owner: Person, look: Look) -> None:
    """Who called, where they live, what they want, with the keyboard alone."""
    owner.ctrl(Key.Key_2)
    owner.ctrl(Key.Key_N)
    assert owner.here == "Name"
    owner.type(CUSTOMER, Key.Key_Tab)
    owner.type("f", Key.Key_Tab)
    assert owner.here == "Phone"
    owner.type("207 555 0143", Key.Key_Tab)
    owner.type("office@example.org", Key.Key_Tab)
    assert owner.here == "Street"
    owner.type("9 Alder Court", Key.Key_Tab)
    owner.type("Weller", Key.Key_Tab)
    look("customer")
    owner.tab_to("Note")
    owner.press(Key.Key_Tab, Key.Key_Return)  # the first button: add, and open a job
    assert owner.place == "Jobs"
    assert owner.here == "Job type"
    owner.type("rework", Key.Key_Return)
    assert owner.field("Job type").currentText() == "Rework of an existing system"
    look("job")
    owner.ctrl(Key.Key_Return)
    assert owner.sees(CUSTOMER, "9 Alder Court, Weller", "inquiry")


def survey(owner: Person, look: Look) -> None:
    """The day, the house, the radon test with its device, what makes an hour longer."""
    assert owner.here == "Survey day"
    owner.type("today", Key.Key_Tab)
    owner.type("hollow block walls, drain tile to a sump", Key.Key_Tab)
    assert owner.sees("surveyed")
    owner.fill("Year built", "62", Key.Key_Tab)
    assert owner.sees("is not a year")
    owner.fill("Year built", "1962", Key.Key_Tab)
    owner.click("Foundation: crawl space")
    assert owner.button("Existing system").isChecked()  # what is reworked is there
    owner.fill("Put in by", "a handyman", Key.Key_Tab)
    owner.fill("Level", "7.8", Key.Key_Tab, Key.Key_Tab)
    assert owner.here == "Device"
    owner.type("charcoal canister", Key.Key_Return, Key.Key_Tab)
    assert owner.here == "Number"
    owner.press(Key.Key_Tab)
    assert owner.here == "Ended"
    owner.type("-6", Key.Key_Tab)
    owner.click("Add test")
    assert owner.sees("7.8 pCi/L", "charcoal canister", "Another test")
    owner.click("Low crawl")
    assert owner.sees("competent person")  # the caution that belongs to it
    look("survey")


def write_lines(owner: Person, look: Look) -> None:
    """The usual lines, and one more of work and of material, typed in place."""
    owner.to_section("Quote")
    owner.press(Key.Key_Return)
    assert owner.here == "Work"  # the usual lines are read from the top; one more is begun below
    before = shown_total(owner)
    owner.table("Work").begin_new()  # type: ignore[attr-defined]
    owner.settle()
    assert owner.here == "Task"
    owner.type("find the fault", Key.Key_Return)
    assert owner.here == "Qty"
    owner.type("2", Key.Key_Return)
    assert shown_total(owner) != before
    assert owner.cell("Work", "Find the fault", "quantity") == "2"
    assert "Low crawl" in owner.cell("Work", "Correct the slope", "reason")
    look("lines")
    table = owner.table("Materials")
    table.begin_new()  # type: ignore[attr-defined]
    owner.settle()
    owner.type("elbow, 90 degrees, 4", Key.Key_Return)
    assert owner.here == "Net"
    owner.type("3", Key.Key_Return)
    assert owner.cell("Materials", "Elbow, 90 degrees, 4 in", "quantity") == "3"
    assert shown_total(owner) == reckoned_total(owner)


def set_price(owner: Person, look: Look) -> None:
    """Another margin, seen while it is typed; goodwill with its reason; the markup beside it."""
    before, markup = shown_total(owner), owner.field("Markup").text()
    owner.fill("Margin", "38")
    while_typing = shown_total(owner)
    assert while_typing != before
    assert owner.field("Markup").text() != markup
    owner.press(Key.Key_Return)
    assert shown_total(owner) == while_typing == reckoned_total(owner)
    owner.fill("Goodwill", "40", Key.Key_Tab)
    assert owner.here == "Why given"
    owner.type("waited a month for us", Key.Key_Tab)
    assert cents(while_typing) - cents(shown_total(owner)) == 4000
    look("price")


def add_option(owner: Person, look: Look) -> None:
    """Something the customer can choose on top, with a price of its own and not in the total."""
    before = shown_total(owner)
    owner.click("Add an option")
    assert owner.here == "Name of the option"
    owner.type("Quieter fan", Key.Key_Tab)
    owner.type("on rubber, hardly heard", Key.Key_Tab)
    owner.tab_to("Materials")
    owner.type("radial", Key.Key_Down, Key.Key_Return)
    owner.type("1", Key.Key_Return)
    assert shown_total(owner) == before
    owner.type("strap", Key.Key_Escape, Key.Key_Escape)  # typing goes on in the empty row; thought better of
    with owner.desk.read() as conn:
        page = quote_page(conn, owner.page.job.job_id, None, owner.desk.today())
    assert page.document is not None
    assert [option.name for option in page.document.options] == ["Quieter fan"]
    look("option")


def write_texts(owner: Person, look: Look) -> None:
    """The words of the paper."""
    owner.ctrl(Key.Key_T)
    owner.fill("Warranty", "Two years on workmanship.", Key.Key_Tab)
    look("texts")


def save_paper(owner: Person, dialogs: FileDialogs, folder: Path, look: Look) -> None:
    """The paper in the window, then as a file that says what it should and nothing it should not."""
    owner.ctrl(Key.Key_P)
    paper = owner.section.preview.paper
    assert paper.page_count() >= 1
    look("paper")
    dialogs.answer = folder / "proposal.pdf"
    owner.click("Save as…")
    if os.name == "posix":
        assert dialogs.answer.stat().st_mode & 0o077 == 0
    text = " ".join(page.extract_text() for page in PdfReader(dialogs.answer).pages)
    flat = " ".join(text.split())
    for words in (
        CUSTOMER, "9 Alder Court", "Juniper Ridge Radon", "7.8 pCi/L", "Two years on workmanship.", "Quieter fan",
        "on rubber, hardly heard", shown_total(owner), "$40.00",
    ):  # fmt: skip
        assert words in flat, words
    for secret in ("Margin", "Markup", "Overhead", "waited a month"):
        assert secret not in flat, secret


def send(owner: Person, look: Look) -> None:
    """Marked as sent it stays as it is; taken back with Ctrl+Z and sent again with Ctrl+Shift+Z."""
    owner.click("Mark as sent")
    assert owner.sees("quoted", "It stays as the customer has it")
    owner.ctrl(Key.Key_L)
    assert not owner.field("Margin").isEnabled()
    table = owner.table("Work") if owner.section.editing.option_id is None else owner.table("Materials")
    rows = len(table.rows_model().rows)
    owner.click(table)
    owner.type("9", Key.Key_Return)
    assert len(table.rows_model().rows) == rows
    assert shown_total(owner) == reckoned_total(owner)
    owner.ctrl(Key.Key_Z)
    assert owner.sees("Mark as sent", "Undone: Send version 1")
    owner.ctrl(Key.Key_Z, SHIFT)
    assert owner.sees("Done again: Send version 1")
    look("sent")


def accept(owner: Person, look: Look) -> None:
    """With the option the customer chose."""
    without = cents(shown_total(owner))
    owner.click("Quieter fan")
    assert owner.sees("with 1 option")
    with_option = shown_total(owner)
    assert cents(with_option) > without
    owner.click("Accepted")
    assert owner.sees("accepted with 1 option")
    assert owner.page.job.price.text() == with_option
    look("accepted")


def shown_total(owner: Person) -> str:
    """The total in the price panel."""
    return str(owner.section.panel.total.text())


def reckoned_total(owner: Person) -> str:
    """The total of what is saved, reckoned anew."""
    editing = owner.section.editing
    with owner.desk.read() as conn:
        page = quote_page(conn, owner.page.job.job_id, editing.quote.id, owner.desk.today())
    assert page.document is not None
    return format_money(build_price(page.document).with_options(editing.ticked).total_cents)


def cents(text: str) -> int:
    """``$1,234.50`` in cents."""
    return int(Decimal(text.replace("$", "").replace(",", "")) * 100)
