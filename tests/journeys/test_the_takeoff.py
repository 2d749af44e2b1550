"""Takeoff and buying of the biggest rework: routes typed with keys, list, quote, papers, truck and shop."""

from __future__ import annotations

from pathlib import Path

from pypdf import PdfReader
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QAbstractButton

from tests.journeys.at_the_desk import FileDialogs, Person, quiet_qt
from tests.journeys.first_quote import Look, reckoned_total, shown_total

Key = Qt.Key
pytestmark = quiet_qt

NUMBER = "26-047"
FOUND = (
    "A: pit at -3', crawl 3in up 1', 90, along 11' level, 90, along 7' level near, 90, along 3' level right, fan, "
    "along 2', sleeve, outside along 1', out"
)
PROPOSED = (
    "A: pit at -3', crawl 3in up 1', 45, along 18' rise 1/4, 45, along 3', sleeve, outside 90, up 4', flex to 4in, "
    "fan, flex, up 12', out"
)
FIVE_MINUTES = 5 * 60 * 2
"""Keys of somebody who presses two a second: no typist."""


def words_of(paper: Path) -> str:
    return " ".join(" ".join(page.extract_text() for page in PdfReader(paper).pages).split())


def test_the_biggest_rework_from_its_routes_to_the_shop(
    owner: Person, dialogs: FileDialogs, sample_file: Path, tmp_path: Path, look: Look
) -> None:
    owner.open(sample_file)
    _open_job(owner)
    _revise(owner)
    _type_routes(owner, look)
    _read_list(owner, look)
    _read_air(owner, look)
    _into_the_quote(owner, look)
    _send_and_accept(owner, dialogs, tmp_path, look)
    _work_tomorrow(owner, look)
    _print_pull_sheet(owner, dialogs, tmp_path, look)
    _shop(owner, look)
    _offcuts(owner, look)
    print(f"\ntakeoff and buying: {owner.keys} keys in all")
    assert owner.keys < 3 * FIVE_MINUTES


def _open_job(owner: Person) -> None:
    owner.ctrl(Key.Key_K)
    owner.type(NUMBER)
    owner.bot.wait(300)
    owner.press(Key.Key_Return)
    assert owner.sees(NUMBER, "Rework of an existing system")


def _revise(owner: Person) -> None:
    """The customer wants the routes on the paper: another version begins."""
    owner.to_section("Quote")
    owner.click("Revise")
    assert owner.sees("Version 2  ·  draft")


def _type_routes(owner: Person, look: Look) -> None:
    owner.to_section("Takeoff")
    for _ in range(2):
        owner.click("Remove this route")
    before = owner.keys
    owner.click(owner.section.route_view.tabs.add_found)
    assert owner.here == "The route in words"
    owner.type(FOUND)
    look("found")
    owner.ctrl(Key.Key_R, Qt.KeyboardModifier.ShiftModifier)
    assert owner.here == "The route in words"
    owner.type(PROPOSED)
    owner.ctrl(Key.Key_Return)
    typed = owner.keys - before
    print(f"\nboth routes of {NUMBER}: {typed} keys")
    assert typed <= FIVE_MINUTES
    assert [row.status for row in owner.section.editing.kept.routes] == ["found", "proposed"]
    assert not owner.section.editing.counted.in_the_way
    drawing = owner.section.editing.drawing()
    assert drawing is not None
    assert any("grade" in one.text for one in drawing.labels)
    look("proposed")


def _read_list(owner: Person, look: Look) -> None:
    """Everything is on the list with its price and its reason, so nobody drives to the shop twice."""
    owner.ctrl(Key.Key_L)
    counted = owner.section.editing.counted
    assert not counted.open_lines
    listed = {one.line.key for one in counted.bought if one.quantity}
    for key in ("pipe:3", "pipe:4", "elbow_45:3", "cement", "primer", "fan:4", "label:pipe", "support_hanger:3"):
        assert key in listed, key
    assert all(one.reason for one in counted.bought)
    driven = {one.driver.kind: one for one in counted.driven if one.driver.space == "crawl"}
    assert driven["joint"].pick is not None
    assert driven["joint"].pick.task.name == "Cement joints in crawl space"
    assert driven["support"].minutes > 0
    look("list")


