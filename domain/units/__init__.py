"""What people type and read: time, lengths, quantities, percentages, radon levels."""

from domain.errors import NotUnderstood
from domain.units.counts import count_of
from domain.units.durations import (
    format_clock,
    format_hours_decimal,
    format_minutes,
    format_time_of_day,
    format_unit_minutes,
    format_whole_hours,
    parse_minutes,
    parse_time_span,
    parse_time_spans,
)
from domain.units.lengths import format_length, parse_length_ft
from domain.units.numbers import (
    format_count,
    format_percent,
    format_quantity,
    format_share,
    format_whole_percent,
    parse_percent,
    parse_quantity,
)
from domain.units.radon import bq_to_pci, format_radon, parse_radon, pci_to_bq, unlikely_radon

__all__ = [
    "NotUnderstood",
    "bq_to_pci",
    "count_of",
    "format_clock",
    "format_count",
    "format_hours_decimal",
    "format_length",
    "format_minutes",
    "format_percent",
    "format_quantity",
    "format_radon",
    "format_share",
    "format_time_of_day",
    "format_unit_minutes",
    "format_whole_hours",
    "format_whole_percent",
    "parse_length_ft",
    "parse_minutes",
    "parse_percent",
    "parse_quantity",
    "parse_radon",
    "parse_time_span",
    "parse_time_spans",
    "pci_to_bq",
    "unlikely_radon",
]
