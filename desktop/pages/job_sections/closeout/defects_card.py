"""Defects found on a rework: noted, priced, offered in the quote, and answered for."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout

from db.commands.defects import answer_defect, change_defect, forget_offer, note_defect, offer_defects, remove_defect
from db.queries.closeout import CloseoutPage
from desktop.desk import JOBS, Desk
from desktop.pages.autosave import Autosave
from desktop.pages.drafts import Draft
from desktop.pages.job_sections.money.asking import AskCard
from desktop.widgets.cards import Card, button, label, tool_button
from desktop.widgets.error_line import ErrorLine
from desktop.widgets.form import Form, MoneyField, TextField
from desktop.widgets.full_table import FullTable
from desktop.widgets.table import Column, RowsModel
from domain.closeout.defects import outcome_words
from domain.closeout.records import LEFT, NOT_OURS, OPEN, PUT_RIGHT, Defect
from domain.errors import NotUnderstood
from domain.money import format_money, parse_money

_TONES = {OPEN: "over", PUT_RIGHT: "good", LEFT: "plain", NOT_OURS: "plain"}
NONE_YET = "What is wrong with what was found stands here: what, where, which rule it misses, and what became of it."


class DefectsCard(Card):
    """The list, an entry line, and what can be done with the chosen ones."""

    def __init__(self, desk: Desk) -> None:
        super().__init__("Defects found", "priced, offered, answered for")
        self.desk, self._saver, self._job_id = desk, Autosave(desk), 0
        self.table = FullTable(self._model(), "Defects found")
        self.none_yet = label(NONE_YET, "body", "soft", wrap=True)
        self._asked_of = ""  # the defects that are answered for
        self.asking = AskCard(desk, lambda: f"{self._job_id} {self._asked_of}")
        self.form = Form(columns=2)
        self.fields: dict[str, Any] = {
            "description": self.form.add("What is wrong", TextField("water stands in the run")),
            "place": self.form.add("Where", TextField("under the kitchen")),
            "rule": self.form.add("Rule it misses", TextField("pipe slopes back to the suction point")),
            "price_cents": self.form.add("Price to put right", MoneyField()),
        }
        self.fields["place"].setAccessibleName("Where the defect is")  # the tests of the page have a Where of their own
        self.draft = Draft(desk, "defect", self.fields, lambda: self._job_id)
        self.problem = ErrorLine()
        self.new = button("Note the defect", self.add_defect, "plain", "plus")
        self.offer = button("Offer in the quote", self.offer_chosen, "plain", "note",
                            tip="Chosen defects become lines of the draft, or of a change order")  # fmt: skip
        self.verbs = {
            PUT_RIGHT: button("Put right", lambda: self._answer(PUT_RIGHT), "quiet", "check"),
            LEFT: button("Left by customer…", lambda: self._answer(LEFT), "quiet"),
            NOT_OURS: button("Another trade's…", lambda: self._answer(NOT_OURS), "quiet"),
            OPEN: button("Open again", lambda: self._answer(OPEN), "quiet"),
        }
        self.remove = tool_button("trash", "Remove this defect", self._remove)
        self.unoffer = button("Not in the quote", self._forget, "quiet", tip="Its line was taken off there")
        line = QHBoxLayout()
        for one in (self.offer, self.unoffer, *self.verbs.values()):
            line.addWidget(one)
        line.addStretch(1)
        line.addWidget(self.remove)
        for part in (self.none_yet, self.table, line, self.asking, self.form):
            self.add(part)
        self.body.addWidget(self.new, 0, Qt.AlignmentFlag.AlignLeft)
        self.add(self.problem)
        self.table.selectionModel().selectionChanged.connect(lambda *_: self._show_verbs())

    def _model(self) -> RowsModel:
        return RowsModel(
            [
                Column("description", "What is wrong", width=160, stretch=3, editable=True),
                Column("place", "Where", width=110, stretch=1, editable=True),
                Column("rule", "Rule it misses", width=120, stretch=2, editable=True),
                Column("price_cents", "Price", "right", width=92, editable=True),
                Column("quote", "In a quote", width=90),
                Column("outcome", "What became of it", width=150, stretch=2),
            ],
            text={
                "price_cents": lambda one: format_money(one.price_cents) if one.price_cents is not None else "",
                "quote": lambda one: "yes" if one.quote_id is not None else "",
                "outcome": outcome_words,
            },
            tone={"outcome": lambda one: _TONES[one.outcome]},
            row_id=lambda one: one.id,
            setter=self._set,
        )

    def show_page(self, page: CloseoutPage) -> None:
        """Show the defects of a job."""
        if page.facts.job.id != self._job_id:
            self._job_id = page.facts.job.id
            self.asking.hide()
            self._clear()
            self.draft.turn()
        self.table.rows_model().set_rows(list(page.facts.defects))
        self.none_yet.setVisible(not page.facts.defects)
        for one in (self.table, self.offer, self.remove, *self.verbs.values()):
            one.setVisible(bool(page.facts.defects))
        self._show_verbs()

    def add_defect(self) -> None:
        """Note what stands in the entry."""
        if not self.form.commit_all():
            return
        given = {name: field.value() for name, field in self.fields.items()}
        reason = self._saver.refusal("Note a defect", lambda edit: note_defect(
            edit, self._job_id, given["description"], self.desk.today(), place=given["place"], rule=given["rule"],
            price_cents=given["price_cents"], today=self.desk.today(),
        ))  # fmt: skip
        self.problem.say(reason)
        if not reason:
            self._clear()
            self.table.select_id(self.table.rows_model().rows[-1].id)  # it can be answered for at once
            self.fields["description"].setFocus()

    def offer_chosen(self) -> None:
        """Put the chosen defects into the draft and go there."""
        ids = [one.id for one in self.table.selected_rows()]
        offered = self.desk.do(
            "Offer defects in the quote",
            lambda edit: offer_defects(edit, self._job_id, ids, self.desk.today()),
            say="The defects stand in the quote now", undo=True,
        )  # fmt: skip
        if offered:
            self.desk.go(JOBS, self._job_id, "quote")

    def _answer(self, outcome: str) -> None:
        chosen: list[Defect] = self.table.selected_rows()
        if not chosen:
            return
        if outcome in (LEFT, NOT_OURS):
            self._asked_of = " ".join(str(one.id) for one in chosen)
            title = "Why the customer leaves it" if outcome == LEFT else "Whose work it is"
            self.asking.ask(
                title, "The pack names the defect with this reason.", [("Reason", TextField(), "")], "Keep the answer",
                lambda values: self._save_answer(chosen, outcome, str(values[0])),
            )
            return
        self._save_answer(chosen, outcome, "")

    def _save_answer(self, chosen: list[Defect], outcome: str, words: str) -> str:
        def work(edit: Any) -> None:
            for one in chosen:
                answer_defect(edit, one.id, outcome, self.desk.today(), words)

        return self._saver.refusal("Answer for a defect", work)

    def _forget(self) -> None:
        self._each("A defect stands in no quote", lambda edit, one: forget_offer(edit, one.id))

    def _remove(self) -> None:
        self._each("Remove a defect", lambda edit, one: remove_defect(edit, one.id), "Removed")

    def _each(self, title: str, work: Callable[[Any, Defect], None], say: str = "") -> None:
        chosen: list[Defect] = self.table.selected_rows()
        self.desk.do(title, lambda edit: [work(edit, one) for one in chosen], say=say, undo=bool(say))

    def _set(self, one: Defect, key: str, typed: str) -> str | None:
        value: Any = typed.strip()
        if key == "price_cents":
            try:
                value = parse_money(typed) if typed.strip() else None
            except NotUnderstood as problem:
                return str(problem)
        return self._saver.refusal(
            "Change a defect", lambda edit: change_defect(edit, one.id, today=self.desk.today(), **{key: value})
        ) or None

    def _show_verbs(self) -> None:
        chosen: list[Defect] = self.table.selected_rows()
        self.offer.setEnabled(any(one.outcome == OPEN and one.quote_id is None for one in chosen))
        self.unoffer.setVisible(any(one.quote_id is not None for one in chosen))
        for outcome, verb in self.verbs.items():
            verb.setEnabled(any(one.outcome != outcome for one in chosen))
        self.verbs[OPEN].setVisible(any(one.outcome != OPEN for one in chosen))
        self.remove.setEnabled(bool(chosen))

    def _clear(self) -> None:
        for field in self.fields.values():
            field.reset()
        self.form.clear_errors()
        self.problem.say("")
