"""Takeoff: routes, what is counted beside them, the list to buy, and the air; into the quote with one key."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QHBoxLayout, QStackedWidget, QVBoxLayout, QWidget

from db.commands.takeoff import (
    ACCEPTED,
    NOTHING,
    Taken,
    add_route,
    refuse_unready,
    take_into_change_order,
    take_into_quote,
)
from db.company_file.problems import Refused
from db.queries.firm import day_rates, firm
from db.queries.takeoff import reconciliation, takeoff_facts
from db.queries.takeoff_changes import order_reconciliation
from desktop.desk import JOBS, Desk
from desktop.pages.job_sections.takeoff.banner import Steps, TakenBanner
from desktop.pages.job_sections.takeoff.editing import TakeoffEditing
from desktop.pages.job_sections.takeoff.route_view import RouteView
from desktop.pages.job_sections.takeoff.taking_rows import TakingRows
from desktop.pages.page import Section
from desktop.widgets.as_typed import set_tip
from desktop.widgets.cards import EmptyPage, button, segments
from desktop.widgets.form import ChoiceField
from desktop.widgets.half import only_asks
from domain.firm import DayRates, Firm
from domain.job_takeoff.reckoning import TakeoffFacts, route_title
from domain.job_takeoff.reconciliation import Reconciliation

INTO_QUOTE = (
    "Take into the quote", "Read what it does to the quote's materials and work, line by line, and take it (Ctrl+T)",
)  # fmt: skip
INTO_ORDER = (
    "Into a change order",
    "Put what is different on a change order (Ctrl+T), or only the lines chosen in the list (Ctrl+Shift+T)",
)
ROUTE, BESIDE, LIST, AIR = "route", "beside", "list", "air"
VIEWS = [(ROUTE, "Routes"), (BESIDE, "Beside the routes"), (LIST, "List"), (AIR, "Air")]


class TakeoffSection(Section):
    """The takeoff of a job. Keys: Ctrl+R routes, Ctrl+B beside, Ctrl+L list, Ctrl+I air, Ctrl+T into the quote.

    Once the proposal is accepted Ctrl+T puts what is different on a change order, Ctrl+Shift+T the chosen lines alone.
    Ctrl+Shift+O: offcuts onto the truck.
    """

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self.editing = TakeoffEditing(desk)
        self._opened = False  # begun without a route
        self.views = segments(VIEWS, self.show_view, "View of the takeoff")
        self.take = button(INTO_QUOTE[0], self.take_list, "primary", "right", INTO_QUOTE[1])
        self.against = ChoiceField(required=True)
        only_asks(self.against)
        self.against.setAccessibleName("Compared with")
        set_tip(self.against, "What the list is held against; only what differs goes into the change order")
        self.against.setMinimumWidth(270)
        self.banner = TakenBanner(
            self.editing, Steps(self._open_quote, self.take_into_quote, self.count_once, self._count_anew)
        )
        self.notice = self.banner.notice
        self.route_view = RouteView(self.editing)
        self.stack = QStackedWidget()
        self._built: dict[str, QWidget] = {ROUTE: self.route_view}
        self._arrange()
        self._keys()

    def _keys(self) -> None:
        tabs = self.route_view.tabs
        for keys, work in (
            ("Ctrl+R", lambda: self.show_view(ROUTE, focus=True)), ("Ctrl+B", lambda: self.show_view(BESIDE, True)),
            ("Ctrl+L", lambda: self.show_view(LIST, True)), ("Ctrl+I", lambda: self.show_view(AIR, True)),
            ("Ctrl+T", self.take_list), ("Ctrl+Shift+T", self.take_chosen), ("Ctrl+D", tabs.copy_route),
            ("Ctrl+Shift+R", lambda: tabs.add("proposed")),
            ("Ctrl+Shift+O", self.keep_offcuts),
            ("Ctrl+PgDown", lambda: tabs.turn(1)), ("Ctrl+PgUp", lambda: tabs.turn(-1)),
        ):  # fmt: skip
            shortcut = QShortcut(QKeySequence(keys), self)
            shortcut.setContext(Qt.ShortcutContext.WindowShortcut)  # while the section is seen, wherever the cursor is
            shortcut.activated.connect(work)

    def _arrange(self) -> None:
        self.stack.addWidget(self.route_view)
        tools = QHBoxLayout()
        tools.addWidget(self.views)
        tools.addStretch(1)
        tools.addWidget(self.against)
        tools.addWidget(self.take)
        self._page = QWidget()
        column = QVBoxLayout(self._page)
        column.setContentsMargins(28, 6, 16, 10)
        column.setSpacing(8)
        column.addLayout(tools)
        column.addWidget(self.notice)
        column.addWidget(self.stack, 1)
        self._empty = self._empty_page()
        self._pages = QStackedWidget()
        self._pages.addWidget(self._empty)
        self._pages.addWidget(self._page)
        self.rows = TakingRows(self._pages, self._page, self.take, self._take_rows)
        self.order_rows = TakingRows(self._pages, self._page, self.take, self._take_order_rows, "change order")
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.addWidget(self._pages)

    def _empty_page(self) -> QWidget:
        self.start = EmptyPage(
            "No takeoff yet",
            "Type the way of the pipe through the house: the drawing, the list to buy with its reasons, the minutes of "
            "your tasks and the air follow from it. On a rework begin with the route as it was found.",
            "Type the route as found", lambda: self._begin("found"), icon_name="truck",
        )  # fmt: skip
        self.start_proposed = button("Type a proposed route", lambda: self._begin("proposed"), "link")
        self.start_beside = button("Count something without a route", self._begin_beside, "link")
        column = self.start.layout()
        if isinstance(column, QVBoxLayout) and self.start.action is not None:
            under = column.indexOf(self.start.action) + 1
            for n, link in enumerate((self.start_proposed, self.start_beside)):
                column.insertWidget(under + n, link, 0, Qt.AlignmentFlag.AlignHCenter)
        return self.start

    # Showing.

    def show_job(self, job_id: int) -> None:
        if job_id != self.job_id:
            self.editing.save_words()
            self._opened = False
            self.banner.forget()
            self.rows.close()
            self.order_rows.close()
        super().show_job(job_id)

    def refresh(self) -> None:
        if not self.job_id:
            return
        try:
            with self.desk.read() as conn:
                facts = takeoff_facts(conn, self.job_id, self.desk.today())
        except LookupError:
            return
        before = self.editing.facts
        fresh = before is None or before.job_id != facts.job_id
        current = self.editing.route_id
        self.editing.show(facts)
        empty = not (facts.routes or facts.parts or facts.extras or self._opened)
        rows = self.order_rows if self._is_sold else self.rows
        if empty or not rows.read_again():
            self._pages.setCurrentWidget(self._empty if empty else self._page)
        self._show_take(facts)
        if empty:
            return
        self.route_view.show_route(fresh or current != self.editing.route_id)
        self._show_current()
        self.banner.show()

    @property
    def _is_sold(self) -> bool:
        """Whether a proposal was accepted and no other is being written: then the list goes into a change order."""
        facts = self.editing.facts
        return facts is not None and facts.accepted and facts.draft_id is None

    def _show_take(self, facts: TakeoffFacts) -> None:
        words, tip = INTO_ORDER if self._is_sold else INTO_QUOTE
        self.take.setText(words)
        set_tip(self.take, tip)
        self.take.setEnabled(not facts.cancelled)
        self.against.setVisible(self._is_sold)
        if not self._is_sold:
            return
        routes = [row for row in facts.routes if row.status == "proposed"]
        others: list[tuple[str | int, str]] = [
            (row.id, f"against “{route_title(row.status, row.name)}”") for row in routes if len(routes) > 1
        ]
        self.against.set_choices([(ACCEPTED, "against what was accepted"), *others, (NOTHING, "the whole list")])
        if self.against.value() not in self.against.values():
            self.against.reset(ACCEPTED)

    def show_view(self, key: Any, focus: bool = False) -> None:
        """Routes, beside, list or air."""
        self.editing.save_words()
        view = self._built.get(key)
        if view is None:
            view = self._built[key] = self._build(key)
            self.stack.addWidget(view)
        self.views.set_value(key)
        self.stack.setCurrentWidget(view)
        if self.editing.facts is not None:
            self._show_current()
        if focus:
            self._take_focus(key)

    def _build(self, key: str) -> QWidget:
        if key == BESIDE:
            from desktop.pages.job_sections.takeoff.beside_view import BesideView

            return BesideView(self.editing)
        if key == LIST:
            from desktop.pages.job_sections.takeoff.list_view import ListView

            return ListView(self.editing)
        from desktop.pages.job_sections.takeoff.air_view import AirView

        return AirView(self.editing)

    def _show_current(self) -> None:
        view: Any = self.stack.currentWidget()
        if self.views.value() != ROUTE:
            getattr(view, f"show_{self.views.value()}")()

    def _take_focus(self, key: str) -> None:
        view: Any = self._built[key]
        target = {
            ROUTE: lambda: view.words, BESIDE: lambda: view.cards["joint"].table, LIST: lambda: view.list,
            AIR: lambda: view.fan,
        }[key]()  # fmt: skip
        target.setFocus()

    # Doing.

    def _begin(self, status: str) -> None:
        self._opened = True
        problem = self.editing.save("Begin a takeoff", lambda edit: add_route(edit, self.job_id, status))
        if not problem:
            self.route_view.words.setFocus()

    def _begin_beside(self) -> None:
        self._opened = True
        self.refresh()
        self.show_view(BESIDE, focus=True)

    def take_list(self) -> None:
        """Take the list where it belongs now: into the quote, or once that is accepted into a change order."""
        if self._is_sold:
            self.read_change_order()
        else:
            self.take_into_quote()

    def read_change_order(self) -> None:
        """Show row by row what differs from what was sold; it goes on the change order when the rows were read."""
        if self.editing.facts is None or self.editing.facts.cancelled or self.order_rows.are_open:
            return
        self.editing.save_words()
        try:
            rows = self._order_reconciliation()
        except Refused as problem:
            self.banner.refuse(str(problem))
            return
        if any(row.changes for row in rows.rows):
            self.order_rows.open(self._order_reconciliation)
        else:  # nothing to read; an open change order that has more than that is brought in step
            self.take_into_change_order()

    def _order_reconciliation(self) -> Reconciliation:
        today = self.desk.today()
        with self.desk.read() as conn:
            rate = day_rates(conn, today).owner_cents
            return order_reconciliation(conn, self.job_id, today, rate, self.against.value() or ACCEPTED)

    def _take_order_rows(self, answers: Mapping[str, str], seen: Reconciliation) -> None:
        against = self.against.value() or ACCEPTED
        self._take(
            "Take the takeoff into a change order",
            lambda edit, today, rates, firm: take_into_change_order(
                edit, self.job_id, today, rates, firm, against=against, answers=answers, seen=seen
            ),
            "change order",
        )

    def take_chosen(self) -> None:
        """Take the lines chosen in the list into a change order."""
        view: Any = self._built.get(LIST)
        keys = view.chosen_keys() if view is not None and self.stack.currentWidget() is view else set()
        if not self._is_sold:
            self.desk.say("Chosen lines go into a change order, once the proposal is accepted.")
        elif not keys:
            self.show_view(LIST, focus=True)
            self.desk.say("Choose lines of the list first: Shift+Down takes more than one.")
        else:
            self.take_into_change_order(keys)

    def _count_anew(self) -> None:
        self.take_into_change_order(anew=True)

    def take_into_change_order(self, keys: set[str] | None = None, anew: bool = False) -> None:
        """Put what is different, all of it or some lines, on the open change order; begin one where there is none.

        ``anew``: lines that were changed by hand as well.
        """
        against = self.against.value() or ACCEPTED
        self._take(
            "Take the takeoff into a change order",
            lambda edit, today, rates, firm: take_into_change_order(
                edit, self.job_id, today, rates, firm, against=against, keys=keys, anew=anew
            ),
            "change order",
        )

    def take_into_quote(self) -> None:
        """Show row by row what taking the list into the quote does; it is done when the rows were read."""
        if self.editing.facts is None or self.editing.facts.cancelled or self.rows.are_open:
            return
        self.editing.save_words()
        facts = self.editing.kept
        try:
            refuse_unready(facts, self.editing.counted)
        except Refused as problem:
            self.banner.refuse(str(problem))
            return
        self.rows.open(self._reconciliation)

    def _reconciliation(self) -> Reconciliation:
        today = self.desk.today()
        with self.desk.read() as conn:
            return reconciliation(conn, self.job_id, today, day_rates(conn, today).owner_cents)

    def _take_rows(self, answers: Mapping[str, str], seen: Reconciliation) -> None:
        self._take(
            "Take the takeoff into the quote",
            lambda edit, today, rates, firm: take_into_quote(
                edit, self.job_id, today, rates, firm, answers=answers, seen=seen
            ),
            "quote",
        )

    def _take(self, title: str, command: Callable[[Any, date, DayRates, Firm], Taken], into: str) -> None:
        if self.editing.facts is None or self.editing.facts.cancelled:
            return
        self.editing.save_words()
        today = self.desk.today()
        with self.desk.read() as conn:
            rates, this_firm = day_rates(conn, today), firm(conn)
        taken: list[Taken] = []
        problem = self.editing.save(title, lambda edit: taken.append(command(edit, today, rates, this_firm)))
        if problem:
            self.banner.refuse(problem)
        else:
            words = self.banner.took(taken[0], into)
            self.desk.say(words, "caution" if taken[0].doubles else "good")

    def keep_offcuts(self) -> None:
        """Show how the pipe is cut, and put what it leaves over on the truck."""
        if self.editing.facts is None or self.editing.facts.cancelled:
            return
        self.show_view(LIST)
        view: Any = self._built[LIST]
        view.keep_offcuts()

    def count_once(self) -> None:
        """Show the rows with what is charged twice counted once."""
        self.take_into_quote()
        if self.rows.are_open and self.rows.view is not None:
            self.rows.view.count_once()

    def _open_quote(self) -> None:
        self.desk.go(JOBS, self.job_id, "quote")
