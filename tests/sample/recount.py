"""The money of a company counted a second way: plain SQL and a table library, from the tables' columns alone.

Nothing of the program's own sums is used here: no query of it, no rounding of it. What the columns mean is in
`db/tables`: quantities are thousandths, unit costs ten-thousandths of a dollar, percentages thousandths, rates cents
an hour. Every line and every entry is rounded to the cent by itself, half away from zero, and then added.
"""

from __future__ import annotations

from typing import Any

import pandas as pd
from sqlalchemy import Connection

PROPOSAL, CHOSEN_OR_BASE = "proposal", "(l.option_id is null or o.chosen)"


def table(conn: Connection, sql: str) -> pd.DataFrame:
    """What a statement brings, its columns as they are in the file."""
    rows = conn.exec_driver_sql(sql)
    return pd.DataFrame(rows.fetchall(), columns=list(rows.keys()))


def over(top: Any, bottom: int) -> Any:
    """A whole number over another, to the nearest, half away from zero; for one number or a column of them."""
    if isinstance(top, pd.Series):
        return pd.Series([over(int(one), bottom) for one in top], index=top.index, dtype="int64")
    sign = -1 if top < 0 else 1
    return sign * ((2 * abs(top) + bottom) // (2 * bottom))


def share(actual: int, quoted_cents: int, quoted: int) -> int:
    """actual x cents / quoted to the nearest cent; nothing quoted allows nothing."""
    if not quoted:
        return 0
    if quoted < 0:
        actual, quoted = -actual, -quoted
    return int(over(actual * quoted_cents, quoted))


class Recount:
    """Everything by job id, in cents and minutes."""

    def __init__(self, conn: Connection) -> None:
        self.jobs = table(
            conn,
            "select j.id, j.number, t.name as job_type, s.name as lead_source, j.closed_on, j.cancelled_on,"
            " j.unanswered,"
            " p.slab, p.basement, p.crawl_space from job j join job_type t on t.id = j.job_type_id"
            " join property p on p.id = j.property_id left join lead_source s on s.id = j.lead_source_id",
        ).set_index("id")
        self.quotes = self._sold(conn)
        self.labour = self._lines(conn, "labour_line", "l.task_id, k.role, l.minutes, l.rate_cents",
                                  " join labour_task k on k.id = l.task_id")  # fmt: skip
        self.materials = self._lines(conn, "material_line", "l.item_id, l.description, l.unit, l.quantity, l.unit_cost")
        self.others = self._lines(conn, "other_line", "l.kind, l.quantity, l.unit_cost")
        self.hours = table(
            conn,
            "select h.job_id, h.task_id, k.role, h.minutes, h.rate_cents, h.overhead_rate_cents, h.unquoted,"
            " p.role = 'owner' as own from hours_entry h join labour_task k on k.id = h.task_id"
            " join person p on p.id = h.person_id",
        )
        self.used = table(
            conn, "select job_id, item_id, description, unit, quantity, unit_cost, unquoted from material_use"
        )
        self.paid = table(conn, "select job_id, kind, quantity, unit_cost, unquoted from other_cost")
        self.hours["cents"] = over(self.hours.minutes * self.hours.rate_cents, 60)
        self.hours["overhead"] = over(self.hours.minutes * self.hours.overhead_rate_cents, 60)
        self.labour["cents"] = over(self.labour.minutes * self.labour.rate_cents, 60)
        for goods in (self.materials, self.others, self.used, self.paid):
            goods["cents"] = over(goods.quantity * goods.unit_cost, 100_000)
        for goods in (self.materials, self.used):
            named = goods.description.str.strip().str.casefold()
            goods["what"] = goods.item_id.astype("object").where(goods.item_id.notna(), named)
        self.written_off = self._sum(
            table(conn, "select job_id, amount_cents as cents from price_adjustment where kind = 'write_off'"), "cents"
        )
        self.frame = self._frame()

    def _sold(self, conn: Connection) -> pd.DataFrame:
        """The last accepted proposal of every job and all its accepted change orders."""
        found = table(conn, "select * from quote where accepted_on is not null").sort_values(["version", "id"])
        proposals = found[found.kind == PROPOSAL].groupby("job_id").tail(1)
        return pd.concat([proposals, found[found.kind != PROPOSAL]]).set_index("id")

    def _lines(self, conn: Connection, name: str, columns: str, more: str = "") -> pd.DataFrame:
        lines = table(
            conn,
            f"select l.quote_id, {columns} from {name} l{more}"
            f" left join quote_option o on o.id = l.option_id where {CHOSEN_OR_BASE}",
        )
        lines = lines[lines.quote_id.isin(self.quotes.index)].copy()
        lines["job_id"] = lines.quote_id.map(self.quotes.job_id)
        return lines

    def _sum(self, rows: pd.DataFrame, column: str) -> pd.Series:
        return rows.groupby("job_id")[column].sum().reindex(self.jobs.index, fill_value=0)

    def _frame(self) -> pd.DataFrame:
        quotes = self.quotes

        def of(lines: pd.DataFrame, column: str) -> pd.Series:
            return lines.groupby("quote_id")[column].sum().reindex(quotes.index, fill_value=0)

        lump = quotes.tax_percent.where(quotes.tax_treatment == "lump_sum", 0)
        materials, minutes = of(self.materials, "cents"), of(self.labour, "minutes")
        quotes["overhead"] = over(minutes * quotes.overhead_rate_cents, 60)
        quotes["tax"] = over(materials * lump, 100_000)
        quotes["cost"] = of(self.labour, "cents") + materials + of(self.others, "cents") + quotes.overhead + quotes.tax
        quotes["price"] = quotes.price_cents.fillna(0).astype("int64")
        first, orders = quotes[quotes.kind == PROPOSAL], quotes[quotes.kind != PROPOSAL]
        made = pd.DataFrame(index=self.jobs.index)
        made["price"], made["cost"] = self._sum(first, "price"), self._sum(first, "cost")
        made["order_price"], made["order_cost"] = self._sum(orders, "price"), self._sum(orders, "cost")
        made["goodwill"] = self._sum(quotes, "goodwill_cents")
        made["accepted"] = made.index.isin(first.job_id)
        made["revenue"] = made.price + made.order_price - made.goodwill - self.written_off
        made["quoted_minutes"], made["minutes"] = self._sum(self.labour, "minutes"), self._sum(self.hours, "minutes")
        percent = lump[first.index].groupby(first.job_id).sum().reindex(made.index, fill_value=0)
        stuff = self._sum(self.used, "cents")
        made["tax"] = over(stuff * percent, 100_000)
        made["actual"] = (
            self._sum(self.hours, "cents") + self._sum(self.hours, "overhead") + stuff
            + self._sum(self.paid, "cents") + made.tax
        )  # fmt: skip
        made["margin"] = made.revenue - made.actual
        own = self.hours[self.hours.own.astype(bool)]
        made["own_minutes"] = self._sum(own, "minutes")
        return made

    # Variances.

    def variances(self) -> pd.DataFrame:
        """Every step from the quoted to the actual margin, favourable positive."""
        made, quotes = self.frame, self.quotes
        steps = pd.DataFrame(index=made.index)
        steps["goodwill"] = -made.goodwill
        steps["change_orders"] = made.order_price - made.order_cost
        steps["write_offs"] = -self.written_off
        work, logged = self.labour[self.labour.role != "callback"], self.hours[self.hours.role != "callback"]
        time = self._two_ways(work, logged, ["task_id"], "minutes")
        steps["efficiency"], steps["rate"], steps["unquoted_hours"] = time
        steps["usage"], steps["price"], steps["unquoted_materials"] = self._two_ways(
            self.materials, self.used, ["what", "unit"], "quantity"
        )
        steps["others"], steps["unquoted_others"] = self._by_kind()
        steps["purchase_tax"] = self._sum(quotes, "tax") - made.tax
        steps["overhead"] = self._sum(quotes, "overhead") - self._sum(self.hours, "overhead")
        back, done = self.labour[self.labour.role == "callback"], self.hours[self.hours.role == "callback"]
        steps["callbacks"] = self._sum(back, "cents") - self._sum(done, "cents")
        return steps

    def _two_ways(
        self, quoted: pd.DataFrame, logged: pd.DataFrame, keys: list[str], amount: str
    ) -> tuple[pd.Series, pd.Series, pd.Series]:
        """Amount and rate of what was quoted, and the cost of what was not: below nothing where it cost more."""
        keys = ["job_id", *keys]
        plan = quoted.groupby(keys)[[amount, "cents"]].sum()
        there = pd.MultiIndex.from_frame(logged[keys]).isin(plan[plan[amount] != 0].index)
        on_line = there & ~logged.unquoted.astype(bool).to_numpy()
        done = logged[on_line].groupby(keys)[[amount, "cents"]].sum().reindex(plan.index, fill_value=0)
        both = plan.merge(done, left_index=True, right_index=True, suffixes=("", "_done")).reset_index()
        both["allowed"] = [
            share(int(a), int(c), int(q))
            for a, c, q in zip(both[f"{amount}_done"], both.cents, both[amount], strict=True)
        ]
        both["first"], both["second"] = both.cents - both.allowed, both.allowed - both.cents_done
        return self._sum(both, "first"), self._sum(both, "second"), -self._sum(logged[~on_line], "cents")

    def _by_kind(self) -> tuple[pd.Series, pd.Series]:
        kinds = set(zip(self.others.job_id, self.others.kind, strict=True))
        known = pd.Series([pair in kinds for pair in zip(self.paid.job_id, self.paid.kind, strict=True)], dtype=bool)
        planned = known.to_numpy() & ~self.paid.unquoted.astype(bool).to_numpy()
        meant, beyond = self.paid[planned], self.paid[~planned]
        return self._sum(self.others, "cents") - self._sum(meant, "cents"), -self._sum(beyond, "cents")

    def groups(self, by: str) -> pd.DataFrame:
        """Sums of the closed jobs that were not cancelled, by a column of the jobs."""
        closed = self.jobs.closed_on.notna() & self.jobs.cancelled_on.isna()
        rows = self.frame[closed].join(self.jobs[closed])
        rows["month"] = rows.closed_on.str[:7]
        rows["lead_source"] = rows.lead_source.fillna("not recorded")
        sums = rows.groupby(by)[["revenue", "actual", "margin", "quoted_minutes", "minutes"]].sum()
        rows["partly"] = rows.unanswered > 0
        return sums.assign(jobs=rows.groupby(by).size(), partly=rows.groupby(by)["partly"].sum())


def receivables(conn: Connection, day: str) -> tuple[int, pd.Series]:
    """What is owed in all on a day, and the open part of every issued invoice as it stands, by its id."""
    asked = table(conn, "select id, kind, issued_on, net_cents + tax_cents as cents from invoice"
                        " where issued_on is not null").set_index("id")  # fmt: skip
    came = table(conn, "select received_on, amount_cents from payment")
    lost = table(conn, "select day, net_cents + tax_cents as cents from bad_debt")
    settled = table(conn, "select invoice_id, amount_cents from settlement")
    left = asked.cents - settled.groupby("invoice_id").amount_cents.sum().reindex(asked.index, fill_value=0)
    total = (
        asked[asked.issued_on <= day].cents.sum() - came[came.received_on <= day].amount_cents.sum()
        - lost[lost.day <= day].cents.sum()
    )  # fmt: skip
    return int(total), left[asked.kind != "credit_note"]


def taxes(conn: Connection, first: str, last: str) -> dict[tuple[str, int], tuple[int, int]]:
    """Taxed and tax, credits taken off and tax of bad debts left in, by place and thousandths of a percent."""
    rows = table(
        conn,
        "select tax_place, tax_percent, taxable_cents, tax_cents from invoice"
        f" where issued_on between '{first}' and '{last}'",
    )
    sums = rows.groupby(["tax_place", "tax_percent"])[["taxable_cents", "tax_cents"]].sum()
    return {key: (int(row.taxable_cents), int(row.tax_cents)) for key, row in sums.iterrows() if row.any()}
