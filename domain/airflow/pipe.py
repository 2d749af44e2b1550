"""Air in a straight pipe: speed, Reynolds number, friction factor and the pressure it loses.

Standard air throughout: 20 °C and one atmosphere, 1.204 kg/m3 and 1.825e-5 Pa s (properties of air at 1 atm, table of
an engineering reference site, read; the ideal gas law gives 1.2041). Fan sheets are for the same air, so a house high
above the sea moves about the same cubic feet.
"""

from __future__ import annotations

from decimal import Decimal
from math import inf, log10, pi

from domain.errors import NotUnderstood

Number = float | Decimal

AIR_DENSITY = 1.204
"""Kilograms in a cubic metre."""
AIR_VISCOSITY = 1.825e-5
"""Pascal seconds."""
PIPE_ROUGHNESS_M = 1.5e-6
"""Drawn tubing, metres (table of a hydraulics reference site, read); it has plastic as smooth too: 0.2% less loss."""

PA_PER_INWC = 249.08891
CFM_PER_CUBIC_METRE_SECOND = 60 / 0.3048**3
METRES_PER_INCH = 0.0254
METRES_PER_FOOT = 0.3048
METRES_SECOND_PER_FPM = 0.3048 / 60

LAMINAR_UP_TO, TURBULENT_FROM = 2300.0, 2400.0
"""Reynolds numbers up to which 64/Re holds, and from which Colebrook's factor is taken. Up to 4,000 the flow may be
either, and the greater loss is the safe one; between the two numbers the factor climbs in a straight line, so that
every flow has an answer when air divides among several suction points."""

LARGEST, SMALLEST = 1e30, 1e-30
"""Beyond these no flow, bore or length is meant, and a loss could no longer be reckoned; less is nothing."""
ROUGHEST = 0.1
"""Relative roughness beyond which no friction formula is meant."""


def a_number(value: Number, name: str) -> float:
    """The value as a float; NotUnderstood when it is no number, or none that can be reckoned with."""
    try:
        number = float(value)
    except (TypeError, ValueError):
        raise NotUnderstood(f"The {name} has to be a number.", str(value)) from None
    except OverflowError:
        number = inf
    if not abs(number) <= LARGEST * LARGEST:
        raise NotUnderstood(f"The {name} has to be a number, not {number}.", str(value)[:40])
    return number


def checked(value: Number, name: str, unit: str = "", *, above_zero: bool = False, most: float = LARGEST) -> float:
    """The value as a float; NotUnderstood when it is no number, less than nothing or beyond ``most``."""
    number = a_number(value, name)
    shown = f"{number:g} {unit}".rstrip()
    if number < 0 or (above_zero and not number):
        least = "more than nothing" if above_zero else "nothing or more"
        raise NotUnderstood(f"The {name} has to be {least}, not {shown}.", str(value))
    if number > most:
        raise NotUnderstood(f"The {name} of {shown} is more than {most:g} {unit}".rstrip() + ". Check it.", str(value))
    if above_zero and number < SMALLEST:
        raise NotUnderstood(f"The {name} of {shown} is next to nothing. Check it.", str(value))
    return number


def pa_from_inwc(inches: Number) -> float:
    """Pascals in inches of water column: 1 inWC = 249.08891 Pa (water at 4 °C and standard gravity).

    Raises NotUnderstood for what is no number.
    """
    return a_number(inches, "suction") * PA_PER_INWC


def inwc_from_pa(pascals: Number) -> float:
    """Inches of water column in pascals. Raises NotUnderstood for what is no number."""
    return a_number(pascals, "suction") / PA_PER_INWC


def velocity_fpm(flow_cfm: Number, inside_diameter_in: Number) -> float:
    """Mean speed of the air in feet a minute: cfm over the area of the bore in square feet.

    Raises NotUnderstood for a negative flow or a bore of nothing.
    """
    flow = checked(flow_cfm, "flow", "cfm")
    diameter = checked(inside_diameter_in, "inside diameter", "in", above_zero=True)
    return flow / (pi / 4 * (diameter / 12) ** 2)