def _read_air(owner: Person, look: Look) -> None:
    owner.ctrl(Key.Key_I)
    assert owner.sees("Only the test after the work shows the radon level reached.")
    look("air")


def _into_the_quote(owner: Person, look: Look) -> None:
    owner.ctrl(Key.Key_T)
    assert owner.here == "What becomes of each line"
    assert owner.sees("Before", "after", "change", "Enter takes it into the quote")
    rows = owner.section.rows.view.made.rows
    assert all(row.reason for row in rows)
    look("rows")
    owner.press(Key.Key_Return)
    assert owner.sees("Taken into the quote")
    if owner.sees("Typed there as well"):
        owner.click(_button_beginning(owner, "Remove "))
    look("taken")
    owner.to_section("Quote")
    made = {line.takeoff_key for line in owner.section.editing.document.materials}
    assert {"pipe:3", "pipe:4", "cement"} <= made
    assert shown_total(owner) == reckoned_total(owner)
    look("quote")


def _send_and_accept(owner: Person, dialogs: FileDialogs, folder: Path, look: Look) -> None:
    owner.click("Mark as sent")
    owner.ctrl(Key.Key_P)
    dialogs.answer = folder / "proposal.pdf"
    owner.click("Save as…")
    said = words_of(dialogs.answer)
    for words in (
        "The route of the pipe", "What the route does for the air (an estimate)", "inches of water",
        "Only the test after the work shows the radon level reached.", shown_total(owner),
    ):  # fmt: skip
        assert words in said, words
    assert "inWC" not in said
    look("paper")
    owner.ctrl(Key.Key_L)
    owner.click("Accepted")
    assert owner.sees("accepted")


def _work_tomorrow(owner: Person, look: Look) -> None:
    owner.open_facts()
    owner.tab_to("First work day")
    owner.ctrl(Key.Key_A)
    owner.type("tomorrow", Key.Key_Return)
    look("scheduled")


def _print_pull_sheet(owner: Person, dialogs: FileDialogs, folder: Path, look: Look) -> None:
    owner.ctrl(Key.Key_5)
    owner.click("Pull sheet")
    assert owner.sees(NUMBER)
    look("pull")
    owner.click("Paper")
    dialogs.answer = folder / "pull.pdf"
    owner.click("Save as…")
    said = words_of(dialogs.answer)
    assert NUMBER in said
    assert "Pipe, 3 in" in said


def _shop(owner: Person, look: Look) -> None:
    """Ticked off with Enter; another price paid is typed first."""
    page = owner.page
    page.show_key("shopping")
    owner.settle()
    table = owner.table("What is to buy")
    rows = len(table.rows_model().rows)
    owner.click(table)
    owner.press(Key.Key_Home, Key.Key_Return)
    assert len(owner.table("What is to buy").rows_model().rows) == rows - 1
    owner.type("9.87", Key.Key_Return)
    assert len(owner.table("What is to buy").rows_model().rows) == rows - 2
    assert owner.sees("Another price than the price list's")
    owner.click(_button_beginning(owner, "Bought lately"))
    bought = owner.table("Bought lately").rows_model().rows
    assert [row.purchase.day for row in bought[:2]] == [owner.desk.today()] * 2
    assert sum(row.differs for row in bought[:2]) == 1
    look("bought")


def _offcuts(owner: Person, look: Look) -> None:
    """Cut as listed: what is left goes on the truck with one key."""
    _open_job(owner)
    owner.to_section("Takeoff")
    owner.ctrl(Key.Key_O, Qt.KeyboardModifier.ShiftModifier)
    assert owner.sees("onto the truck")
    owner.ctrl(Key.Key_5)
    owner.page.show_key("stock")
    owner.settle()
    assert _button_beginning(owner, "Pipe offcuts (").text() != "Pipe offcuts (0)"
    look("truck")


def _button_beginning(owner: Person, words: str) -> QAbstractButton:
    return next(one for one in owner.visible(QAbstractButton) if one.text().startswith(words))
