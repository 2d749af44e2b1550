"""The middle of a house sale: visits booked against the closing, the work logged, tested, checked and handed over."""

from __future__ import annotations

from pathlib import Path

from pypdf import PdfReader
from PySide6.QtCore import Qt

from db.queries.papers import latest_paper_of, paper_pdf
from tests.journeys.at_the_desk import FileDialogs, Person
from tests.journeys.first_quote import Look
from tests.journeys.house_sale_start import BUYER, PICKED, PLACED, SELLER, WORK, flat, live_on, open_job

Key = Qt.Key


def book(owner: Person, what: str, day: str, at: str, device: str = "") -> None:
    """Book a visit on the job that is shown, with keys."""
    owner.alt(Key.Key_B)
    assert owner.here == "What for"
    owner.fill("What for", what, Key.Key_Return)
    if device:
        owner.fill("Device", device, Key.Key_Return)
    owner.fill("Day", day, Key.Key_Tab)
    owner.fill("From", at, Key.Key_Tab)


def plan_the_days(owner: Person, look: Look) -> None:
    """A day too late is told while it is typed; then work, test placed and picked up stand before the closing."""
    open_job(owner)
    book(owner, "work", "3/12", "8")
    assert owner.sees("the work is booked for Thu, Mar 12, 8 am, later than Sun, Mar 8, 9 am")
    look("too-late")
    owner.fill("Day", "3/5", Key.Key_Tab)
    assert not owner.sees("later than")
    look("work-day")
    owner.ctrl(Key.Key_Return)
    book(owner, "place test", "3/9", "9", "continuous monitor")
    owner.ctrl(Key.Key_Return)
    book(owner, "pick up test", "3/11", "9:30", "continuous monitor")
    owner.ctrl(Key.Key_Return)
    assert owner.sees("scheduled")
    look("booked")
    owner.ctrl(Key.Key_1)
    owner.alt(Key.Key_2)
    look("booked-week")
    owner.alt(Key.Key_3)
    look("booked-month")
    owner.alt(Key.Key_1)


def fan_on_and_day_logged(owner: Person, look: Look) -> None:
    """The evening of the work day: Tonight leads to the log; then the fan's start, its suction, its indicator."""
    owner.ctrl(Key.Key_2)
    live_on(owner, WORK)
    owner.ctrl(Key.Key_1)
    assert owner.here.startswith(f"Log today on {SELLER}"), owner.here
    look("work-evening")
    owner.press(Key.Key_Return)
    owner.type("a", Key.Key_Return)
    owner.type("a", Key.Key_Return)
    owner.type("2h15", Key.Key_Return)
    owner.press(Key.Key_Escape)
    look("logged")
    owner.to_section("Closeout")
    look("closeout-empty")
    owner.fill("Fan on", "today", Key.Key_Tab)
    owner.fill("At", "3:30 pm", Key.Key_Tab)
    assert owner.sees("installed", "A test after the work can begin on")
    owner.fill("Fan", "RX-2 in-line fan (invented)", Key.Key_Tab)
    owner.fill("Fan's power", "48", Key.Key_Tab)
    owner.fill("Suction at start", "1.4", Key.Key_Tab)
    owner.fill("Read on", "today", Key.Key_Tab)
    owner.fill("Indicator", "U-tube gauge", Key.Key_Return)
    owner.fill("Where it hangs", "by the furnace", Key.Key_Tab)
    owner.fill("Warranty until", "3/5/2028", Key.Key_Tab)
    owner.fill("What was built", "One suction point in the slab, 4 in. pipe through the garage, fan in its attic.")
    owner.press(Key.Key_Tab)
    look("system")


