"""The price a job can carry: what finished jobs expect it to cost, set against the price that is asked."""

from domain.job_price.cases import JobCase, LineCase
from domain.job_price.outlook import Outlook, own_lines, priced_outlook
from domain.job_price.what_if import WhatIf, what_ifs
from domain.job_price.words import (
    asked_words,
    capital,
    carries_sentence,
    chance_words,
    expected_sentence,
    floor_sentence,
    goodwill_sentence,
    left_words,
    reason_words,
    short_chance_words,
    starter_range_sentence,
    take_words,
    ten_dots,
    warning_sentence,
)

__all__ = [
    "JobCase",
    "LineCase",
    "Outlook",
    "WhatIf",
    "asked_words",
    "capital",
    "carries_sentence",
    "chance_words",
    "expected_sentence",
    "floor_sentence",
    "goodwill_sentence",
    "left_words",
    "own_lines",
    "priced_outlook",
    "reason_words",
    "short_chance_words",
    "starter_range_sentence",
    "take_words",
    "ten_dots",
    "warning_sentence",
    "what_ifs",
]
