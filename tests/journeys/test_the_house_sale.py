"""A house sale with two weeks to closing: from the call to the escrow's payment, with every paper on the way."""

from __future__ import annotations

from pathlib import Path

from tests.journeys.at_the_desk import FileDialogs, Person, quiet_qt
from tests.journeys.first_quote import Look
from tests.journeys.house_sale_books import keep_the_books
from tests.journeys.house_sale_money import get_paid, invoice_the_closing, take_the_deposit
from tests.journeys.house_sale_start import begin_small, quote_and_accept, survey_the_house, take_the_call
from tests.journeys.house_sale_work import (
    close_out,
    fan_on_and_day_logged,
    hand_over_papers,
    measure_after_the_work,
    plan_the_days,
)

pytestmark = quiet_qt


def test_from_the_call_to_the_escrow_payment(
    owner: Person, dialogs: FileDialogs, tmp_path: Path, look: Look
) -> None:
    begin_small(owner, tmp_path)
    take_the_call(owner, look)
    survey_the_house(owner, look)
    price = quote_and_accept(owner, dialogs, tmp_path, look)
    take_the_deposit(owner, look)
    plan_the_days(owner, look)
    fan_on_and_day_logged(owner, look)
    measure_after_the_work(owner, look)
    close_out(owner, look)
    hand_over_papers(owner, dialogs, tmp_path, look)
    invoice_the_closing(owner, dialogs, tmp_path, look, price)
    get_paid(owner, dialogs, tmp_path, look)
    keep_the_books(owner, dialogs, tmp_path, look)
