"""Federal tax figures by year: mileage, Social Security, Medicare, self-employment and unemployment tax.

They steer cost estimates. They are not tax advice: ask an adviser before filing anything by them.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from domain.standards.table import READ, SECOND_HAND, Standard

FIRST_DAY = date(2018, 1, 1)


def _end_of(year: int) -> date:
    return date(year, 12, 31)


def _mileage(cents: str, starts_on: date, until: date, notice: str, seen: str = SECOND_HAND) -> Standard:
    return Standard(
        "mileage_rate",
        Decimal(cents) / 100,
        "dollars per mile",
        "IRS standard mileage rate, business use",
        notice,
        str(starts_on.year),
        starts_on,
        seen,
        "business mileage rate",
        until,
    )


MILEAGE = (
    _mileage("54.5", date(2018, 1, 1), _end_of(2018), ""),
    _mileage("58", date(2019, 1, 1), _end_of(2019), ""),
    _mileage("57.5", date(2020, 1, 1), _end_of(2020), ""),
    _mileage("56", date(2021, 1, 1), _end_of(2021), ""),
    _mileage("58.5", date(2022, 1, 1), date(2022, 6, 30), ""),
    _mileage("62.5", date(2022, 7, 1), _end_of(2022), "raised for the second half of the year"),
    _mileage("65.5", date(2023, 1, 1), _end_of(2023), ""),
    _mileage("67", date(2024, 1, 1), _end_of(2024), ""),
    _mileage("70", date(2025, 1, 1), _end_of(2025), ""),
    _mileage("72.5", date(2026, 1, 1), _end_of(2026), "Notice 2026-10"),
)


def _wage_base(year: int, dollars: int, seen: str = READ) -> Standard:
    return Standard(
        "social_security_base",
        Decimal(dollars),
        "dollars a year",
        "Social Security Administration, automatically adjusted amounts",
        "contribution and benefit base",
        str(year),
        date(year, 1, 1),
        seen,
        "Social Security wage base",
        _end_of(year),
    )


WAGE_BASES = (
    _wage_base(2018, 128_400),
    _wage_base(2019, 132_900),
    _wage_base(2020, 137_700),
    _wage_base(2021, 142_800),
    _wage_base(2022, 147_000),
    _wage_base(2023, 160_200),
    _wage_base(2024, 168_600),
    _wage_base(2025, 176_100),
    _wage_base(2026, 184_500, SECOND_HAND),
)


def _rate(key: str, value: str, unit: str, label: str, source: str, section: str, seen: str) -> Standard:
    return Standard(key, Decimal(value), unit, source, section, "", FIRST_DAY, seen, label)


RATES = (
    _rate(
        "employer_social_security",
        "6.2",
        "%",
        "employer's Social Security tax",
        "IRS Publication 80",
        "s. 7",
        READ,
    ),
    _rate("employer_medicare", "1.45", "%", "employer's Medicare tax", "IRS Publication 80", "s. 7", READ),
    _rate(
        "self_employment_social_security",
        "12.4",
        "%",
        "Social Security part of self-employment tax",
        "26 USC 1401",
        "(a)",
        SECOND_HAND,
    ),
    _rate(
        "self_employment_medicare",
        "2.9",
        "%",
        "Medicare part of self-employment tax",
        "26 USC 1401",
        "(b)",
        SECOND_HAND,
    ),
    _rate(
        "self_employment_share",
        "92.35",
        "%",
        "part of net earnings that self-employment tax falls on",
        "IRS Schedule SE",
        "line 4a",
        SECOND_HAND,
    ),
    _rate(
        "self_employment_floor",
        "400",
        "dollars a year",
        "net earnings below which no self-employment tax is due",
        "IRS Schedule SE",
        "who must pay; 2011 instructions",
        READ,
    ),
    _rate(
        "federal_unemployment",
        "6.0",
        "%",
        "federal unemployment tax before credit",
        "IRS Topic 759",
        "Form 940",
        SECOND_HAND,
    ),
    _rate(
        "federal_unemployment_credit",
        "5.4",
        "%",
        "largest credit for state unemployment tax",
        "IRS Topic 759",
        "Form 940",
        SECOND_HAND,
    ),
    _rate(
        "federal_unemployment_base",
        "7000",
        "dollars a year",
        "wage base of federal unemployment tax",
        "Internal Revenue Manual",
        "21.7.3.1",
        READ,
    ),
)

REPORTING = (
    Standard(
        "contractor_report_threshold",
        Decimal(600),
        "dollars a year",
        "Form 1099-NEC",
        "",
        "2018 to 2025",
        FIRST_DAY,
        SECOND_HAND,
        "payments to a contractor that must be reported",
        _end_of(2025),
    ),
    Standard(
        "contractor_report_threshold",
        Decimal(2000),
        "dollars a year",
        "Public Law 119-21",
        "Form 1099-NEC",
        "2026; indexed from 2027",
        date(2026, 1, 1),
        SECOND_HAND,
        "payments to a contractor that must be reported",
        _end_of(2026),
    ),
    Standard(
        "tax_record_years",
        Decimal(3),
        "years",
        "IRS Publication 583",
        "how long to keep records, general case",
        "",
        FIRST_DAY,
        SECOND_HAND,
        "years to keep tax records",
    ),
    Standard(
        "employment_tax_record_years",
        Decimal(4),
        "years",
        "IRS Publication 583",
        "how long to keep records, employment tax",
        "",
        FIRST_DAY,
        SECOND_HAND,
        "years to keep employment tax records",
    ),
)

TAXES = MILEAGE + WAGE_BASES + RATES + REPORTING
