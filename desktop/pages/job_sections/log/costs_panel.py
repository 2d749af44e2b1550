"""Miles and other costs of one day, beside what was quoted for them."""

from __future__ import annotations

import re
from decimal import Decimal

from db.commands.log import change_other_cost, log_other_cost, remove_other_cost
from db.queries.log_page import LogPage
from desktop.desk import Desk
from desktop.pages.job_sections.log.entering import enter, pick
from desktop.pages.job_sections.log.kept_cells import KeptCells
from desktop.pages.job_sections.log.log_table import CLEARS, LogTable, NewRow
from desktop.widgets.cards import Card, label
from desktop.widgets.table import Column, RowsModel
from domain.actuals import OtherCost
from domain.errors import NotUnderstood
from domain.log_day import CostRow, cost_rows, has_budget, is_added, is_another_cost
from domain.money import format_money, format_unit_cost, parse_unit_cost
from domain.quoting.lines import OTHER_KINDS
from domain.units import format_quantity, parse_quantity
from domain.unlikely import amount_doubt, miles_doubt

NAMES = {
    "travel": "Miles driven",
    "permit": "Permit",
    "subcontractor": "Subcontractor",
    "equipment": "Equipment hired",
    "other": "Other cost",
}
SOMETHING = "Another cost …"
_AMOUNT = re.compile(r"\s*(?P<amount>[-+$0-9.,]+)(?:\s+(?P<words>.*))?", re.DOTALL)


def _doubt(row: CostRow | NewRow, key: str) -> str:
    if isinstance(row, NewRow) or key != "day":
        return ""
    return miles_doubt(row.day_quantity) if row.kind == "travel" else amount_doubt(row.day_cents)


