"""What the owner enters after a day's work: hours, materials, other costs, and the running clock."""

from db.commands.log_hours import change_hours, change_time, hour_cents, log_hours, log_time, remove_hours
from db.commands.log_marks import flag_unquoted
from db.commands.log_materials import change_material, log_material, remove_material, use_as_quoted
from db.commands.log_others import change_other_cost, log_other_cost, remove_other_cost
from db.commands.timer import cancel_timer, start_timer, stop_timer

__all__ = [
    "cancel_timer",
    "change_hours",
    "change_material",
    "change_other_cost",
    "change_time",
    "flag_unquoted",
    "hour_cents",
    "log_hours",
    "log_material",
    "log_other_cost",
    "log_time",
    "remove_hours",
    "remove_material",
    "remove_other_cost",
    "start_timer",
    "stop_timer",
    "use_as_quoted",
]
