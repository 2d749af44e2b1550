"""The story of one job as its data file tells it: asked, found, quoted, done, paid. Only what is out of the
ordinary is written down; the ordinary (usual lines, a pace near the quote, the usual waste) is filled in."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

ONE = Decimal(1)
Many = Mapping[str, Decimal]
"""How much of what: a task or an item code, and its quantity."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Test:
    """A radon test, in pCi/L."""

    result: Decimal
    started: date
    ended: date
    device: str = "Charcoal canister"
    place: str = "Basement"
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Survey:
    """What the owner saw in the house."""

    on: date
    existing: str = ""
    findings: str = ""
    access: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """An option on the proposal."""

    name: str
    description: str = ""
    tasks: Many
    items: Many
    chosen: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Direct:
    """A permit, subcontractor or equipment: dollars quoted and dollars paid (left out: as quoted; 0: not needed)."""

    kind: str
    description: str
    quoted: Decimal = Decimal(0)
    paid: Decimal | None = None
    unquoted: bool = False
    cause: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Revision:
    """A second version: what the customer wanted left out or given off."""

    on: date
    without: tuple[str, ...] = ()  # tasks and item codes taken off
    margin: Decimal | None = None
    goodwill: Decimal = Decimal(0)
    goodwill_reason: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposal:
    """The quote, as a difference from what a job of this type usually needs (a quantity of 0: left out)."""

    begun: date
    sent: date | None = None
    accepted: date | None = None
    declined: date | None = None
    reason: str = ""
    tasks: Many
    items: Many
    minutes: Mapping[str, int]  # what the owner typed over the standard
    why: Mapping[str, str]  # and why
    shared: tuple[str, ...] = ()  # tasks done by two, half the quantity each
    trip: int = 0  # miles there and back
    visits: int = 1
    margin: Decimal | None = None  # percent, where it is not that of the job type
    markup: Decimal | None = None  # percent on cost, where it was priced that way
    fixed: Decimal | None = None  # dollars, a price of the owner's own
    goodwill: Decimal = Decimal(0)
    goodwill_reason: str = ""
    choices: tuple[Choice, ...] = ()
    directs: tuple[Direct, ...] = ()
    revised: Revision | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Slow:
    """A task that took so many times the quoted minutes, and why; 0: not done or not logged."""

    task: str
    times: Decimal
    cause: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Extra:
    """Work nobody had quoted; `day` counts the work days from 1."""

    task: str
    hours: int  # minutes, typed like 2h30
    day: int = 1
    helper: bool = False
    marked: bool = True  # False: the owner forgot to say that it was not quoted
    cause: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Answered:
    """What the owner said at closing of a quoted task without a log: done in the time of another, or not done."""

    task: str
    within: str = ""  # the other task; empty: it was not done


@dataclass(frozen=True, slots=True, kw_only=True)
class Bought:
    """Material nobody had quoted."""

    item: str
    quantity: Decimal
    day: int = 1
    marked: bool = True
    cause: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangeOrder:
    """Unquoted work put to the customer after all."""

    begun: date
    title: str
    sent: date | None = None
    accepted: date | None = None
    declined: date | None = None
    reason: str = ""
    goodwill: Decimal = Decimal(0)
    goodwill_reason: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Callback:
    """Coming back to put right what was done."""

    on: date
    hours: int
    cause: str = ""
    note: str = ""
    items: Many


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """What the owner said was done of some tasks on the evening of a work day: percent, by task."""

    day: int = 1
    done: Many


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """The days on the job."""

    days: tuple[date, ...] = ()
    helper: str = ""
    pace: Decimal = ONE  # logged over quoted minutes of ordinary tasks
    slow: tuple[Slow, ...] = ()
    extras: tuple[Extra, ...] = ()
    bought: tuple[Bought, ...] = ()
    used: Many  # item code: what was used where it differed on purpose
    open_tasks: tuple[str, ...] = ()  # still to do
    open_items: tuple[str, ...] = ()  # still to use
    said: tuple[Said, ...] = ()
    change_orders: tuple[ChangeOrder, ...] = ()
    callbacks: tuple[Callback, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class WriteOff:
    on: date
    amount: Decimal
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Cancelled:
    on: date
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Party:
    role: str
    name: str
    phone: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Deadline:
    on: date
    reason: str
    met: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Story:
    """One job. `number` is its number in the company; `house` a key of houses.csv.

    `tale` is its number in the data files, by which other files speak of it; empty when it is told again of others.
    """

    number: str
    tale: str = ""
    house: str
    type: str
    title: str
    lead: str
    opened: date
    note: str = ""
    conditions: tuple[str, ...] = ()
    parties: tuple[Party, ...] = ()
    deadlines: tuple[Deadline, ...] = ()
    before: tuple[Test, ...] = ()
    after: tuple[Test, ...] = ()
    survey: Survey | None = None
    quote: Proposal | None = None
    work: Work | None = None
    scheduled: date | None = None
    installed: date | None = None
    invoiced: date | None = None
    paid: date | None = None
    closed: date | None = None
    answered: tuple[Answered, ...] = ()  # when it was closed
    write_off: WriteOff | None = None
    cancelled: Cancelled | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class House:
    """A house and the customer it belongs to."""

    key: str
    customer: str
    street: str
    town: str
    postcode: str
    built: int | None
    storeys: str
    foundation: tuple[str, ...]
    existing: bool
    existing_by: str
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Customer:
    """Who pays; phones and mails as (label, value)."""

    name: str
    kind: str
    phones: tuple[tuple[str, str], ...]
    mails: tuple[tuple[str, str], ...]
    billing: str
    note: str
    archived: date | None
