"""Customers and Jobs side by side on one desk, as the window has them, without the window."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QStackedWidget, QWidget
from pytestqt.qtbot import QtBot

from db.company_file.company import Company
from desktop.desk import Desk
from desktop.pages.customers import CustomersPage
from desktop.pages.jobs import JobsPage
from tests.small_company import TODAY


class PagesAtWork(QStackedWidget):
    """The two pages; follows `Desk.go`, refreshes after every action, remembers what was said."""

    def __init__(self, company: Company) -> None:
        super().__init__()
        self.desk = Desk(company, lambda: TODAY)
        self.said: list[str] = []
        self.customers, self.jobs = CustomersPage(self.desk), JobsPage(self.desk)
        for page in (self.customers, self.jobs):
            self.addWidget(page)
        self.desk.asked_for.connect(self.go)
        self.desk.changed.connect(lambda: self.currentWidget().refresh())  # type: ignore[attr-defined]
        self.desk.spoke.connect(lambda text, *_: self.said.append(text))
        self.resize(1280, 760)

    def go(self, place: str, key: object = None, section: str = "") -> None:
        """As the window does it."""
        page = {"customers": self.customers, "jobs": self.jobs}[place]
        self.setCurrentWidget(page)
        if key is not None or section:
            page.show_key(key, section)
        else:
            page.refresh()


def show(qtbot: QtBot, company: Company, place: str) -> PagesAtWork:
    """The pages on the screen, at one of them."""
    pages = PagesAtWork(company)
    qtbot.addWidget(pages)
    with qtbot.waitExposed(pages):
        pages.show()
    pages.activateWindow()
    pages.go(place)
    return pages


def type_into(qtbot: QtBot, field: QWidget, words: str, end: Qt.Key | None = Qt.Key.Key_Return) -> None:
    """Put the cursor into a field, replace what stands there, and press Enter (or another key)."""
    field.setFocus()
    target = field.lineEdit() if hasattr(field, "lineEdit") else field
    target.selectAll()
    qtbot.keyClicks(target, words)
    if end is not None:
        qtbot.keyClick(target, end)


def focused(pages: QWidget) -> QWidget:
    """The widget that gets the next key."""
    found = pages.window().focusWidget()
    assert found is not None
    return found
