"""Customers, how to reach them, and their properties, as the program hands them around."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from domain.errors import NotUnderstood, as_typed
from domain.units.numbers import plain, read_number, to_places
from domain.words import search_text

MOST_STOREYS = 9
"""More than any house has (ours, no source)."""
_STOREY_WORDS = {"one": "1", "two": "2", "three": "3", "four": "4", "one and a half": "1.5", "two and a half": "2.5"}


def parse_storeys(text: str) -> str:
    """The stories of a house as a plain number: ``2``, ``1 1/2``, ``two stories``. Raises NotUnderstood."""
    words = text.casefold().split()
    while words and words[-1].rstrip("s") in ("story", "storie", "storey", "floor", "level"):
        words.pop()
    said = " ".join(words)
    number = read_number(_STOREY_WORDS.get(said, said))
    if number is None or not 0 < number <= MOST_STOREYS:
        raise NotUnderstood(
            f"{as_typed(text)} is no number of stories. Type 1, 1.5 or 2; what else is to be said of the house has room"
            " in its note.", text,
        )  # fmt: skip
    return plain(to_places(number, 2))


@dataclass(frozen=True, slots=True)
class Customer:
    id: int
    kind: str  # person | firm
    name: str
    billing_address: str
    note: str
    created_on: date
    archived_on: date | None


@dataclass(frozen=True, slots=True)
class Contact:
    id: int
    customer_id: int
    kind: str  # phone | mail
    label: str
    value: str


@dataclass(frozen=True, slots=True)
class Property:
    id: int
    customer_id: int
    street: str
    town: str
    region: str
    postcode: str
    year_built: int | None
    storeys: str
    slab: bool
    basement: bool
    crawl_space: bool
    existing_system: bool
    existing_by: str
    note: str
    archived_on: date | None

    @property
    def foundation(self) -> str:
        """The foundation parts in words, e.g. "basement + crawl space"; "not recorded" when none is ticked."""
        return foundation_label(self.slab, self.basement, self.crawl_space)

    @property
    def one_line(self) -> str:
        """The address on one line."""
        tail = " ".join(part for part in (self.region, self.postcode) if part)
        return ", ".join(part for part in (self.street, self.town, tail) if part)


@dataclass(frozen=True, slots=True)
class CustomerRow:
    """A customer as a list shows it."""

    id: int
    kind: str
    name: str
    archived: bool
    phone: str  # the first one, "" when there is none
    place: str  # street and town of the first property, "" when there is none
    jobs: int
    running_jobs: int  # neither closed nor cancelled
    phones: str  # all of them, one a line; as are the next three
    mails: str
    places: str
    job_numbers: str

    @property
    def searched(self) -> str:
        """What a search looks through, for `domain.words.search_for`."""
        return search_text(
            self.name, self.phones, self.mails, self.places, self.job_numbers, phones=self.phones.split("\n")
        )


def foundation_label(slab: bool, basement: bool, crawl_space: bool) -> str:
    """Name a combination of foundation parts the same way everywhere."""
    parts = [
        name
        for name, there in (("slab", slab), ("basement", basement), ("crawl space", crawl_space))
        if there
    ]
    return " + ".join(parts) or "not recorded"
