"""The card that makes one customer of two: the other is chosen, what will change is said, then it is done."""

from __future__ import annotations

from collections.abc import Callable

from db.commands.merging import merge_customers
from db.queries.merging import merge_plan
from db.queries.people import CustomerPage, customer_choices, duplicates_of
from desktop.desk import Desk
from desktop.pages.autosave import Autosave
from desktop.widgets.cards import Card, Notice, button, row, segments
from desktop.widgets.form import ChoiceField, Form
from desktop.widgets.half import only_asks
from domain.duplicates import Traits


class MergeCard(Card):
    """Hidden until `begin`; `merged(kept_id)` is called when it is done."""

    def __init__(self, desk: Desk, merged: Callable[[int], object]) -> None:
        super().__init__("Kept twice?", "makes one customer of two entries")
        self._desk, self._saver, self._merged = desk, Autosave(desk), merged
        self._page: CustomerPage | None = None
        self.other = ChoiceField(placeholder="Type a name or street")
        only_asks(self.other)
        self.other.edited.connect(lambda _: self._look())
        stays = [(True, "Keep this one"), (False, "Keep the other")]
        self.which = segments(stays, lambda _: self._look(), "Which stays")
        form = Form()
        form.add("The &other entry", self.other)
        self.words = Notice("info")
        self.refused = Notice("caution")
        self.do = button("Merge", self._merge, "primary", "check", "Undo parts them again")
        self.leave = button("Leave as it is", self.hide, "plain", "cross")
        self.add(form)
        for part in (self.which, self.words, self.refused, row(self.do, self.leave, None)):
            self.add(part)
        self.hide()

    def begin(self, page: CustomerPage) -> None:
        """Offer the likeliest duplicate of this customer first."""
        self._page = page
        key = page.customer.id
        traits = Traits(
            page.customer.name,
            tuple(one.value for one in page.contacts if one.kind == "phone"),
            tuple(one.value for one in page.contacts if one.kind == "mail"),
            tuple(house.street for house in page.properties),
        )
        with self._desk.read() as conn:
            likely = duplicates_of(conn, traits, but=key)
            others = [choice for choice in customer_choices(conn) if choice[0] != key]
        first = [(one.customer_id, f"{one.name} ({', '.join(one.reasons)})") for one in likely]
        known = {choice for choice, _ in first}
        self.other.set_choices([*first, *(choice for choice in others if choice[0] not in known)])
        self.other.reset(first[0][0] if first else None)
        self.refused.set_words("caution", "")
        self._look()
        self.show()
        self.other.setFocus()

    def _pair(self) -> tuple[int, int] | None:
        other = self.other.value()
        if self._page is None or not isinstance(other, int):
            return None
        this = self._page.customer.id
        return (this, other) if self.which.value() else (other, this)

    def _look(self) -> None:
        pair = self._pair()
        self.do.setEnabled(pair is not None)
        if pair is None:
            self.words.set_words("info", "Choose the entry that is the same customer; then it says here what moves.")
            return
        try:
            with self._desk.read() as conn:
                plan = merge_plan(conn, *pair)
        except LookupError:
            self.do.setEnabled(False)
            self.words.set_words("info", "That customer is no longer there.")
            return
        self.words.set_words("info", " ".join(plan.words()))

    def _merge(self) -> None:
        pair = self._pair()
        if pair is None:
            return
        kept_id, other_id = pair
        reason = self._saver.refusal(
            "Merge two customers", lambda edit: merge_customers(edit, kept_id, other_id),
            say="The two entries are one customer now", undo=True,
        )  # fmt: skip
        self.refused.set_words("caution", reason)
        if not reason:
            self.hide()
            self._merged(kept_id)
