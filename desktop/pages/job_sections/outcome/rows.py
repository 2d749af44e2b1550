"""The variance tree as rows of a table and steps of the waterfall, in words and money as they are read."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from desktop.widgets.waterfall import WaterfallStep
from domain.costing import VarianceTree, difference_text, joined_steps, kind_name, verdict
from domain.costing.joined import WORTH_A_STEP_CENTS
from domain.money import format_money
from domain.units import format_minutes, format_quantity

TIME, MATERIALS, OTHER = "time", "materials", "other"

PART_OF_STEP = {
    "efficiency": TIME,
    "rate": TIME,
    "unquoted_hours": TIME,
    "callbacks": TIME,
    "overhead": TIME,
    "usage": MATERIALS,
    "price": MATERIALS,
    "unquoted_materials": MATERIALS,
    "purchase_tax": MATERIALS,
    "others": OTHER,
    "unquoted_others": OTHER,
}
"""Where in the table the rows behind a step of the waterfall stand; the price side has none."""


@dataclass(frozen=True, slots=True)
class OutcomeRow:
    """One line of the table; favourable cents are positive."""

    id: str
    part: str
    name: str
    quoted: str
    actual: str
    quoted_cents: int
    actual_cents: int
    cents: int
    made_of: str = ""

    def word(self, *, running: bool) -> str:
        """The word beside the difference; while a job runs, what is not used up is not yet saved."""
        if running and self.cents > 0:
            return "so far" if self.actual_cents else "not logged yet"
        return verdict(self.cents)

    def tone(self, *, running: bool) -> str:
        """The tone of that word."""
        if self.cents < 0:
            return "over"
        return "under" if self.cents > 0 and not running else ""


def outcome_rows(tree: VarianceTree) -> list[OutcomeRow]:
    """Every row of the tree: time, then materials, then other costs; unquoted ones after the quoted of their part."""
    return [*_time_rows(tree), *_material_rows(tree), *_other_rows(tree)]


def _made_of(first: str, first_cents: int, second: str, second_cents: int) -> str:
    """What a difference is made of; nothing when one part alone is all of it."""
    parts = [(name, cents) for name, cents in ((first, first_cents), (second, second_cents)) if cents]
    if len(parts) == 2 and min(abs(first_cents), abs(second_cents)) < WORTH_A_STEP_CENTS:
        larger = max(parts, key=lambda part: abs(part[1]))[0]
        parts = [(larger, first_cents + second_cents)]
    return ", ".join(f"{name} {difference_text(cents)}" for name, cents in parts)


def _time_rows(tree: VarianceTree) -> Iterable[OutcomeRow]:
    for task in tree.tasks:
        yield OutcomeRow(
            id=f"task {task.task_id}",
            part=TIME,
            name=task.task,
            quoted=format_minutes(task.quoted_minutes),
            actual=format_minutes(task.actual_minutes),
            quoted_cents=task.quoted_cents,
            actual_cents=task.actual_cents,
            cents=task.cents,
            made_of=_made_of("time", task.efficiency_cents, "cost of an hour", task.rate_cents),
        )
    for number, work in enumerate(tree.unquoted_hours):
        yield OutcomeRow(
            id=f"unquoted task {number}",
            part=TIME,
            name=work.name,
            quoted="not quoted",
            actual=format_minutes(work.minutes),
            quoted_cents=0,
            actual_cents=work.actual_cents,
            cents=work.cents,
        )
    for number, back in enumerate(tree.callbacks):
        yield OutcomeRow(
            id=f"callback {number}",
            part=TIME,
            name=back.name,
            quoted=format_minutes(back.quoted_minutes) if back.quoted_minutes else "not quoted",
            actual=format_minutes(back.actual_minutes),
            quoted_cents=back.quoted_cents,
            actual_cents=back.actual_cents,
            cents=back.cents,
            made_of="a callback, apart from the work",
        )
    if tree.overhead.quoted_cents or tree.overhead.actual_cents:
        yield OutcomeRow(
            id="overhead",
            part=TIME,
            name=tree.overhead.name,
            quoted=format_minutes(tree.quoted_minutes),
            actual=format_minutes(tree.actual_minutes),
            quoted_cents=tree.overhead.quoted_cents,
            actual_cents=tree.overhead.actual_cents,
            cents=tree.overhead.cents,
        )


def _material_rows(tree: VarianceTree) -> Iterable[OutcomeRow]:
    for number, item in enumerate(tree.items):
        yield OutcomeRow(
            id=f"item {number}",
            part=MATERIALS,
            name=item.name,
            quoted=format_quantity(item.quoted_quantity, item.unit),
            actual=format_quantity(item.actual_quantity, item.unit),
            quoted_cents=item.quoted_cents,
            actual_cents=item.actual_cents,
            cents=item.cents,
            made_of=_made_of("quantity", item.usage_cents, "price", item.price_cents),
        )
    for number, used in enumerate(tree.unquoted_materials):
        yield OutcomeRow(
            id=f"unquoted item {number}",
            part=MATERIALS,
            name=used.name,
            quoted="not quoted",
            actual=format_quantity(used.quantity, used.unit) if used.quantity is not None else "",
            quoted_cents=0,
            actual_cents=used.actual_cents,
            cents=used.cents,
        )
    if tree.purchase_tax.quoted_cents or tree.purchase_tax.actual_cents:
        yield _plain_row("tax", MATERIALS, tree.purchase_tax.name, tree.purchase_tax.quoted_cents,
                         tree.purchase_tax.actual_cents)  # fmt: skip


def _other_rows(tree: VarianceTree) -> Iterable[OutcomeRow]:
    for cost in tree.others:
        yield _plain_row(f"cost {cost.name}", OTHER, _kind(cost.name), cost.quoted_cents, cost.actual_cents)
    for paid in tree.unquoted_others:
        yield _plain_row(f"unquoted cost {paid.name}", OTHER, _kind(paid.name), None, paid.actual_cents)


def _kind(kind: str) -> str:
    name = kind_name(kind)
    return name[:1].upper() + name[1:]


def _plain_row(row_id: str, part: str, name: str, quoted_cents: int | None, actual_cents: int) -> OutcomeRow:
    quoted = "not quoted" if quoted_cents is None else format_money(quoted_cents)
    allowed = quoted_cents or 0
    return OutcomeRow(
        row_id, part, name, quoted, format_money(actual_cents), allowed, actual_cents, allowed - actual_cents
    )


def waterfall_steps(tree: VarianceTree, *, settled: bool = True) -> list[WaterfallStep]:
    """Quoted margin, every step that is worth one, actual margin; not settled, no step is shown as a gain."""
    notes = _notes(tree)
    steps = [
        WaterfallStep(
            "Quoted margin", tree.quoted_margin_cents, "total", text=format_money(tree.quoted_margin_cents)
        )
    ]
    steps += [
        WaterfallStep(
            step.label, step.cents, note=notes.get(step.key, ""), key=step.key, text=difference_text(step.cents),
            tone="" if settled else "unsure",
        )
        for step in joined_steps(tree.steps)
    ]
    steps.append(
        WaterfallStep(
            "Actual margin" if settled else "Actual margin, at most", tree.actual_margin_cents, "total",
            text=format_money(tree.actual_margin_cents),
        )
    )
    return steps


def _notes(tree: VarianceTree) -> dict[str, str]:
    """A few words under a step, where its name alone leaves a question."""
    planned = sum(row.actual_minutes - row.quoted_minutes for row in tree.tasks)
    unquoted = sum(row.minutes for row in tree.unquoted_hours)
    back = sum(row.actual_minutes for row in tree.callbacks)
    over_all = tree.actual_minutes - tree.quoted_minutes
    return {
        "efficiency": _against(planned),
        "unquoted_hours": f"{format_minutes(unquoted)} without a line in the quote",
        "callbacks": f"{format_minutes(back)} to put right what was done",
        "overhead": _against(over_all) + ", callbacks included" if back else _against(over_all),
        "change_orders": f"sold at {format_money(tree.change_order_price_cents)}, "
        f"to cost {format_money(tree.change_order_cost_cents)}",
    }


def _against(minutes: int) -> str:
    if not minutes:
        return "the quoted time in all"
    return f"{format_minutes(abs(minutes))} {'more' if minutes > 0 else 'less'} than quoted"
