"""From the route to the list: every quantity with its reason, the cut list, and what labour scales with."""

from domain.takeoff.build import Extra, Takeoff, Wanted, take_off
from domain.takeoff.conduit import Circuit
from domain.takeoff.cutting import QUICK, THOROUGH
from domain.takeoff.drivers import DRIVERS, LabourDriver
from domain.takeoff.lines import TakeoffLine
from domain.takeoff.membrane import CrawlFloor
from domain.takeoff.paint import PaintWish
from domain.takeoff.rules import TakeoffRules, takeoff_rules
from domain.takeoff.sealing import SealJoint, SuctionPit

__all__ = [
    "DRIVERS",
    "QUICK",
    "THOROUGH",
    "Circuit",
    "CrawlFloor",
    "Extra",
    "LabourDriver",
    "PaintWish",
    "SealJoint",
    "SuctionPit",
    "Takeoff",
    "TakeoffLine",
    "TakeoffRules",
    "Wanted",
    "take_off",
    "takeoff_rules",
]
