"""The log of a story: hours, materials, miles and other costs, entered through the program's own calls."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from random import Random

from db.commands.learning import note_progress
from db.commands.log import log_hours, log_material, log_other_cost
from db.commands.log_many import NewHours, NewUse, log_whole_day
from db.edit import Edit
from domain.quoting.lines import MaterialLine
from sample_company.books import Books
from sample_company.days import Stint
from sample_company.story import Callback, Story, Work

_LUNCH = 30
_ON_THE_LAST_DAY = {"sealing", "paint", "label", "indicator"}
_BOUGHT_BY_THE_WAY = {"pipe": 35, "fitting": 40, "electrical": 30, "fan": 15, "sealing": 30, "hardware": 25}
_COUNTED = {"each", "tube", "can", "bag", "pail"}


def log_work_day(
    edit: Edit, books: Books, story: Story, job_id: int, day: int, stints: list[Stint],
    materials: list[MaterialLine], crew: Mapping[bool, int],
) -> None:  # fmt: skip
    """Enter one day of a job.

    Args:
        day: which of the work days, from 0.
        crew: the person's id, by whether it is the helper.
    """
    work = story.work or Work(used={})
    on = work.days[day]
    hours = _hours(books, story, on, stints, crew)
    log_whole_day(edit, job_id, on, hours, _uses(books, story, day, materials), books.rates(on), today=on)
    for said in work.said:
        if said.day == day + 1:
            for task, done in said.done.items():
                note_progress(edit, job_id, books.tasks[task].id, done, on)
    if story.quote and story.quote.trip:
        log_other_cost(
            edit, job_id, on, "travel", "", Decimal(story.quote.trip + _detour(story, day)), rates=books.rates(on)
        )
    if story.quote and day == len(work.days) - 1:
        for direct in story.quote.directs:
            paid = direct.quoted if direct.paid is None else direct.paid
            if paid:
                log_other_cost(
                    edit, job_id, on, direct.kind, direct.description, Decimal(1), unit_cost=paid,
                    unquoted=direct.unquoted, cause_id=books.cause(direct.cause), note=direct.note,
                )  # fmt: skip


def log_callback(edit: Edit, books: Books, job_id: int, told: Callback, person_id: int, trip: int) -> None:
    """Enter a visit to put right what was done."""
    log_hours(
        edit, job_id, told.on, books.tasks["Callback"].id, person_id, told.hours,
        cause_id=books.cause(told.cause), note=told.note, rates=books.rates(told.on), today=told.on,
    )  # fmt: skip
    if trip:
        log_other_cost(edit, job_id, told.on, "travel", "callback", Decimal(trip), rates=books.rates(told.on))
    for code, quantity in told.items.items():
        log_material(
            edit, job_id, told.on, books.items[code].id, "", quantity, unit_cost=books.price(code, told.on),
            unquoted=True, cause_id=books.cause(told.cause), note="callback",
        )  # fmt: skip


def _hours(books: Books, story: Story, on: date, stints: list[Stint], crew: Mapping[bool, int]) -> list[NewHours]:
    entries: list[NewHours] = []
    chance = Random(f"{story.number}/{on}/clock")
    for helper, person_id in crew.items():
        mine = [stint for stint in stints if stint.helper == helper]
        as_spans = chance.random() < 0.4 and (person_id, on) not in books.minutes and bool(mine)
        clock = 450 + int(chance.random() * 5) * 15  # between half past seven and half past eight
        lunch = False
        for stint in mine:
            if as_spans and not lunch and clock >= 12 * 60:
                clock, lunch = clock + _LUNCH, True
            entry = NewHours(
                books.tasks[stint.task].id, person_id, stint.minutes, clock if as_spans else None,
                stint.unquoted, books.cause(stint.cause), stint.note,
            )  # fmt: skip
            entries.append(entry)
            clock += stint.minutes
        if mine:
            so_far = books.minutes.get((person_id, on), 0)
            books.minutes[person_id, on] = so_far + sum(stint.minutes for stint in mine)
    return entries


def _uses(books: Books, story: Story, day: int, lines: list[MaterialLine]) -> list[NewUse]:
    """What was used that day: pipe and fan as the work goes, sealant, labels and indicator on the last day."""
    work = story.work or Work(used={})
    on, last = work.days[day], len(work.days) - 1
    uses: list[NewUse] = []
    for line in lines:
        code = books.item_codes[line.item_id or 0]
        chance = Random(f"{story.number}/{code}")
        when = last if books.items[code].item_class in _ON_THE_LAST_DAY else int(chance.random() * (last + 1))
        if when == day and code not in work.open_items:
            quantity = work.used.get(code, _used(line, chance))
            if quantity > 0:
                uses.append(_use(books, story, code, quantity, on, chance))
    for extra in work.bought:
        if extra.day == day + 1:
            chance = Random(f"{story.number}/{extra.item}/bought")
            use = _use(
                books, story, extra.item, extra.quantity, on, chance, unquoted=extra.marked,
                cause_id=books.cause(extra.cause), note=extra.note,
            )  # fmt: skip
            uses.append(use)
    return uses


def _used(line: MaterialLine, chance: Random) -> Decimal:
    """What an ordinary job uses of a quoted quantity."""
    luck = chance.random()
    if line.unit in _COUNTED and line.quantity >= 1:
        net = line.net_quantity
        more = 1 if luck > 0.86 else -1 if luck < 0.1 and net >= 2 else 0
        return Decimal(int(net)) + more
    if line.quantity < 5:
        return line.net_quantity + (Decimal("0.25") if luck > 0.8 else 0)
    share = Decimal(880 + int(luck * 220)) / 1000
    return Decimal(max(1, round(line.quantity * share)))


def _use(
    books: Books, story: Story, code: str, quantity: Decimal, on: date, chance: Random,
    *, unquoted: bool = False, cause_id: int | None = None, note: str = "",
) -> NewUse:  # fmt: skip
    item = books.items[code]
    price = books.price(code, on)
    by_the_way = unquoted or chance.random() * 100 < _BOUGHT_BY_THE_WAY.get(item.item_class, 10)
    receipt = ""
    if by_the_way:
        price = (price * (970 + int(chance.random() * 110)) / 1000).quantize(Decimal("0.01"))
        till = books.suppliers.get(item.supplier_id or 0, "")
        receipt = f"{till[:1]}{1000 + int(Random(f'{story.number}/{till}').random() * 9000)}"
    return NewUse(
        item.id, item.name, quantity, item.unit, price, "receipt" if by_the_way else "stock", receipt,
        unquoted, cause_id, note,
    )  # fmt: skip


def _detour(story: Story, day: int) -> int:
    """Miles beyond the usual way: the counter, the wrong turning."""
    luck = Random(f"{story.number}/{day}/miles").random()
    return int(luck * 8) if luck > 0.7 else 0
