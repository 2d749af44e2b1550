"""Callbacks by job type: of how many closed jobs one had to come again to put something right."""

from __future__ import annotations

from collections.abc import Sequence

from desktop.pages.margins.tables import FittingTable
from desktop.widgets.cards import Card
from desktop.widgets.table import Column, RowsModel
from domain.costing.callbacks import CallbackRate
from domain.units import format_share


class CallbacksCard(Card):
    """Hidden while no closed job was called back to."""

    def __init__(self) -> None:
        super().__init__("Callbacks by job type", "A callback visit, or hours on a callback task, on a closed job")
        model = RowsModel(
            [
                Column("name", "Job type", stretch=1),
                Column("jobs", "Closed jobs", "right", width=110),
                Column("called_back", "Called back to", "right", width=130),
                Column("percent", "Rate", "right", width=90),
            ],
            text={
                "jobs": lambda rate: f"{rate.jobs:,}",
                "called_back": lambda rate: f"{rate.called_back:,}" if rate.called_back else "none",
                "percent": lambda rate: format_share(rate.percent),
            },
            sort_key={
                "jobs": lambda rate: rate.jobs,
                "called_back": lambda rate: rate.called_back,
                "percent": lambda rate: rate.percent,
            },
            tone={"percent": lambda rate: "over" if rate.called_back else "under"},
            row_id=lambda rate: rate.name,
        )
        self.table = FittingTable(model, "Callbacks by job type")
        self.add(self.table)

    def show_rates(self, rates: Sequence[CallbackRate]) -> None:
        """Show these."""
        self.table.rows_model().set_rows(rates)
        self.table.fit_height(1)
        self.setVisible(any(rate.called_back for rate in rates))