def measure_after_the_work(owner: Person, look: Look) -> None:
    """Too early a test is told; the full record is typed; its timing meets the rules, and the reduction is said."""
    live_on(owner, PLACED)
    live_on(owner, PICKED)
    owner.click("Another test")
    owner.fill("Level", "1.9", Key.Key_Tab)
    owner.fill("When", "after", Key.Key_Return)
    owner.fill("Device", "continuous monitor", Key.Key_Return)
    owner.fill("Number", "CM-7", Key.Key_Tab)
    owner.fill("Ended", "today", Key.Key_Tab)
    owner.fill("Ended at", "9:30", Key.Key_Tab)
    owner.fill("Began", "3/9", Key.Key_Tab)
    owner.fill("Began at", "9", Key.Key_Tab)
    owner.fill("Where", "family room, lowest level", Key.Key_Tab)
    owner.fill("Closed house", "yes", Key.Key_Return)
    owner.fill("By whom", "Wren Osei", Key.Key_Tab)
    owner.click("Add test")
    assert owner.sees("1.9 pCi/L", "The timing meets the rules.", "tested"), owner.words()
    look("tested")


def close_out(owner: Person, look: Look) -> None:
    """A defect put right, one point not applicable, one with a note, the rest OK: keys alone in the list."""
    owner.fill("What is wrong", "water stood in the run", Key.Key_Tab)
    owner.fill("Rule it misses", "pipe slopes back to the suction point", Key.Key_Tab)
    owner.click("Note the defect")
    owner.click("Put right")
    look("defects")
    owner.click(owner.table("Checklist"))
    owner.ctrl(Key.Key_Home)
    owner.type("o-o")
    answers = [row.answer.answer for row in owner.table("Checklist").rows_model().rows[:3]]
    assert answers == ["ok", "not_applicable", "ok"]
    owner.click("The rest is OK")
    assert not owner.button("The rest is OK").isEnabled()
    look("checklist")


def hand_over_papers(owner: Person, dialogs: FileDialogs, folder: Path, look: Look) -> None:
    """The pack, the label at its size, the letter for the buyer: each read back as what one would hand over."""
    owner.click("Look at the pack")
    look("pack")
    dialogs.answer = folder / "pack.pdf"
    owner.click("Save as…")
    owner.press(Key.Key_Escape)
    said = flat(dialogs.answer)
    for words in (
        "Draft: not handed over yet", "1.9 pCi/L", "7.8 pCi/L", "CM-7", "U-tube gauge", "water stood in the run",
    ):  # fmt: skip
        assert words in said, words
    owner.click("Hand over the pack…")
    assert owner.here == "Given to"
    owner.ctrl(Key.Key_A)
    owner.type(BUYER)
    look("hand-over")
    owner.press(Key.Key_Return)
    owner.click("Save as…")
    assert "Draft" not in flat(dialogs.answer)
    owner.press(Key.Key_Escape)
    assert owner.sees(f"Handed over to {BUYER}")
    look("handed-over")

    owner.click(next(one for one in owner.section.handover.labels))
    dialogs.answer = folder / "label.pdf"
    owner.click("Save as…")
    look("label")
    box = PdfReader(dialogs.answer).pages[0].mediabox
    assert (float(box.width), float(box.height)) == (4 * 72, 3 * 72)  # the size its button names, in points
    owner.press(Key.Key_Escape)

    owner.click("Keep the label…")
    assert owner.here == "Size"
    owner.click("Keep it")
    assert owner.sees("The label is kept among the papers")
    owner.click("Letter…")
    assert owner.here == "For"
    look("letter-for")
    owner.click("Write the letter")
    dialogs.answer = folder / "letter.pdf"
    owner.click("Save as…")
    look("letter")
    said = flat(dialogs.answer)
    for words in (BUYER, "31 Fennel Lane", "1.9 pCi/L", "U-tube gauge"):
        assert words in said, words
    with owner.desk.read() as conn:
        kept = latest_paper_of(conn, "letter", job_id=1)
        assert kept is not None
        assert paper_pdf(conn, kept)[1] == dialogs.answer.read_bytes()
    owner.press(Key.Key_Escape)
