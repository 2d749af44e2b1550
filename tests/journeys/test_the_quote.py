"""The first evening: a quote, from the call to the customer's yes."""

from __future__ import annotations

from pathlib import Path

from pypdf import PdfReader
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QAbstractButton

from tests.journeys.at_the_desk import FileDialogs, Person, quiet_qt
from tests.journeys.first_quote import Look, cents, first_quote, reckoned_total, shown_total

Key = Qt.Key
pytestmark = quiet_qt


def test_from_an_empty_company_to_an_accepted_quote(
    owner: Person, dialogs: FileDialogs, tmp_path: Path, look: Look
) -> None:
    first_quote(owner, dialogs, tmp_path, look)


def test_a_draft_of_the_sample_company_is_finished_sent_revised_and_declined(
    owner: Person, dialogs: FileDialogs, sample_file: Path, tmp_path: Path, look: Look
) -> None:
    owner.open(sample_file)
    assert owner.place == "Tonight"
    owner.press(Key.Key_Right)
    draft = _down_to(owner, "draft")
    owner.press(Key.Key_Return)
    assert owner.sees("Version 1  ·  draft", draft.split(",")[0])
    look("draft")

    _own_time(owner, look)
    owner.fill("Margin", "41.5", Key.Key_Return)
    owner.click("Mark as sent")
    sent = shown_total(owner)
    assert sent == reckoned_total(owner)
    owner.click("Revise")
    assert owner.sees("Version 2  ·  draft", "Version 1  ·  sent")
    owner.fill("Goodwill", "120", Key.Key_Tab)
    owner.type("second system in the street", Key.Key_Return)
    assert cents(sent) - cents(shown_total(owner)) == 12000
    owner.click("Mark as sent")
    dialogs.answer = tmp_path / "second.pdf"
    owner.click("Save as…")
    assert shown_total(owner) in " ".join(page.extract_text() for page in PdfReader(dialogs.answer).pages)
    version_1 = next(one for one in owner.visible(QAbstractButton) if one.text().startswith("Version 1"))
    owner.click(version_1)
    assert shown_total(owner) == sent

    owner.click(next(one for one in owner.visible(QAbstractButton) if one.text().startswith("Version 2")))
    owner.click("Declined")
    assert owner.sees("Version 2")
    assert owner.field("Reason for declining").problem() != ""
    owner.type("went with the lowest price", Key.Key_Return)
    look("reason")
    owner.click("Declined")
    assert owner.sees("Declined: went with the lowest price", "declined")
    owner.ctrl(Key.Key_1)
    assert draft not in [one.accessibleName() for one in owner.visible(QAbstractButton)]
    look("tonight")


def _down_to(owner: Person, words: str) -> str:
    """Go down Tonight's lines to the first with these words; the whole line."""
    for _ in range(40):
        if words in owner.here:
            return owner.here
        owner.press(Key.Key_Down)
    raise AssertionError(f"no line of Tonight says {words!r}")


def _own_time(owner: Person, look: Look) -> None:
    """An own time beside the standard, with its reason: the price follows, the standard stays in view."""
    table = owner.table("Work")
    first = table.rows_model().rows[0]
    standard = table.rows_model().text(first, "why")
    before = shown_total(owner)
    owner.click(table)
    table.edit_cell(table.rows_model().id_at(0), "override")
    owner.settle()
    owner.type("9h30", Key.Key_Tab)
    assert owner.here == "Reason"
    owner.type("two floors of finished rooms", Key.Key_Return)
    assert table.rows_model().text(table.rows_model().rows[0], "override") == "9 h 30"
    assert table.rows_model().text(table.rows_model().rows[0], "why") == standard
    assert cents(shown_total(owner)) > cents(before)
    look("own-time")


def test_a_caller_who_is_known_already_is_pointed_out(owner: Person, sample_file: Path, look: Look) -> None:
    owner.open(sample_file)
    owner.ctrl(Key.Key_2)
    known = owner.table("Customers").rows_model().rows[3]
    owner.ctrl(Key.Key_N)
    owner.type(known.name)
    owner.bot.waitUntil(lambda: owner.sees(f"{known.name} may be the same customer"), timeout=3000)
    look("known")
    owner.click("Open that one")
    assert owner.sees("customer since")
    assert owner.field("Name").value() == known.name