def velocity_pressure(speed_fpm: Number) -> float:
    """Velocity pressure in pascals of air at so many feet a minute: density x speed² / 2.

    In inches of water this is (fpm/4005)², the trade's form of it.
    """
    speed = checked(speed_fpm, "air speed", "fpm") * METRES_SECOND_PER_FPM
    return AIR_DENSITY * speed * speed / 2


def reynolds(flow_cfm: Number, inside_diameter_in: Number) -> float:
    """Reynolds number (no unit): density x speed x diameter / viscosity."""
    speed = velocity_fpm(flow_cfm, inside_diameter_in) * METRES_SECOND_PER_FPM
    return AIR_DENSITY * speed * float(inside_diameter_in) * METRES_PER_INCH / AIR_VISCOSITY


def haaland(reynolds_number: float, relative_roughness: float) -> float:
    """Haaland's explicit friction factor of turbulent flow: the start of the search for Colebrook's.

    1/sqrt f = -1.8 log10(6.9/Re + (e/3.7D)^1.11).
    """
    inner = 6.9 / reynolds_number + (relative_roughness / 3.7) ** 1.11
    return float((1.8 * log10(inner)) ** -2)


def friction_factor(reynolds: Number, relative_roughness: Number) -> float:
    """Darcy friction factor (no unit) from the Reynolds number and roughness over diameter (both without unit).

    64/Re up to 2,300. From 2,400 on Colebrook: 1/sqrt f = -2 log10(e/3.7D + 2.51/(Re sqrt f)), solved by Newton's
    method from Haaland's value to the last digits; a straight line between the two. Raises NotUnderstood
    for a Reynolds number of nothing or a roughness below 0 or above 0.1.
    """
    number = checked(reynolds, "Reynolds number", above_zero=True)
    roughness = checked(relative_roughness, "relative roughness", most=ROUGHEST)
    return plain_friction_factor(number, roughness)


def plain_friction_factor(number: float, roughness: float) -> float:
    """As `friction_factor`, for values already checked."""
    if number <= LAMINAR_UP_TO:
        return 64 / number
    if number < TURBULENT_FROM:
        climbed = (number - LAMINAR_UP_TO) / (TURBULENT_FROM - LAMINAR_UP_TO)
        return (1 - climbed) * 64 / LAMINAR_UP_TO + climbed * colebrook(TURBULENT_FROM, roughness)
    return colebrook(number, roughness)


def colebrook(number: float, roughness: float) -> float:
    """The turbulent friction factor by Colebrook's equation, see `friction_factor`."""
    rough, smooth = roughness / 3.7, 2.51 / number
    root = haaland(number, roughness) ** -0.5  # 1/sqrt f
    for _ in range(20):
        inner = rough + smooth * root
        step = (root + 2 * log10(inner)) / (1 + 2 / _LN_10 * smooth / inner)
        root -= step
        if abs(step) < 1e-7 * root:  # so the next step would be below the last digits
            break
    return float(root**-2)


_LN_10 = 2.302585092994046


def pipe_loss(flow_cfm: Number, inside_diameter_in: Number, length_ft: Number) -> float:
    """Pascals lost in a straight pipe (flow in cfm, inside diameter in inches, length in feet).

    Darcy and Weisbach: f x length/diameter x velocity pressure. Raises NotUnderstood for a negative flow or length
    and for a bore of nothing.
    """
    flow = checked(flow_cfm, "flow", "cfm")
    length = checked(length_ft, "length", "ft") * METRES_PER_FOOT
    diameter = checked(inside_diameter_in, "inside diameter", "in", above_zero=True) * METRES_PER_INCH
    number = reynolds(flow, inside_diameter_in)
    if number < SMALLEST:
        return 0.0
    factor = plain_friction_factor(number, min(PIPE_ROUGHNESS_M / diameter, ROUGHEST))
    return factor * length / diameter * velocity_pressure(velocity_fpm(flow, inside_diameter_in))
