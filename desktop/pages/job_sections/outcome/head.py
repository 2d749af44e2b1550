"""The top of the outcome: the sentence, hours and cost as quoted/actual bars, and the two margins; while the job
runs what is spent and what is still to come."""

from __future__ import annotations

from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QLabel, QVBoxLayout, QWidget

from db.queries.outcome import JobOutcome
from desktop.widgets.as_typed import set_tip
from desktop.widgets.cards import Card, Figure, FlowLayout, Notice, StatePill, label, set_tone
from desktop.widgets.quoted_actual_bar import QuotedActualBar
from domain.costing import VarianceTree, at_most, difference_text, explain, own_hour
from domain.dates import format_day_short
from domain.money import divide_cents, format_money, margin_percent
from domain.units import format_minutes, format_share, format_whole_percent

SO_FAR = (
    "So far: what is not logged yet is still to come, at its quoted cost. The margin is told once the job is closed."
)
NOT_LOGGED = (
    "Not fully logged: what nobody wrote down looks saved here and may not be. The answers are given above."
)
NOT_DONE = (
    "Of the quoted hours {minutes} were for work that was not done. The record of finished jobs leaves them out, so it "
    "compares with that much less."
)


class _BarLine:
    """Name, bar, "quoted 9 h 30, actual 12 h 40", "+3 h 10"."""

    def __init__(self, name: str, grid: QGridLayout, row: int) -> None:
        self.bar = QuotedActualBar()
        self.bar.setMinimumWidth(110)
        self.bar.setMinimumHeight(24)
        self.bar.setAccessibleName(f"{name}: quoted and actual")
        self.words, self.over = label(""), label("", "strong")
        grid.addWidget(label(name, "body", "soft"), row, 0)
        grid.addWidget(self.bar, row, 1)
        grid.addWidget(self.words, row, 2)
        grid.addWidget(self.over, row, 3)

    def show(self, quoted: int, actual: int, words: str, over: str, *, settled: bool) -> None:
        self.bar.set_values(quoted, actual)
        self.bar.setAccessibleDescription(f"{words}, {over}")
        set_tip(self.bar, f"{words}, {over}")
        self.words.setText(words)
        self.over.setText(over)
        set_tone(self.over, "over" if actual > quoted else "under" if actual < quoted and settled else "")


