"""Customers, how to reach them, and their properties, as the program hands them around."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date


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


def foundation_label(slab: bool, basement: bool, crawl_space: bool) -> str:
    """Name a combination of foundation parts the same way everywhere."""
    parts = [
        name
        for name, there in (("slab", slab), ("basement", basement), ("crawl space", crawl_space))
        if there
    ]
    return " + ".join(parts) or "not recorded"
