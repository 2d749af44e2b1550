"""Book a visit, or change one: typed from top to bottom, with the day and the deadlines told beside it.

    VisitDialog(desk, parent).book(job_id=7, day=date(...), kind="work")
    VisitDialog(desk, parent).change(visit_id)

Enter goes to the next field, Ctrl+Enter keeps, Esc leaves. What is refused stays typed, with the reason above.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent, QKeySequence, QShortcut
from PySide6.QtWidgets import QDialog, QHBoxLayout, QPlainTextEdit, QPushButton, QToolButton, QVBoxLayout, QWidget

from db.commands.visits import (
    book_visit,
    bring_back_visit,
    cancel_visit,
    change_visit,
    mark_visit_done,
    remove_visit,
)
from db.queries.calendar import choice, jobs_to_book, one_visit
from db.queries.price_list import suppliers
from desktop.desk import JOBS, Desk
from desktop.pages.autosave import Autosave
from desktop.pages.drafts import Draft
from desktop.pages.tab_order import EyeOrder
from desktop.pages.visits.advice import AdvicePanel
from desktop.widgets.cards import Notice, button, label
from desktop.widgets.flow import scroll_page
from desktop.widgets.form import ChoiceField, DateField, DurationField, Form, NotesField, SwitchField, TypedField
from domain.calendar.hours import parse_clock
from domain.calendar.visits import (
    KIND_WORDS,
    MONITOR,
    OTHERS_COME,
    TEST_KINDS,
    USUAL_MINUTES,
    VISIT_KINDS,
    PlannedVisit,
    Visit,
)
from domain.dates import format_day_short
from domain.units import format_clock
from domain.unlikely import far_from, minutes_doubt

DEVICES = ("charcoal canister", "alpha track", "electret", MONITOR)


class VisitDialog(QDialog):
    """The form at the left, what speaks for and against it at the right."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk, self._saver = desk, Autosave(desk)
        self._kept: PlannedVisit | None = None
        self._job_id: int | None = None
        self._live: dict[str, Any] = {}
        self.finished.connect(self.deleteLater)
        self.resize(940, 600)
        self.title = label("", "title")
        self.problem = Notice("error")
        self.form = Form()
        self.fields: dict[str, Any] = {}
        self._build_fields()
        self.draft = Draft(desk, "visit", self.fields, self._what)
        self.advice = AdvicePanel()
        self.keep = button("Book the visit", self.save, "primary", "check", "Keep what is typed (Ctrl+Enter)")
        self.mark_done = button("Done", self._done, "plain", "check", "It took place")
        self.call_off = button("Call off", self._call_off, "plain", "cross", "It will not take place")
        self.back = button("Let it stand again", self._bring_back, "plain", "undo")
        self.delete = button("Remove", self._remove, "quiet", "trash", "It was booked by mistake")
        self.open_job = button("Open the job", self._go_to_job, "quiet", "job")
        self._arrange()
        for keys in ("Ctrl+Return", "Ctrl+Enter"):
            QShortcut(QKeySequence(keys), self).activated.connect(self.save)

    def _build_fields(self) -> None:
        self._add("job_id", "Job", ChoiceField((), "whose house; empty for own time"))
        self._add("kind", "What for", ChoiceField([(kind, KIND_WORDS[kind]) for kind in VISIT_KINDS], required=True))
        self._add("title", "Device", ChoiceField((), allow_new=True))
        self._add("day", "Day", DateField(
            self._desk.today, required=True, doubt=far_from(self._desk.today)
        ))
        begins = TypedField(parse_clock, format_clock, placeholder="8, 8:30, 1 pm; empty: any time")
        self._add("starts_at", "From", begins)
        self._add("minutes", "How long", DurationField(required=True, doubt=minutes_doubt))
        self._add("travel_minutes", "Way there and back", DurationField(doubt=minutes_doubt))
        self._add("who", "Who comes", ChoiceField((), "the electrician, the inspector", allow_new=True))
        self._add("takes_own_time", "I am there myself", SwitchField())
        self._add("note", "Note", NotesField("gate code, who opens the door", lines=2))

    def _add(self, name: str, title: str, field: Any) -> None:
        self.fields[name] = self.form.add(title, field)
        for signal in (field.typed, field.edited):
            signal.connect(lambda value, name=name: self._typed(name, value))

    def _arrange(self) -> None:
        left = QWidget()
        column = QVBoxLayout(left)
        column.setContentsMargins(0, 0, 8, 0)
        column.addWidget(self.form)
        column.addStretch(1)
        middle = QHBoxLayout()
        middle.setSpacing(16)
        middle.addWidget(scroll_page(left), 3)
        middle.addWidget(scroll_page(self.advice), 2)
        foot = QHBoxLayout()
        for one in (self.open_job, self.delete, self.back, self.call_off, self.mark_done):
            foot.addWidget(one)
        foot.addStretch(1)
        foot.addWidget(button("Leave", self.reject, "quiet", tip="Close without keeping (Esc)"))
        foot.addWidget(self.keep)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(20, 14, 20, 16)
        outer.setSpacing(10)
        outer.addWidget(self.title)
        outer.addWidget(self.problem)
        outer.addLayout(middle, 1)
        outer.addLayout(foot)

    # Opening.

    def book(self, *, job_id: int | None = None, day: date | None = None, kind: str | None = None) -> None:
        """Open on a new visit."""
        self._kept, self._job_id = None, job_id
        kind = kind or ("own" if job_id is None else "survey")
        self._offer()
        self.title.setText("Book a visit")
        self._fill({
            "job_id": job_id, "kind": kind, "title": "", "day": day or self._desk.today(), "starts_at": None,
            "minutes": USUAL_MINUTES[kind], "travel_minutes": 0, "who": None,
            "takes_own_time": kind not in OTHERS_COME, "note": "",
        })  # fmt: skip
        self._show_buttons()
        self._go_on(lambda: self.book(job_id=job_id, day=day, kind=kind))
        self._open("kind" if job_id is not None else "job_id")

    def change(self, visit_id: int) -> bool:
        """Open on a visit that is booked; False when it is gone."""
        try:
            with self._desk.read() as conn:
                self._kept = one_visit(conn, visit_id)
        except LookupError:
            self._desk.say("That visit is no longer there.", "caution")
            self.deleteLater()
            return False
        visit = self._kept.visit
        self._job_id = visit.job_id
        self._offer()
        self.title.setText(self._kept.words)
        values = {name: getattr(visit, name) for name in self.fields}
        values |= {"who": visit.supplier_id or visit.who or None, "takes_own_time": bool(visit.takes_own_time)}
        self._fill(values)
        self._show_buttons()
        self._go_on(lambda: self.change(visit_id))
        self._open("day")
        return True

    def _what(self) -> str:
        return f"{self._kept.visit.id} that is booked" if self._kept else f"of job {self._job_id or 'none'}"

    def _go_on(self, afresh: Callable[[], object]) -> None:
        """What was typed here and not kept comes back, and says so."""
        def begin() -> None:
            self.draft.drop()
            afresh()

        if self.draft.turn():
            self.problem.set_words("info", "What you typed here before is back.", ("Start afresh", begin))

    def _open(self, first: str) -> None:
        EyeOrder(self).apply()
        self._advise()
        self.open()
        self.fields[first].setFocus(Qt.FocusReason.TabFocusReason)

    def _offer(self) -> None:
        with self._desk.read() as conn:
            jobs = jobs_to_book(conn, self._job_id)
            firms = suppliers(conn)
        names = [(one.job_id, f"{one.customer} · {one.what} · {one.number}") for one in jobs]
        self.fields["job_id"].set_choices([(None, "No job: own time"), *names])
        self.fields["job_id"].setEnabled(self._kept is None)
        self.fields["who"].set_choices([(one.id, one.name) for one in firms])

    def _fill(self, values: dict[str, Any]) -> None:
        self._live = dict(values)
        self._suit_kind(values["kind"])
        for name, value in values.items():
            self.fields[name].reset(value)

    def _show_buttons(self) -> None:
        visit = self._kept.visit if self._kept else None
        self.keep.setText("Keep the changes" if visit else "Book the visit")
        self.keep.setVisible(visit is None or visit.stands)
        self.mark_done.setText("Not done after all" if visit and visit.done_on else "Done")
        self.mark_done.setVisible(visit is not None and visit.stands)
        self.call_off.setVisible(visit is not None and visit.is_open)
        self.back.setVisible(visit is not None and not visit.stands)
        self.delete.setVisible(visit is not None)
        self.open_job.setVisible(visit is not None and visit.job_id is not None)
        words = ""
        if visit is not None and not visit.stands:
            assert visit.cancelled_on is not None
            words = f"Called off on {format_day_short(visit.cancelled_on)}."
        self.problem.set_words("info", words)

    # Typing.

    def _typed(self, name: str, value: Any) -> None:
        if name == "kind" and value != self._live.get("kind"):
            self._kind_chosen(self._live.get("kind"), value)
        elif name == "job_id" and value is not None and self._live.get("kind") == "own":
            self._live["job_id"] = value
            self.fields["kind"].reset("survey")
            self._kind_chosen("own", "survey")
        self._live[name] = value
        if name != "note":
            self._advise()

    def _kind_chosen(self, before: Any, now: Any) -> None:
        """Another kind brings its usual length, unless another was typed."""
        if now is None:
            return
        if before is None or self._live.get("minutes") == USUAL_MINUTES[before]:
            self._take("minutes", USUAL_MINUTES[now])
        self._take("takes_own_time", now not in OTHERS_COME)
        self._live["kind"] = now
        self._suit_kind(now)

    def _take(self, name: str, value: Any) -> None:
        self._live[name] = value
        self.fields[name].reset(value)

    def _suit_kind(self, kind: str) -> None:
        title = self.fields["title"]
        self.form.label_of(title).setText("Device" if kind in TEST_KINDS else "What")
        title.set_choices([(one, one) for one in DEVICES] if kind in TEST_KINDS else [])
        self.form.set_visible(title, kind in (*TEST_KINDS, "own"))
        self.form.set_visible(self.fields["who"], kind != "own")

    def candidate(self) -> Visit | None:
        """The visit as it is typed now; None while it cannot be read."""
        live = self._live
        if not isinstance(live.get("day"), date) or live.get("kind") is None or not live.get("minutes"):
            return None
        kept = self._kept.visit if self._kept else None
        supplier_id, who = _who(live.get("who"))
        return Visit(
            kept.id if kept else 0, live.get("job_id"), live["kind"], live.get("title") or "", live["day"],
            live.get("starts_at"), live["minutes"], live.get("travel_minutes") or 0, who, supplier_id,
            int(bool(live.get("takes_own_time"))), "", kept.done_on if kept else None, None, "", 0,
        )  # fmt: skip

    def _advise(self) -> None:
        put = self.candidate()
        if put is None or not 1999 < put.day.year < 2200:
            self.advice.show_choice(None)
            return
        with self._desk.read() as conn:
            self.advice.show_choice(choice(conn, put, self._desk.today()))

    # Keeping.

    def save(self) -> None:
        """Keep what is typed; what cannot be read or is refused stays, with the reason."""
        if self.keep.isHidden():
            return
        self.problem.set_words("error", "")
        if not self.form.commit_all():
            return
        supplier_id, who = _who(self.fields["who"].value())
        values: dict[str, Any] = {
            name: self.fields[name].value()
            for name in ("kind", "day", "starts_at", "minutes", "takes_own_time")
        }
        values |= {
            "title": self.fields["title"].value() or "", "travel_minutes": self.fields["travel_minutes"].value() or 0,
            "who": who, "supplier_id": supplier_id, "note": self.fields["note"].toPlainText(),
        }  # fmt: skip
        job_id, kept = self.fields["job_id"].value(), self._kept
        if kept is None:
            what = KIND_WORDS[values["kind"]]
            self._do(f"Book {what.lower()}", lambda edit: book_visit(edit, job_id, **values), f"{what} booked")
        else:
            visit_id = kept.visit.id
            self._do("Change a visit", lambda edit: change_visit(edit, visit_id, **values), "Visit changed")

    def _do(self, name: str, work: Any, say: str) -> bool:
        if reason := self._saver.refusal(name, work, say=say, undo=True):
            self.problem.set_words("error", reason)
            return False
        self.draft.drop()
        self.accept()
        return True

    def _done(self) -> None:
        if self._kept is None:
            return
        visit, today = self._kept.visit, self._desk.today()
        on = None if visit.done_on else today
        if on is not None and visit.day > today:
            self.problem.set_words(
                "error", f"It is planned for {format_day_short(visit.day)}, which is still to come. Move it first."
            )
            return
        say = "Mark taken back" if on is None else "Marked done"
        if self._do(say, lambda edit: mark_visit_done(edit, visit.id, on), say) and on and visit.kind in TEST_KINDS:
            self._desk.go(JOBS, visit.job_id, _section_of_tests())

    def _call_off(self) -> None:
        if self._kept is not None:
            visit_id = self._kept.visit.id
            self._do("Call a visit off", lambda edit: cancel_visit(edit, visit_id, self._desk.today()), "Called off")

    def _bring_back(self) -> None:
        if self._kept is not None:
            visit_id = self._kept.visit.id
            self._do("Let a visit stand again", lambda edit: bring_back_visit(edit, visit_id), "It stands again")

    def _remove(self) -> None:
        if self._kept is not None:
            visit_id = self._kept.visit.id
            self._do("Remove a visit", lambda edit: remove_visit(edit, visit_id), "Visit removed")

    def _go_to_job(self) -> None:
        job_id = self._job_id
        self.reject()
        self._desk.go(JOBS, job_id)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter goes on to the next field; buttons and notes keep it for themselves."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            now = self.focusWidget()
            if isinstance(now, QPushButton | QToolButton):
                now.click()
            elif not isinstance(now, QPlainTextEdit):
                self.focusNextChild()
            return
        super().keyPressEvent(event)


def _who(value: Any) -> tuple[int | None, str]:
    """The subcontractor's id, or the words for somebody else."""
    return (value, "") if isinstance(value, int) else (None, value or "")


def _section_of_tests() -> str:
    """Where a job keeps its tests after the work."""
    from desktop.pages.jobs.job_page import SECTIONS

    return next((one.key for one in SECTIONS if one.key == "closeout"), "survey")
