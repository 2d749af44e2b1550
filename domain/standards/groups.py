"""In which part of the work a figure of the standards table is used, so that a long list can be read."""

from __future__ import annotations

from domain.standards import STANDARD_KEYS

_GROUPS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("Radon levels", ("action_level", "consider_level", "reference_level", "bq_per_pci", "exposure_", "equilibrium")),
    (
        "Testing",
        ("short_test", "long_test", "closed_house", "after_", "monitor_hours", "recheck", "retest", "monitor_change"),
    ),
    ("Dates", ("day_begins", "day_ends", "working_days", "laboratory_days", "closing_hours")),
    ("Slope", ("slope_",)),
    ("Supports", ("support_",)),
    ("Air in the pipe", ("velocity_", "noise_", "three_inch", "two_inch")),
    ("Discharge", ("discharge_",)),
    ("Fan and its wiring", ("fan_",)),
    ("Pipe and cutting", ("pipe_outside", "stick_", "kerf_")),
    ("Fittings and cement", ("socket_", "takeoff_", "joints_", "primer_")),
    ("Labels and indicator", ("label_", "indicator_")),
    ("Conduit and wire", ("fill_", "nipple_", "emt_", "pvc_", "wire_", "conduit_")),
    ("Sealant and membrane", ("membrane_", "in3_", "cartridge_", "wall_bead")),
    ("Paint", ("paint_", "quarts_")),
    ("Records", ("job_record", "exposure_record", "tax_record", "employment_tax_record")),
    (
        "Tax figures",
        ("mileage_", "social_security", "employer_", "self_employment", "federal_unemployment", "contractor_"),
    ),
)
OTHER = "More figures"
GROUPS: tuple[str, ...] = (*(title for title, _ in _GROUPS), OTHER)


def group_of(key: str) -> str:
    """The group of a figure: the one with the longest beginning that fits, else the last."""
    fitting = [(len(start), title) for title, starts in _GROUPS for start in starts if key.startswith(start)]
    return max(fitting)[1] if fitting else OTHER


def keys_by_group() -> dict[str, list[str]]:
    """All keys, group by group, in the order of the table; groups without any are left out."""
    found: dict[str, list[str]] = {}
    for title in GROUPS:
        if keys := [key for key in STANDARD_KEYS if group_of(key) == title]:
            found[title] = keys
    return found
