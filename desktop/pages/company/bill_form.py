"""A bill, receipt or credit typed whole: who it is from, its number and days, what it was for, tax, and its picture."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from PySide6.QtCore import Signal
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QFileDialog, QHBoxLayout, QWidget

from db.commands.attachments import add_attachment
from db.commands.bills import change_bill, enter_bill
from db.edit import Edit
from db.photo_folder import photo_folder
from db.queries.books.bills import LoggedUnbilled, WholeBill
from db.queries.log_offers import OfferedJob
from desktop.desk import Desk
from desktop.pages.company.bill_doubts import BillDoubts
from desktop.pages.company.entry_page import fill_entry_page
from desktop.pages.company.not_kept_asked import NotKeptAsked
from desktop.pages.company.part import attempt
from desktop.pages.draft_lines import lines_as_words, lines_in_words
from desktop.pages.drafts import Draft
from desktop.pages.job_sections.quote.lines_table import LineKeys, LinesTable
from desktop.widgets.as_typed import set_tip
from desktop.widgets.cards import Card, Notice, button, label
from desktop.widgets.error_line import FloatingError
from desktop.widgets.foot_model import FootModel
from desktop.widgets.form import ChoiceField, DateField, Form, MoneyField, TextField
from desktop.widgets.half import CHANGES, watch
from desktop.widgets.table import Column
from domain.bill_typed import NO_JOB, TypedBillLine, bill_line_typed
from domain.bills import BILL_KINDS, BILL_LINE_KINDS, BILL_MEANS, SET_OFF
from domain.errors import NotUnderstood
from domain.money import format_money
from domain.price_list import Supplier
from domain.unlikely import ASK, done_on, tax_doubt

DRAFT = "bill"
INVITE = "Type what it was for"
PICTURES = "Pictures and PDF (*.jpg *.jpeg *.png *.gif *.pdf)"


class BillForm(QWidget):
    """Nothing is written before it is entered, and then all of it as one step.

    Signals:
        entered, left: it was entered or corrected (with its id); the owner goes back.
    """

    entered = Signal(int)
    left = Signal()

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self.desk = desk
        self._jobs: dict[int, str] = {}
        self._lines: list[TypedBillLine] = []
        self._keys = LineKeys()
        self._next = 1
        self._picture: Path | None = None
        self._kept: WholeBill | None = None  # as it is in the file, while it is put right
        self._corrected: int | None = None  # the bill that is put right; None: a new one is typed
        self.form = Form(columns=2)
        self.kind = self.form.add("Paper", ChoiceField(list(BILL_KINDS.items()), required=True))
        self.supplier = self.form.add("From", ChoiceField(placeholder="A supplier, or a new name", allow_new=True))
        self.supplier.prefers_kept = True
        self.day = self.form.add("Dated", DateField(desk.today, required=True, doubt=done_on(desk.today)))
        self.number = self.form.add("Its number", TextField())
        self.due = self.form.add("Due", DateField(desk.today))
        self.means = self.form.add("Paid by", ChoiceField(list(BILL_MEANS.items()), required=True))
        self.kind.edited.connect(lambda _: self._show_kind())
        self.table = self._make_table()
        self.tax = MoneyField(least=0, doubt=lambda cents: tax_doubt(cents, self._net()))
        self.tax.setAccessibleName("Sales tax on it")
        self.tax.setFixedWidth(110)
        self.tax.edited.connect(self._take_tax)
        self.total = label("", "strong")
        self.pays = label("", "small", "over")  # what follows for a receipt's own payment
        self.problem = Notice("caution")
        self._asked = NotKeptAsked(self.table, self.problem, "enter it without")
        self.doubts = BillDoubts(self.problem)
        self.enter = button("Enter it", self.enter_it, "primary", "check", "Ctrl+Enter")
        self.picture = button("Add its picture", self.ask_picture, "quiet", "camera", "A photo or PDF is copied in")
        self.back = button("Back to the list", self.left.emit, "quiet", "left", "Escape")
        names = ("kind", "supplier", "day", "number", "due", "means", "tax")
        self.draft = Draft(
            desk, DRAFT, {one: getattr(self, one) for one in names},
            lambda: self._corrected or "", lines=(lambda: lines_as_words(self._lines), self._lines_again),
        )  # fmt: skip
        self.afresh = button("Start afresh", self._begin_afresh, "quiet", "cross", "Forget what was typed here")
        self._arrange()
        for keys in ("Ctrl+Return", "Ctrl+Enter"):
            QShortcut(QKeySequence(keys), self, self.enter_it)
        self._clear()

    def _make_table(self) -> LinesTable:
        self.model = FootModel(
            [
                Column("description", "What it was for", stretch=2, editable=True),
                Column("kind", "Kind", width=150, editable=True),
                Column("job", "Job", stretch=1, editable=True, tooltip="Number or customer; empty for no job"),
                Column("amount", "Amount before tax", "right", width=150, editable=True),
            ],
            text={
                "description": lambda one: one.description if one.id else INVITE,
                "kind": lambda one: BILL_LINE_KINDS[one.kind] if one.id else "",
                "job": lambda one: self._job_words(one) if one.id else "",
                "amount": lambda one: format_money(one.net_cents) if one.id else "",
            },
            tone={
                "description": lambda one: "" if one.id else "ink_faint",
                "amount": lambda one: "over" if one.id and not one.net_cents else "",
            },
            row_id=lambda one: self._keys.name(one.id),
            lasting=self._keys.lasting,
            setter=self._type,
            doubt=lambda one, key: self.doubts.line(one) if key == "amount" else "",
            can_edit=lambda one, key: key == "description" or bool(one.id),
            choices={
                "kind": lambda _: list(BILL_LINE_KINDS.values()),
                "job": lambda _: [NO_JOB, *self._jobs.values()],
            },
        )
        table = LinesTable(self.model, "What the bill was for", "description")
        table.removed.connect(self._remove)
        return table

    def _arrange(self) -> None:
        card = Card("Bill, receipt or credit", "Delete removes a line")
        card.add(self.form)
        card.add(self.table)
        foot = QHBoxLayout()
        foot.setSpacing(8)
        words = label("Sales tax on it", "small", "soft")
        words.setBuddy(self.tax)
        foot.addWidget(self.pays, 1)
        for widget in (words, self.tax, self.total):
            foot.addWidget(widget)
        card.add(foot)
        beneath = FloatingError(card, self.tax)
        self.tax.problem_changed.connect(beneath.say)
        actions = QHBoxLayout()
        for widget in (self.enter, self.picture, self.afresh):
            actions.addWidget(widget)
        actions.addStretch(1)
        actions.addWidget(self.back)
        fill_entry_page(self, card, self.problem, actions)

    # Showing.

    def show_choices(self, suppliers: Sequence[Supplier], jobs: Sequence[OfferedJob]) -> None:
        """Take what can be chosen; what is typed stays."""
        self._jobs |= {one.id: f"{one.number}  {one.customer}" for one in jobs}
        self.supplier.set_choices([(one.id, one.name) for one in suppliers])
        self._show_lines()

    def take_logged(self, entries: Sequence[LoggedUnbilled]) -> None:
        """Put entries of the jobs' logs on the bill, matched."""
        for one in entries:
            self._jobs.setdefault(one.job_id, one.job)
            used = one.id if one.table == "material_use" else None
            self._lines.append(
                TypedBillLine(
                    self._next, one.kind, one.words, one.job_id, one.cents, None, used, None if used else one.id
                )
            )
            self._next += 1
        if entries:
            self.day.reset(entries[0].day)
            self.number.reset(entries[0].receipt)
            self.kind.set_value("receipt" if entries[0].kind == "materials" else "bill")
        self._show_kind()
        self._show_lines()
        if entries:
            self._note_lines()

    def correct(self, whole: WholeBill) -> None:
        """Show a bill that was mistyped, to be put right; a correction begun before comes back."""
        kept, sign = whole.bill, -1 if whole.bill.kind == "credit" else 1
        self._kept = whole
        self._corrected = kept.id
        self._clear()
        self._jobs |= {job_id: self._jobs.get(job_id, number) for job_id, number in whole.jobs.items()}
        self._lines = [
            TypedBillLine(place, line.kind, line.description, line.job_id, sign * line.net_cents, line.purchase_id,
                          line.material_use_id, line.other_cost_id)
            for place, line in enumerate(whole.lines, 1)
        ]  # fmt: skip
        self._next = len(self._lines) + 1
        own = [one.amount_cents for one in whole.payments if one.means != SET_OFF] if kept.kind == "receipt" else []
        self.doubts.begin(self._lines, kept.total_cents if kept.total_cents in own else None)
        self.kind.set_value(kept.kind)
        for field, value in (
            (self.supplier, kept.supplier_id), (self.day, kept.billed_on), (self.number, kept.number),
            (self.due, kept.due_on), (self.tax, sign * kept.tax_cents),
        ):  # fmt: skip
            field.reset(value)
        self.draft.turn()
        self._show_kind()
        self._show_lines()

    def begun(self, bill_id: int) -> bool:
        """True while a correction of this bill waits as a draft."""
        return bool(self.desk.drafts.words(f"{DRAFT} {bill_id}"))

    def _show_kind(self) -> None:
        kind, anew = self.kind.value(), self._corrected is None
        self.kind.setEnabled(anew)
        self.enter.setText("Enter it" if anew else "Keep the correction")
        self.afresh.setText("Start afresh" if anew else "As it was")
        set_tip(self.afresh, "Forget what was typed here" if anew else "Forget the correction; the bill stays as it is")
        self.form.set_visible(self.due, kind == "bill")
        self.form.set_visible(self.means, kind == "receipt" and anew)
        self._show_total()

    def _show_lines(self) -> None:
        self.model.set_rows([*self._lines, TypedBillLine(0)])
        self._show_total()

    def _show_total(self) -> None:
        total = self._net() + (self.tax.value() or 0)
        words = "Credit" if self.kind.value() == "credit" else "Total"
        self.total.setText(f"{words} {format_money(total)}" if self._lines else "")
        self.pays.setText(self.doubts.payment(total) if self._lines else "")
        for field in (self.supplier, self.day, self.number, self.due, self.tax):
            field.setProperty(CHANGES, self.total.text() if self._corrected is not None else "")
        self.enter.setEnabled(bool(self._lines))

    def _net(self) -> int:
        return sum(line.net_cents for line in self._lines)

    def _take_tax(self, cents: int | None) -> None:
        self.doubts.tax_taken(cents or 0, self._net())
        self._show_total()

    def _note_lines(self) -> None:
        """What stands in the table is in no file: it waits as a draft, and the window's head says so by the day."""
        self.day.touched = True
        watch().touch(self.day)
        self.draft.note()

    def _job_words(self, line: TypedBillLine) -> str:
        words = "–" if line.job_id is None else self._jobs.get(line.job_id, "")
        return f"{words}, in its log" if line.material_use_id or line.other_cost_id else words

    def _lines_again(self, words: str) -> None:
        self._lines = lines_in_words(TypedBillLine, words)
        self._next = max((line.id for line in self._lines), default=0) + 1
        self._show_lines()
        for line in self._lines if self._corrected is not None else ():
            self.model.questions.look((self._keys.name(line.id), "amount"), line)
        self.day.touched = True
        watch().touch(self.day)

    # Typing.

    def _type(self, line: TypedBillLine, key: str, text: str) -> str | None:
        try:
            typed = bill_line_typed(line, key, text, self._jobs)
        except NotUnderstood as problem:
            return str(problem)
        if line.id:
            if typed.job_id != line.job_id or typed.kind != line.kind or typed.net_cents != line.net_cents:
                typed = replace(typed, material_use_id=None, other_cost_id=None)
            self._lines = [typed if one.id == line.id else one for one in self._lines]
        elif typed.description:
            last = self._lines[-1] if self._lines else typed
            self._lines.append(replace(typed, id=self._next, kind=last.kind, job_id=last.job_id))
            self._keys.became(self._next)
            self._next += 1
            self.table.just_added = True
        self._show_lines()
        self._note_lines()
        return None

    def _remove(self, line: Any) -> None:
        self._lines = [one for one in self._lines if one.id != line.id]
        self._show_lines()
        self._note_lines()

    def ask_picture(self) -> None:
        """Ask for the bill's picture or PDF; it is copied in when the bill is entered."""
        asked, _ = QFileDialog.getOpenFileName(self, "Picture of the bill", str(Path.home()), PICTURES)
        if asked:
            self._picture = Path(asked)
            self.picture.setText(f"Picture: {self._picture.name}")

    # Doing.

    def enter_it(self) -> None:
        """Enter what was typed; what is refused stays as it was."""
        if not self.form.commit_all() or not self.tax.commit() or not self._lines:
            return
        if not self.supplier.value():
            self.form.set_error(self.supplier, "Say who it is from.")
            self.supplier.setFocus()
            return
        if not self._asked.goes_on():
            return
        cells = [cell for cell in self.model.questions.cells if self.model.find(cell[0]) >= 0]
        questions = [self.model.questions.words(cell).removesuffix(ASK).strip() for cell in cells]
        if not self.doubts.goes_on(questions, self.tax.value() or 0, self._net()):
            return
        made: list[int] = []
        corrected = self._corrected
        kind, number, today = self.kind.value(), self.number.text().strip(), self.desk.today()
        name = f"{BILL_KINDS[kind]} {number}".strip()

        def work(edit: Edit) -> None:
            picture = None
            if self._picture is not None:
                folder = photo_folder(self.desk.company.path)
                picture = add_attachment(edit, self._picture, folder, today, prefix="bill")
            if corrected is not None:
                given = {"attachment_id": picture} if picture is not None else {}
                change_bill(
                    edit, corrected, lines=[line.draft for line in self._lines], tax_cents=self.tax.value() or 0,
                    today=today, supplier_id=self.supplier.value(), number=number, billed_on=self.day.value(),
                    due_on=self.due.value() if kind == "bill" else None, **given,
                )  # fmt: skip
                made.append(corrected)
                return
            made.append(
                enter_bill(
                    edit, self.supplier.value(), kind, self.day.value(), [line.draft for line in self._lines],
                    number=number, due_on=self.due.value() if kind == "bill" else None,
                    tax_cents=self.tax.value() or 0, attachment_id=picture, means=self.means.value(), today=today,
                )
            )  # fmt: skip

        verb, done = ("Enter", "entered") if corrected is None else ("Correct", "corrected")
        message = attempt(self.desk, f"{verb} {name.lower()}", work, say=f"{name} {done}.", undo=True)
        self.problem.set_words("caution", message or "")
        if message is None:
            self.start_anew()
            self.entered.emit(made[0])

    def start_anew(self) -> None:
        """An empty paper dated today."""
        self.draft.drop()
        self._asked.forget()
        self._corrected = None
        self._clear()

    def _begin_afresh(self) -> None:
        """Forget what was typed: an empty paper, or the one that is put right as it is kept."""
        kept = self._kept if self._corrected is not None else None
        self.start_anew()
        if kept is not None:
            self.correct(kept)

    def begin(self) -> None:
        """Go on with what was begun, else an empty paper."""
        if self._corrected is not None or not self.draft.begun:
            self._corrected = None
            self._clear()
            self.draft.turn()

    def _clear(self) -> None:
        self._lines, self._picture = [], None
        self.doubts.begin()
        self.model.questions.forget()
        for field in (self.supplier, self.number, self.tax, self.due):
            field.reset()
        self.day.reset(self.desk.today())
        self.kind.set_value("bill")
        self.means.set_value("card")
        self.picture.setText("Add its picture")
        self.problem.set_words("caution", "")
        self.form.clear_errors()
        self._show_kind()
        self._show_lines()