class OutcomeHead(Card):
    """Everything that can be read at a glance."""

    def __init__(self) -> None:
        super().__init__()
        self.setAccessibleName("Quoted against actual")
        self.sentence = label("", "section", wrap=True)
        self.pill = StatePill("", "plain")
        self.causes: QLabel = label("", "body", "soft", wrap=True)
        self.notice = Notice("info")
        bars = QGridLayout()
        bars.setHorizontalSpacing(16)
        bars.setVerticalSpacing(6)
        bars.setColumnStretch(1, 1)
        self.hours, self.cost = _BarLine("Hours", bars, 0), _BarLine("Cost", bars, 1)
        top = QHBoxLayout()
        top.addWidget(self.sentence, 1)
        top.addWidget(self.pill)
        self.quoted = Figure("Quoted margin")
        self.actual = Figure("Actual margin")
        self.difference = Figure("Against the quote")
        self.own = Figure("Left for an hour of your own")
        figures = QWidget()
        flow = FlowLayout(figures, 12)
        self.price = Figure("Price")
        self.spent = Figure("Spent so far")
        self.to_come = Figure("Still to come")
        for figure in (self.price, self.spent, self.to_come, self.quoted, self.actual, self.difference, self.own):
            flow.addWidget(figure)
        body = QVBoxLayout()
        body.setSpacing(10)
        body.addLayout(top)
        body.addWidget(self.causes)
        body.addLayout(bars)
        body.addWidget(figures)
        body.addWidget(self.notice)
        self.add(body)

    def show_outcome(self, outcome: JobOutcome, tree: VarianceTree, not_done_minutes: int = 0) -> None:
        """Show one job; of its quoted minutes so many were answered as not done."""
        figures = outcome.figures
        quoted = bool(figures.sold)
        self.sentence.setText(
            explain(tree, figures.causes, quoted=quoted, running=outcome.running, settled=outcome.settled)
        )
        causes = [f"{share.cause} {format_minutes(share.minutes)}" for share in figures.causes]
        self.causes.setText("Causes given: " + ", ".join(causes) if causes else "")
        self.causes.setVisible(bool(causes))
        self._show_state(outcome)
        self._show_bars(outcome)
        self._show_running(outcome, tree, quoted=quoted)
        self._show_margins(tree, quoted=quoted, outcome=outcome)
        self._show_own_hour(outcome, tree)
        words = SO_FAR if outcome.running and quoted and figures.anything_logged else ""
        if outcome.settled and not_done_minutes:
            words = NOT_DONE.format(minutes=format_minutes(not_done_minutes))
        self.notice.set_words("info", NOT_LOGGED if outcome.unanswered else words)

    def _show_state(self, outcome: JobOutcome) -> None:
        if outcome.cancelled_on:
            self.pill.set_words(f"canceled {format_day_short(outcome.cancelled_on)}", "plain")
        elif outcome.closed_on:
            words = f"closed {format_day_short(outcome.closed_on)}"
            self.pill.set_words(f"{words}, not fully logged" if outcome.unanswered else words,
                                "caution" if outcome.unanswered else "plain")  # fmt: skip
        else:
            self.pill.set_words("so far", "info")

    def _show_bars(self, outcome: JobOutcome) -> None:
        seen, word = outcome.so_far, "left" if outcome.running else "under"
        minutes, cents = seen.over_minutes, seen.cents - seen.quoted_cents
        self.hours.show(
            seen.quoted_minutes,
            seen.minutes,
            f"quoted {format_minutes(seen.quoted_minutes)}, actual {format_minutes(seen.minutes)}",
            _over(format_minutes(abs(minutes)), minutes, seen.quoted_minutes, word),
            settled=outcome.settled,
        )
        self.cost.show(
            seen.quoted_cents,
            seen.cents,
            f"quoted {format_money(seen.quoted_cents)}, actual {format_money(seen.cents)}",
            _over(format_money(abs(cents)), cents, seen.quoted_cents, word),
            settled=outcome.settled,
        )

    def _show_running(self, outcome: JobOutcome, tree: VarianceTree, *, quoted: bool) -> None:
        """While a job runs: what is spent and what is still to come, and no margin, which nobody can know yet."""
        for figure in (self.price, self.spent, self.to_come):
            figure.setVisible(outcome.running and (quoted or figure is self.spent))
        self.price.set_values(format_money(tree.revenue_cents), "before tax, with change orders and goodwill")
        seen = outcome.so_far
        self.spent.set_values(format_money(seen.cents), f"of {format_money(seen.quoted_cents)} quoted")
        self.to_come.set_values(format_money(tree.still_to_come_cents), "quoted less logged, line by line")

    def _show_margins(self, tree: VarianceTree, *, quoted: bool, outcome: JobOutcome) -> None:
        ended, partly = not outcome.running, outcome.unanswered
        self.quoted.setVisible(quoted or ended)
        self.actual.setVisible(ended)
        share = format_share(margin_percent(tree.quoted_price_cents, tree.quoted_cost_cents))
        self.quoted.set_values(
            format_money(tree.quoted_margin_cents) if quoted else "–",
            f"{share} of {format_money(tree.quoted_price_cents)}" if quoted else "no accepted quote",
        )
        share = format_share(margin_percent(tree.revenue_cents, tree.actual_cost_cents))
        self.actual.set_values(
            at_most(format_money(tree.actual_margin_cents), partly, short=False),
            f"{at_most(share, partly)} of {format_money(tree.revenue_cents)} agreed",
            "error" if tree.actual_margin_cents < 0 else "",
        )
        change = tree.actual_margin_cents - tree.quoted_margin_cents
        self.difference.set_values(
            at_most(difference_text(change) if change else "$0.00", partly, short=False),
            "as far as it is logged" if partly else "to the cent, step by step below",
            "over" if change < 0 else "under" if change > 0 and outcome.settled else "",
        )
        self.difference.setVisible(quoted and ended)

    def _show_own_hour(self, outcome: JobOutcome, tree: VarianceTree) -> None:
        hour = own_hour(tree.actual_margin_cents, tree.own_labour_cents, tree.own_minutes)
        self.own.setVisible(hour is not None and not outcome.running)
        if hour is None:
            return
        wage = f", wage {format_money(outcome.wage_cents)}" if outcome.wage_cents is not None else ""
        self.own.set_values(
            at_most(format_money(hour.per_hour_cents), outcome.unanswered, short=False),
            f"it costs {format_money(hour.burdened_cents)}{wage}",
            "over" if hour.short_cents > 0 else "under" if outcome.settled else "",
        )
        set_tip(
            self.own,
            f"{format_money(hour.left_cents)} were left for {format_minutes(hour.minutes)} of your own time after "
            "materials, helpers, other costs, tax on purchases and overhead. An hour of yours costs "
            f"{format_money(hour.burdened_cents)} with taxes, insurance and unpaid hours"
            + (f"; the wage in the firm's costs is {format_money(outcome.wage_cents)}." if outcome.wage_cents else ".")
        )


def _over(amount: str, difference: int, quoted: int, under: str) -> str:
    """``3 h 10 over (33%)``."""
    if not difference:
        return "as quoted"
    share = f" ({format_whole_percent(abs(divide_cents(difference * 100, quoted)))})" if quoted > 0 else ""
    return f"{amount} {'over' if difference > 0 else under}{share}"
