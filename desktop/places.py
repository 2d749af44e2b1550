"""The five places: what each is called, its icon, and the page that is imported when it is first visited."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from importlib import import_module
from typing import TYPE_CHECKING

from desktop.desk import COMPANY, CUSTOMERS, JOBS, MARGINS, TONIGHT, Desk
from desktop.pages.page import Page

if TYPE_CHECKING:
    from desktop.window import Window


@dataclass(frozen=True, slots=True)
class Place:
    """One place in the window's head.

    Attributes:
        key: as in `Desk.go`.
        title: as it is shown.
        icon: a name of `desktop.look.icons`.
        page_class: the class in the module `desktop.pages.<key>`.
    """

    key: str
    title: str
    icon: str
    page_class: str

    def build(self, desk: Desk) -> Page:
        """Import and make the page."""
        page_class: Callable[[Desk], Page] = getattr(import_module(f"desktop.pages.{self.key}"), self.page_class)
        return page_class(desk)


PLACES = (
    Place(TONIGHT, "Tonight", "tonight", "TonightPage"),
    Place(CUSTOMERS, "Customers", "people", "CustomersPage"),
    Place(JOBS, "Jobs", "job", "JobsPage"),
    Place(MARGINS, "Margins", "margins", "MarginsPage"),
    Place(COMPANY, "Firm", "company", "CompanyPage"),
)


def go_to_place(window: Window, place: str) -> None:
    """A place was clicked: to where one was in it, and, clicked again, to where it begins."""
    before = window.stack.currentWidget()
    window.go(place)
    page = window.stack.currentWidget()
    if page is before and isinstance(page, Page):
        page.show_top()
