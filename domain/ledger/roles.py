"""The accounts the program posts to, each known by its role; number and name are the owner's own."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from domain.bookkeeping import LedgerAccount


@dataclass(frozen=True, slots=True)
class AccountRole:
    """What an account is for.

    Attributes:
        side: asset | liability | income | cost; assets and costs grow by debits, the others by credits.
        name: ours, until the owner gives it his bookkeeper's.
        holds: what is posted to it, in words.
    """

    key: str
    side: str
    name: str
    holds: str

    @property
    def grows_by_debit(self) -> bool:
        """The side its balance usually stands on."""
        return self.side in ("asset", "cost")


ROLES: tuple[AccountRole, ...] = (
    AccountRole("bank", "asset", "Bank", "Money received, refunded and paid."),
    AccountRole("receivable", "asset", "Receivables", "What customers owe, less what they paid ahead."),
    AccountRole("truck_stock", "asset", "Bought for the truck",
                "Material bought for the truck, as it was bought; what lies on it now is under Truck stock."),
    AccountRole("payable", "liability", "Payables", "What is owed to suppliers and subcontractors."),
    AccountRole(
        "customer_deposits", "liability", "Customer deposits", "Deposits asked for, until a final invoice has them."
    ),
    AccountRole("sales_tax_payable", "liability", "Sales tax payable", "Sales tax on invoices, less credits."),
    AccountRole("sales", "income", "Sales", "Work invoiced, before tax."),
    AccountRole("sales_credits", "income", "Credits given", "Credit notes, before tax; lowers sales."),
    AccountRole("job_materials", "cost", "Job materials", "Material bought for jobs."),
    AccountRole("subcontractors", "cost", "Subcontractors", "Work of others on jobs."),
    AccountRole("permits", "cost", "Permits", "Permits and fees."),
    AccountRole("equipment", "cost", "Equipment", "Equipment hired or bought for jobs."),
    AccountRole("overhead", "cost", "Overhead", "Bills that belong to no job."),
    AccountRole("sales_tax_paid", "cost", "Sales tax paid", "Sales tax on purchases: a cost, as in Margins."),
    AccountRole("bad_debts", "cost", "Bad debts", "Invoices that will not be paid, before tax."),
)

SIDE_WORDS = {"asset": "What there is", "liability": "What is owed", "income": "Income", "cost": "Costs"}


@dataclass(frozen=True, slots=True)
class Account:
    """A role with the number and name it goes by."""

    role: AccountRole
    number: str
    name: str

    @property
    def label(self) -> str:
        """Number and name on one line."""
        return f"{self.number} {self.name}".strip()


def accounts_named(own: Iterable[LedgerAccount]) -> dict[str, Account]:
    """Every role's account in order, by the owner's number and name where he gave one."""
    known = {one.role: one for one in own}
    return {
        role.key: Account(role, known[role.key].number, known[role.key].name)
        if role.key in known
        else Account(role, "", role.name)
        for role in ROLES
    }
