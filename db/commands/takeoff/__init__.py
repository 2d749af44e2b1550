"""What the owner does with a takeoff: type routes, count beside them, choose what is bought, take it into the quote."""

from db.commands.takeoff.air import (
    add_fan_curve,
    add_reading,
    change_fan_curve,
    change_reading,
    remove_reading,
    set_air_plan,
)
from db.commands.takeoff.changing import ACCEPTED, NOTHING, take_into_change_order
from db.commands.takeoff.choices import choose_item, choose_task, set_choice, set_override
from db.commands.takeoff.parts import (
    add_extra,
    add_part,
    change_extra,
    change_part,
    remove_extra,
    remove_part,
)
from db.commands.takeoff.routes import add_route, change_route, copy_route, remove_route
from db.commands.takeoff.taking import Taken, refuse_unready, take_into_quote

__all__ = [
    "ACCEPTED",
    "NOTHING",
    "Taken",
    "add_extra",
    "add_fan_curve",
    "add_part",
    "add_reading",
    "add_route",
    "change_extra",
    "change_fan_curve",
    "change_part",
    "change_reading",
    "change_route",
    "choose_item",
    "choose_task",
    "copy_route",
    "refuse_unready",
    "remove_extra",
    "remove_part",
    "remove_reading",
    "remove_route",
    "set_air_plan",
    "set_choice",
    "set_override",
    "take_into_change_order",
    "take_into_quote",
]