class CostsPanel(Card):
    """One row for each kind of cost; miles are typed as miles, the rest as money with words after it."""

    def __init__(self, desk: Desk) -> None:
        super().__init__("Miles and other costs")
        self._desk = desk
        self._page: LogPage | None = None
        self._extra: list[str] = []
        self.table = self._table()
        self.table.refill = self._fill
        self._kept = KeptCells(desk, self.table, "costs")
        self.add(self.table)
        self.hint = label("", "small", "faint", wrap=True)
        self.add(self.hint)

    def _table(self) -> LogTable:
        model = RowsModel(
            [
                Column("what", "Cost", stretch=1, editable=True),
                Column("quoted", "Quoted", "right", width=92),
                Column("so_far", "So far", "right", width=92),
                Column("day", "This day", "right", width=116, editable=True),
            ],
            text={
                "what": lambda row: SOMETHING if isinstance(row, NewRow) else NAMES[row.kind],
                "quoted": lambda row: self._amount(row, row.quoted, row.quoted_cents) or "–" if _is_cost(row) else "",
                "so_far": lambda row: self._so_far(row) if _is_cost(row) else "",
                "day": self._day,
            },
            tone={
                "what": lambda row: "ink_faint" if isinstance(row, NewRow) else "ink",
                "so_far": lambda row: self._over(row) if _is_cost(row) else "ink",
            },
            row_id=lambda row: row.kind if _is_cost(row) else row.key,
            setter=self._set,
            doubt=_doubt,
            can_edit=self._can_edit,
            choices={"what": lambda _row: [NAMES[kind] for kind in OTHER_KINDS]},
        )
        table = LogTable(model, "Miles and other costs")
        table.keys = dict.fromkeys(CLEARS, lambda row: self._set(row, "day", ""))
        table.letters = {"a": self._as_quoted, "u": self._turn_unquoted}
        return table

    # What is shown.

    def show_page(self, page: LogPage) -> None:
        """Show the costs of the page's day."""
        if self._page is None or (page.job.id, page.day) != (self._page.job.id, self._page.day):
            self._extra.clear()
        self._kept.turn(f"{page.day} {page.job.id}")
        self._page = page
        self._fill()
        self._kept.put_back()
        mile = format_unit_cost(page.rates.mile_cost)
        self.hint.setText(
            f"Miles at {mile} each that day.  A and Enter: as quoted · for the rest type 85.00 and a "
            "word or two; a second one with its own words, or after a +, is added"
        )

    def _fill(self) -> None:
        assert self._page is not None
        rows = cost_rows(self._page.budget, self._page.log, self._page.day, self._extra)
        self.table.rows_model().set_rows([*rows, *self.table.new_rows()])

    def _amount(self, row: CostRow, quantity: object, cents: int) -> str:
        if row.kind == "travel":
            return format_quantity(quantity, "mi") if quantity else ""  # type: ignore[arg-type]
        return format_money(cents) if cents else ""

    def _so_far(self, row: CostRow) -> str:
        return self._amount(row, row.before + row.day_quantity, row.before_cents + row.day_cents)

    def _day(self, row: CostRow | NewRow) -> str:
        if isinstance(row, NewRow) or not row.entries:
            return ""
        many = f" in {len(row.entries)}" if len(row.entries) > 1 else ""
        return (format_quantity(row.day_quantity) if row.kind == "travel" else format_money(row.day_cents)) + many

    def _over(self, row: CostRow) -> str:
        return "over" if row.before_cents + row.day_cents > row.quoted_cents else "ink"

    def _can_edit(self, row: object, key: str) -> bool:
        if self._page is None or self._page.is_closed:
            return False
        return (key == "what") == isinstance(row, NewRow)

    # What is typed.

    def _set(self, row: CostRow | NewRow, key: str, text: str) -> str | None:
        try:
            if isinstance(row, NewRow):
                return self._begin(text)
            return self._day_typed(row, text)
        except NotUnderstood as error:
            return str(error)

    def _begin(self, words: str) -> str | None:
        kind = pick(words, NAMES.items())
        self._extra.append(kind)
        self.table.then_edit = kind
        self._fill()
        begun = self.table.rows_model().row_at(self.table.rows_model().find(kind))
        self.table.then_add = isinstance(begun, CostRow) and bool(begun.entries)
        return None

    def _day_typed(self, row: CostRow, text: str) -> str | None:
        added = is_added(text, row.entries)
        typed = text.strip().removeprefix("+").strip()
        match = _AMOUNT.fullmatch(typed)
        if row.kind != "travel" and match and not added:
            added = is_another_cost(parse_unit_cost(match["amount"]), match["words"] or "", row.entries)
        if len(row.entries) > 1 and not added:
            raise NotUnderstood("There are several entries here. Change them in the list below, or type +25.", text)
        if typed in ("", "0"):
            return self._remove(row.entries[0]) if row.entries and not added else None
        if row.kind == "travel":
            miles = parse_quantity(typed.removesuffix("miles").removesuffix("mi"), "mile")
            return self._save(row, added, "", quantity=miles)
        if match is None:
            raise NotUnderstood("Type the amount first, then a word or two: 85.00 town hall.", text)
        return self._save(row, added, match["words"] or "", unit_cost=parse_unit_cost(match["amount"]))

    def _save(self, row: CostRow, added: bool, words: str, **values: object) -> str | None:
        assert self._page is not None
        page, today = self._page, self._desk.today()
        if not added:
            entry = row.entries[0]
            if words:
                values["description"] = words
            if "unit_cost" in values and entry.quantity != 1:
                values |= {"quantity": Decimal(1)}
            return enter(
                self._desk, f"Change {NAMES[row.kind].lower()}",
                lambda edit: change_other_cost(edit, entry.id, **values),
            )  # fmt: skip
        quantity = values.get("quantity", Decimal(1))
        unquoted = has_budget(page.budget) and not row.quoted_cents
        return enter(
            self._desk, f"Log {NAMES[row.kind].lower()}",
            lambda edit: log_other_cost(
                edit, page.job.id, page.day, row.kind, words, quantity, "", values.get("unit_cost"), unquoted,  # type: ignore[arg-type]
                rates=page.rates, today=today,
            ),
        )  # fmt: skip

    def _remove(self, entry: OtherCost) -> str | None:
        return enter(
            self._desk, f"Remove {NAMES[entry.kind].lower()}", lambda edit: remove_other_cost(edit, entry.id)
        )

    def _as_quoted(self, row: CostRow) -> None:
        """All that was quoted for this kind and is not spent yet."""
        if self._page is None or self._page.is_closed:
            return
        left = row.quoted - row.before - row.day_quantity
        left_cents = row.quoted_cents - row.before_cents - row.day_cents
        problem: str | None = None
        if row.kind == "travel" and left > 0:
            problem = self._save(row, True, "", quantity=left)
        elif row.kind != "travel" and left_cents > 0:
            lines = [line for line in self._page.budget.others if line.kind == row.kind]
            words = "; ".join(dict.fromkeys(line.description for line in lines if line.description))
            problem = self._save(row, True, words, unit_cost=parse_unit_cost(format_money(left_cents)))
        if problem:
            self._desk.say(problem, "caution")
        self.table.go_on(row.kind)

    def _turn_unquoted(self, row: CostRow) -> None:
        if not row.entries:
            return
        unquoted = not row.entries[-1].unquoted
        problem = enter(
            self._desk, f"Mark {NAMES[row.kind].lower()} as {'not quoted' if unquoted else 'quoted'}",
            lambda edit: [change_other_cost(edit, one.id, unquoted=unquoted) for one in row.entries],
        )  # fmt: skip
        if problem:
            self._desk.say(problem, "caution")


def _is_cost(row: object) -> bool:
    return isinstance(row, CostRow)


