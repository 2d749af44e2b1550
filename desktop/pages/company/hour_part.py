"""What an hour costs: each person's hour, the overhead on it, and a mile, each with its start and its ladder."""

from __future__ import annotations

from db.queries.firm import company_costs
from desktop.desk import Desk
from desktop.pages.company.mile_card import MileCard
from desktop.pages.company.overhead_card import OverheadCard
from desktop.pages.company.part import Part
from desktop.pages.company.person_card import PersonCard
from desktop.widgets.cards import Card, Figure, column, flowing
from domain.company_costs.rates import rates_on
from domain.money import format_money, format_unit_cost


class HourPart(Part):
    """The figures of today on top; beneath, what they are made of."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(
            desk,
            "Cost of an hour",
            "A quote counts every hour at what it really costs you. A new rate counts from its day on; "
            "jobs before that day keep theirs.",
        )
        self.owner = Figure("Owner's hour")
        self.helper = Figure("Helper's hour")
        self.overhead = Figure("Overhead on each hour")
        self.whole = Figure("An owner's hour on a job")
        self.mile = Figure("A mile")
        self.people, self.months, self.miles = PersonCard(desk), OverheadCard(desk), MileCard(desk)
        today = Card()
        today.add(flowing(self.owner, self.helper, self.overhead, self.whole, self.mile, spacing=20))
        self.add_scrolling(column(today, self.people, self.months, self.miles, None))

    def refresh(self) -> None:
        today = self.desk.today()
        with self.desk.read() as conn:
            costs = company_costs(conn)
        rates = rates_on(costs, today)
        has_helper = any(person.role == "helper" and not person.archived for person in costs.people)
        self.owner.set_values(format_money(rates.owner_cents), "burdened, per billable hour")
        self.helper.set_values(format_money(rates.helper_cents) if has_helper else "–", "of the most expensive helper")
        self.helper.setVisible(has_helper)
        self.overhead.set_values(format_money(rates.overhead_cents), "per billable hour")
        self.whole.set_values(format_money(rates.owner_cents + rates.overhead_cents), "before any profit")
        self.mile.set_values(format_unit_cost(rates.mile_cost), "per mile")
        self.people.show_costs(costs, today)
        self.months.show_costs(costs, today)
        self.miles.show_costs(costs, today)
