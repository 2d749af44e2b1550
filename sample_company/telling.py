"""Tells a story to the company: what the owner did on which day, one call of the program after the other."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import date
from functools import partial
from typing import Any

from sqlalchemy import select

from db.commands import jobs, people, quotes, survey
from db.commands.closing import answer_line
from db.edit import Edit
from db.queries.quotes import quote_document
from db.tables import deadline as deadlines
from domain.closing import LEFT_OUT, TASK, WITHIN, LineKey
from domain.money import cents_of
from domain.quoting.lines import MaterialLine
from sample_company import quoting
from sample_company.books import Books
from sample_company.days import Stint, work_days
from sample_company.handing_over import KEPT_SINCE, PICKED_UP, PLACED, HandingOver
from sample_company.log_days import log_callback, log_work_day
from sample_company.money import Money
from sample_company.story import Callback, ChangeOrder, Customer, House, Story, Test
from sample_company.takeoffs import has_takeoff, tell_takeoff

Deed = Callable[[Edit], object]


@dataclass(slots=True)
class Told:
    """What has been told so far: customers and houses that are in the books already."""

    customers: dict[str, int] = field(default_factory=dict)
    houses: dict[str, int] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Crew:
    """Who does the job: the owner with a helper by name, or, in a larger firm, two helpers of their own."""

    lead: int
    mates: dict[str, int]
    all_helpers: bool = False


@dataclass(slots=True)
class Telling:
    """One story with the ids it has got on the way."""

    books: Books
    told: Told
    story: Story
    house: House
    customer: Customer
    crew: Crew
    job_id: int = 0
    quote_id: int = 0
    order_ids: dict[str, int] = field(default_factory=dict)
    _stints: list[list[Stint]] = field(default_factory=list)
    _materials: list[MaterialLine] = field(default_factory=list)

    def deeds(self) -> Iterator[tuple[date, Deed]]:
        """What was done, with its day; those of one day in the order they were done."""
        story = self.story
        yield story.opened, self._open
        if seen := story.survey:
            yield seen.on, self._survey
        if has_takeoff(story):
            on = seen.on if seen else story.opened
            yield on, lambda edit: tell_takeoff(edit, self.books, story, self.job_id, on)
        yield from self._offer()
        if story.scheduled:
            booked = story.quote.accepted if story.quote and story.quote.accepted else story.opened
            yield booked, lambda edit: jobs.schedule_job(edit, self.job_id, story.scheduled)
        yield from self._work()
        yield from self._results()
        yield from self._told_of(HandingOver(self.books, story, self.crew.lead))
        yield from self._money()

    def _offer(self) -> Iterator[tuple[date, Deed]]:
        quote = self.story.quote
        if not quote:
            return
        yield quote.begun, self._begin_quote
        if sent := quote.sent:
            yield sent, lambda edit: quotes.send_quote(edit, self.quote_id, sent)
        if quote.revised:
            yield quote.revised.on, self._revise
        if accepted := quote.accepted:
            yield accepted, lambda edit: quoting.accept(edit, self.story, self.quote_id, accepted)
        if declined := quote.declined:
            yield declined, lambda edit: quotes.decline_quote(edit, self.quote_id, declined, quote.reason)

    def _work(self) -> Iterator[tuple[date, Deed]]:
        work = self.story.work
        if not work:
            return
        for number, day in enumerate(work.days):
            yield day, partial(self._log, number)
        for order in work.change_orders:
            yield order.begun, partial(self._begin_order, order)
            if order.sent:
                yield order.sent, partial(self._send_order, order)
            if answered := order.accepted or order.declined:
                yield answered, partial(self._answer_order, order)

    def _results(self) -> Iterator[tuple[date, Deed]]:
        story = self.story
        if installed := story.installed:
            yield installed, lambda edit: jobs.mark_installed(edit, self.job_id, installed)
        for test in story.after:
            yield test.ended, partial(self._test, test, "after")
        for visit in story.work.callbacks if story.work else ():
            yield visit.on, partial(self._come_back, visit)
        for deadline in story.deadlines:
            if deadline.met:
                yield deadline.met, partial(self._meet, deadline.reason)

    def _money(self) -> Iterator[tuple[date, Deed]]:
        story = self.story
        yield from self._told_of(Money(self.story))
        if closed := story.closed:
            yield closed, partial(self._close, closed)
        if ended := story.cancelled:
            yield ended.on, lambda edit: jobs.cancel_job(edit, self.job_id, ended.on, ended.reason)

    def _close(self, on: date, edit: Edit) -> None:
        tasks = self.books.tasks
        for one in self.story.answered:
            key, within = LineKey(TASK, tasks[one.task].id), tasks[one.within].id if one.within else None
            answer_line(edit, self.job_id, key, WITHIN if one.within else LEFT_OUT, within)
        jobs.close_job(edit, self.job_id, on)

    def _told_of(self, side: Money | HandingOver) -> Iterator[tuple[date, Deed]]:
        """The deeds of one side of the story, which learns the job's id when it is told."""

        def told(deed: Deed) -> Deed:
            def tell(edit: Edit) -> None:
                side.job_id = self.job_id
                deed(edit)

            return tell

        for day, deed in side.deeds():
            yield day, told(deed)

    def _open(self, edit: Edit) -> None:
        story, books = self.story, self.books
        customer_id = self._customer_id(edit)
        self.job_id = jobs.open_job(
            edit, customer_id, self._house_id(edit, customer_id), books.types[story.type], books.leads[story.lead],
            story.title, story.opened, story.number,
        )  # fmt: skip
        if story.note:
            jobs.change_job(edit, self.job_id, note=story.note)
        jobs.set_conditions(edit, self.job_id, [books.conditions[name] for name in story.conditions])
        for party in story.parties:
            jobs.add_party(edit, self.job_id, party.role, party.name, phone=party.phone)
        for deadline in story.deadlines:
            jobs.add_deadline(edit, self.job_id, deadline.on, deadline.reason)
        for test in story.before:
            self._test(test, "before", edit)

    def _customer_id(self, edit: Edit) -> int:
        who, known = self.customer, self.told.customers
        if who.name not in known:
            known[who.name] = people.add_customer(
                edit, who.name, self.story.opened, kind=who.kind, billing_address=who.billing, note=who.note
            )
            for kind, values in (("phone", who.phones), ("mail", who.mails)):
                for label, value in values:
                    people.add_contact(edit, known[who.name], kind, value, label)
        return known[who.name]

    def _house_id(self, edit: Edit, customer_id: int) -> int:
        house, known = self.house, self.told.houses
        if house.key not in known:
            known[house.key] = people.add_property(
                edit, customer_id, house.street, town=house.town, region=self.books.region, postcode=house.postcode,
                year_built=house.built, storeys=house.storeys, slab="slab" in house.foundation,
                basement="basement" in house.foundation, crawl_space="crawl space" in house.foundation,
                existing_system=house.existing, existing_by=house.existing_by, note=house.note,
            )  # fmt: skip
        elif not house.existing:  # the system in it by now is our own
            people.change_property(
                edit, known[house.key], existing_system=True, existing_by=f"{self.books.firm.name}, an earlier job"
            )
        return known[house.key]

    def _survey(self, edit: Edit) -> None:
        seen = self.story.survey
        assert seen is not None
        survey.save_survey(
            edit, self.job_id, seen.on, existing_notes=seen.existing, findings=seen.findings, access_notes=seen.access
        )

    def _test(self, test: Test, purpose: str, edit: Edit) -> None:
        known: dict[str, Any] = {}
        if self.story.opened >= KEPT_SINCE:
            by = self.books.firm.owner_name if purpose == "after" else "an independent tester"
            known = {"started_minute": PLACED, "ended_minute": PICKED_UP, "closed_house": "yes", "placed_by": by}
        survey.add_radon_test(
            edit, self.job_id, purpose, test.device, test.result, test.ended, started_on=test.started,
            place=test.place, note=test.note, **known,
        )  # fmt: skip

    def _begin_quote(self, edit: Edit) -> None:
        self.quote_id = quoting.begin_quote(edit, self.books, self.story, self.job_id, self.crew.all_helpers)

    def _revise(self, edit: Edit) -> None:
        self.quote_id = quoting.revise(edit, self.books, self.story, self.quote_id)

    def _log(self, number: int, edit: Edit) -> None:
        if not self._stints:
            self._plan(edit)
        log_work_day(
            edit, self.books, self.story, self.job_id, number, self._stints[number], self._materials, self._hands()
        )

    def _plan(self, edit: Edit) -> None:
        document = quote_document(edit.conn, self.quote_id)
        sold = {None, *(option.id for option in document.options if option.chosen)}
        lines = [line for line in document.labour if line.option_id in sold]
        self._stints = work_days(self.story, lines, self.books.task_names)
        self._materials = [line for line in document.materials if line.option_id in sold]

    def _hands(self) -> dict[bool, int]:
        helper = self.story.work.helper if self.story.work else ""
        return {False: self.crew.lead} | ({True: self.crew.mates[helper]} if helper else {})

    def _come_back(self, visit: Callback, edit: Edit) -> None:
        trip = self.story.quote.trip if self.story.quote else 0
        log_callback(edit, self.books, self.job_id, visit, self.crew.lead, trip)

    def _begin_order(self, order: ChangeOrder, edit: Edit) -> None:
        order_id = quotes.start_change_order(
            edit, self.job_id, order.begun, self.books.rates(order.begun), self.books.firm, title=order.title
        )
        if order.goodwill:
            quotes.set_goodwill(edit, order_id, cents_of(order.goodwill), order.goodwill_reason)
        self.order_ids[order.title] = order_id

    def _send_order(self, order: ChangeOrder, edit: Edit) -> None:
        assert order.sent is not None
        quotes.send_quote(edit, self.order_ids[order.title], order.sent)

    def _answer_order(self, order: ChangeOrder, edit: Edit) -> None:
        if order.accepted:
            quotes.accept_quote(edit, self.order_ids[order.title], order.accepted)
        elif order.declined:
            quotes.decline_quote(edit, self.order_ids[order.title], order.declined, order.reason)

    def _meet(self, reason: str, edit: Edit) -> None:
        due = select(deadlines.c.id).where(deadlines.c.job_id == self.job_id, deadlines.c.reason == reason)
        for deadline_id in edit.conn.execute(due).scalars().all():
            jobs.mark_deadline_met(edit, deadline_id)
