"""The first days of a house sale: the call, the survey, the quote and the customer's yes, with keys where one types."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from pypdf import PdfReader
from PySide6.QtCore import Qt

from db.company_file import create_company
from tests.journeys.at_the_desk import FileDialogs, Person
from tests.journeys.first_quote import Look, cents, shown_total

Key = Qt.Key
CALL, ACCEPTED, WORK, PLACED, PICKED, CLOSING = (date(2026, 3, day) for day in (2, 3, 5, 9, 11, 16))
SELLER, BUYER, ESCROW, ESCROW_FILE = "Ines Marlowe", "Theo Brandt", "Harbor Lantern Title", "HL-20417"


def flat(path: Path) -> str:
    """All words of a PDF, in one line."""
    return " ".join(" ".join(page.extract_text() for page in PdfReader(path).pages).split())


def begin_small(owner: Person, folder: Path) -> None:
    """An empty company of that day, in the smallest window the program is made for."""
    create_company(folder / "Juniper Ridge Radon.riserbook", "Juniper Ridge Radon", "Wren Osei", CALL).close()
    owner.open(folder / "Juniper Ridge Radon.riserbook")
    owner.window.resize(1280, 800)
    live_on(owner, CALL)


def live_on(owner: Person, day: date) -> None:
    """It is the evening of that day: everything on the screen is read again."""
    owner.desk._today = lambda: day
    owner.desk.changed.emit()
    owner.settle()


def take_the_call(owner: Person, look: Look) -> None:
    """The seller, the house, the job, its closing date, and who else has a part."""
    owner.ctrl(Key.Key_2)
    owner.ctrl(Key.Key_N)
    owner.type(SELLER, Key.Key_Tab, Key.Key_Tab)
    assert owner.here == "Phone"
    owner.type("207 555 0188", Key.Key_Tab, Key.Key_Tab)
    assert owner.here == "Street"
    owner.type("31 Fennel Lane", Key.Key_Tab)
    owner.type("Weller", Key.Key_Tab)
    owner.tab_to("Note")
    owner.press(Key.Key_Tab, Key.Key_Return)
    assert owner.here == "Job type"
    owner.type("rework", Key.Key_Return)
    owner.ctrl(Key.Key_Return)
    assert owner.sees(SELLER, "31 Fennel Lane, Weller", "inquiry")

    owner.open_facts()
    owner.fill("Day of a new deadline", "+14", Key.Key_Tab)
    assert owner.here == "Reason of a new deadline"
    owner.type("closing date", Key.Key_Return, Key.Key_Tab)
    owner.press(Key.Key_Space)
    assert owner.sees("in 14 days", "the work has to begin by")
    for role, name in (("buyer", BUYER), ("closing escrow", ESCROW)):
        owner.fill("Part of a new person", role, Key.Key_Return)
        owner.fill("Name of a new person", name, Key.Key_Return)
    assert [one.text() for one in owner.visible() if one.accessibleName() == "Name of a party"] == [BUYER, ESCROW]
    look("called")
    owner.ctrl(Key.Key_1)
    assert owner.sees("Deadlines near")
    look("called-tonight")
    owner.alt(Key.Key_2)
    look("called-week")
    owner.alt(Key.Key_1)


def survey_the_house(owner: Person, look: Look) -> None:
    """The day, the house with the system of another, and the test of the buyer's inspector."""
    open_job(owner)
    owner.to_section("Survey")
    owner.fill("Survey day", "today", Key.Key_Tab)
    owner.type("fan hums, nothing moves in the gauge", Key.Key_Tab)
    owner.fill("Year built", "1962", Key.Key_Tab)
    owner.click("Foundation: basement")
    assert owner.button("Existing system").isChecked()  # what is reworked is there
    owner.fill("Put in by", "a handyman", Key.Key_Tab)
    owner.fill("Level", "7.8", Key.Key_Tab, Key.Key_Tab)
    owner.type("charcoal canister", Key.Key_Return)
    owner.fill("Ended", "2/26", Key.Key_Tab)
    owner.fill("Where", "family room, lowest level", Key.Key_Tab)
    owner.click("Add test")
    assert owner.sees("7.8 pCi/L", "charcoal canister", "surveyed")
    look("surveyed")


def quote_and_accept(owner: Person, dialogs: FileDialogs, folder: Path, look: Look) -> str:
    """The usual lines, sent the same evening; accepted the next day. Returns the price shown."""
    owner.to_section("Quote")
    owner.press(Key.Key_Return)  # begin with the usual lines
    owner.fill("Goodwill", "40", Key.Key_Tab)
    owner.type("works around the movers", Key.Key_Return)
    owner.fill("Sales tax", "Separated", Key.Key_Return)
    owner.fill("Rate", "8.875", Key.Key_Return)
    look("quoted")
    owner.ctrl(Key.Key_P)
    dialogs.answer = folder / "proposal.pdf"
    owner.click("Save as…")
    said = flat(dialogs.answer)
    for words in (SELLER, "31 Fennel Lane", "7.8 pCi/L", shown_total(owner)):
        assert words in said, words
    look("proposal")
    owner.click("Mark as sent")
    assert owner.sees("quoted", "It stays as the customer has it")
    live_on(owner, ACCEPTED)
    owner.click("Accepted")
    assert owner.sees("accepted")
    assert cents(shown_total(owner)) > 0
    look("accepted")
    return shown_total(owner)


def open_job(owner: Person) -> None:
    """The job by its number, from anywhere."""
    owner.ctrl(Key.Key_K)
    owner.type("26-001", Key.Key_Return)
    assert owner.place == "Jobs"
