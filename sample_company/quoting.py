"""The quote of a story, from its first line to the customer's answer, through the program's own calls."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from sqlalchemy import select

from db.commands import quotes
from db.commands.quotes.many import NewLabour, NewMaterial, add_lines
from db.edit import Edit
from db.tables import job_type_item, job_type_task, labour_line, material_line, quote_option
from domain.money import cents_of
from sample_company.books import Books
from sample_company.story import Many, Proposal, Story

_HALF = Decimal(2)


def begin_quote(edit: Edit, books: Books, story: Story, job_id: int, all_by_helpers: bool) -> int:
    """Write the first version as the owner did that evening and return its id."""
    told = _quote_of(story)
    on = told.begun
    quote_id = quotes.start_quote(edit, job_id, on, books.rates(on), books.firm, usual_lines=False)
    usual_tasks, usual_items = _usual(edit, books, story.type)
    labour = _labour(books, story, {**usual_tasks, **told.tasks}, all_by_helpers)
    add_lines(edit, quote_id, labour, _materials(books, {**usual_items, **told.items}, on))
    for choice in told.choices:
        option_id = quotes.add_option(edit, quote_id, choice.name, choice.description)
        add_lines(
            edit, quote_id, _labour(books, story, choice.tasks, all_by_helpers), _materials(books, choice.items, on),
            option_id=option_id,
        )  # fmt: skip
    if told.trip:
        quotes.add_other(
            edit, quote_id, "travel", Decimal(told.trip * told.visits), description=_visits(told.visits, told.trip)
        )
    for direct in told.directs:
        if direct.quoted:
            quotes.add_other(edit, quote_id, direct.kind, Decimal(1), direct.quoted, description=direct.description)
    _price(edit, quote_id, told)
    if told.goodwill:
        quotes.set_goodwill(edit, quote_id, cents_of(told.goodwill), told.goodwill_reason)
    return quote_id


def revise(edit: Edit, books: Books, story: Story, quote_id: int) -> int:
    """Send the second version the customer asked for and return its id."""
    told = _quote_of(story).revised
    assert told is not None
    new_id = quotes.revise_quote(edit, quote_id, told.on)
    for table, kind, ids in (
        (labour_line, "labour", [books.tasks[name].id for name in told.without if name in books.tasks]),
        (material_line, "material", [books.items[code].id for code in told.without if code in books.items]),
    ):
        column = table.c.task_id if kind == "labour" else table.c.item_id
        gone = select(table.c.id).where(table.c.quote_id == new_id, column.in_(ids))
        for line_id in edit.conn.execute(gone).scalars().all():
            quotes.remove_line(edit, kind, line_id)
    if told.margin is not None:
        quotes.set_pricing(edit, new_id, pricing_percent=told.margin)
    if told.goodwill:
        quotes.set_goodwill(edit, new_id, cents_of(told.goodwill), told.goodwill_reason)
    quotes.send_quote(edit, new_id, told.on)
    return new_id


def accept(edit: Edit, story: Story, quote_id: int, on: date) -> None:
    """Note the acceptance with the options the customer chose."""
    wanted = {choice.name for choice in _quote_of(story).choices if choice.chosen}
    rows = edit.conn.execute(select(quote_option.c.id, quote_option.c.name).where(quote_option.c.quote_id == quote_id))
    quotes.accept_quote(edit, quote_id, on, [row.id for row in rows if row.name in wanted])


def _price(edit: Edit, quote_id: int, told: Proposal) -> None:
    if told.margin is not None:
        quotes.set_pricing(edit, quote_id, pricing_percent=told.margin)
    if told.markup is not None:
        quotes.set_pricing(edit, quote_id, pricing="markup", pricing_percent=told.markup)
    if told.fixed is not None:
        quotes.set_pricing(edit, quote_id, pricing="fixed", fixed_price_cents=cents_of(told.fixed))


def _quote_of(story: Story) -> Proposal:
    if story.quote is None:
        raise ValueError(f"{story.number} has no quote")
    return story.quote


def _usual(edit: Edit, books: Books, type_name: str) -> tuple[Many, Many]:
    """The usual tasks and items of a job type, by name and code."""
    type_id = books.types[type_name]
    if type_id not in books.usual:
        tasks = edit.conn.execute(
            select(job_type_task.c.task_id, job_type_task.c.quantity)
            .where(job_type_task.c.job_type_id == type_id)
            .order_by(job_type_task.c.position)
        )
        items = edit.conn.execute(
            select(job_type_item.c.item_id, job_type_item.c.quantity)
            .where(job_type_item.c.job_type_id == type_id)
            .order_by(job_type_item.c.position)
        )
        books.usual[type_id] = (
            {books.task_names[row.task_id]: row.quantity for row in tasks},
            {books.item_codes[row.item_id]: row.quantity for row in items},
        )
    return books.usual[type_id]


def _labour(books: Books, story: Story, tasks: Many, all_by_helpers: bool) -> list[NewLabour]:
    told = _quote_of(story)
    picks = books.picks(story.conditions)
    lines: list[NewLabour] = []
    for name, quantity in tasks.items():
        if not quantity:
            continue
        crew = ("helper",) if all_by_helpers else ("owner", "helper") if name in told.shared else ("owner",)
        typed, why = told.minutes.get(name), told.why.get(name)
        share = Decimal(1) if len(crew) == 1 else _HALF
        for hand in crew:
            minutes = None if typed is None else round(typed / share)
            lines.append(NewLabour(picks[name], quantity / share, hand, minutes, why))
    return lines


def _materials(books: Books, items: Many, on: date) -> list[NewMaterial]:
    return [
        NewMaterial(books.items[code], quantity, books.price(code, on)) for code, quantity in items.items() if quantity
    ]


def _visits(visits: int, trip: int) -> str:
    return f"{visits} {'day' if visits == 1 else 'days'}, {trip} miles there and back"
