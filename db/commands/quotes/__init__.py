"""What the owner does with quotes: write them, send them, note the answer, change what was agreed."""

from db.commands.quotes.change_orders import start_change_order
from db.commands.quotes.life import (
    accept_quote,
    decline_quote,
    delete_draft,
    revise_quote,
    send_quote,
    start_quote,
)
from db.commands.quotes.lines import (
    add_labour,
    add_material,
    add_other,
    change_labour,
    change_material,
    change_other,
    move_line,
    remove_line,
)
from db.commands.quotes.taking_back import take_back_acceptance
from db.commands.quotes.terms import (
    add_option,
    change_option,
    refresh_rates_and_prices,
    remove_option,
    set_goodwill,
    set_pricing,
    set_printing,
    set_texts,
)
from db.commands.quotes.usual import add_usual_lines

__all__ = [
    "accept_quote",
    "add_labour",
    "add_material",
    "add_option",
    "add_other",
    "add_usual_lines",
    "change_labour",
    "change_material",
    "change_option",
    "change_other",
    "decline_quote",
    "delete_draft",
    "move_line",
    "refresh_rates_and_prices",
    "remove_line",
    "remove_option",
    "revise_quote",
    "send_quote",
    "set_goodwill",
    "set_pricing",
    "set_printing",
    "set_texts",
    "start_change_order",
    "start_quote",
    "take_back_acceptance",
]
