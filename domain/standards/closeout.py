"""Figures of finishing a job: where a discharge may end, disconnect and cord, labels, and a worker's radon exposure.

Sources disagree on the equilibrium of radon with its decay products: the formula of SGM-SF counts it as complete, a
state programme as half. The owner chooses; both stand in the table.
"""

from __future__ import annotations

from decimal import Decimal

from domain.standards.table import READ, SECOND_HAND, Standard
from domain.standards.trade import FIRST_DAY, PENNSYLVANIA, SGM

RMS_MF = "ANSI/AARST RMS-MF"
ILLINOIS = "32 Ill. Adm. Code"
ILLINOIS_PAGE = "Illinois course page"


def _fact(
    key: str, value: str, unit: str, label: str, source: str, section: str, edition: str, seen: str = READ
) -> Standard:
    return Standard(key, Decimal(value), unit, source, section, edition, FIRST_DAY, seen, label)


DISCHARGE_MORE = (
    _fact("discharge_from_neighbor_ft", "10", "ft", "discharge from a neighbor's opening", PENNSYLVANIA,
          "240.308(b)(6)", ""),
    _fact("discharge_above_flat_roof_in", "18", "in", "discharge above a flat roof", RMS_MF, "s. 6.4.9 to 6.4.11",
          "2018"),
    _fact("discharge_above_edge_in", "6", "in", "discharge above the roof's edge, side-mounted pipe", RMS_MF,
          "s. 6.4.9 to 6.4.11", "2018"),
)  # fmt: skip

FAN_WIRING = (
    _fact("fan_disconnect_ft", "4", "ft", "disconnect from the fan, and in sight", ILLINOIS, "422.150(h)(10)", "",
          SECOND_HAND),
    _fact("fan_cord_ft", "6", "ft", "longest cord of a fan, not hidden", ILLINOIS, "422.150(h)(10)", "", SECOND_HAND),
)  # fmt: skip

LABELS = (
    _fact("label_panel_in", "12", "in", "system label from the electric panel, if it hangs there", "AARST",
          "page on mitigation labels", ""),
)  # fmt: skip

EXPOSURE = (
    _fact("exposure_wl_pci", "100", "pCi/L", "radon of one working level at full equilibrium", SGM, "s. 11.3",
          "2017, rev. 12/20"),
    _fact("exposure_month_hours", "170", "hours", "hours of a working level month", SGM, "s. 11.3",
          "2017, rev. 12/20"),
    _fact("equilibrium_percent", "100", "%", "equilibrium the exposure log starts from", SGM,
          "s. 11.3, as its formula implies", "2017, rev. 12/20"),
    _fact("equilibrium_state_percent", "50", "%", "equilibrium a state program counts with", ILLINOIS_PAGE,
          "worker health and safety", "", SECOND_HAND),
    _fact("exposure_limit_wlm", "4", "WLM", "limit of exposure in 12 months", ILLINOIS_PAGE,
          "worker health and safety", "", SECOND_HAND),
    _fact("exposure_week_pci", "100", "pCi/L", "limit of the average level over a 40-hour week",
          "29 CFR 1910.1096, as AARST reports it", "", ""),
    _fact("exposure_week_hours", "40", "hours", "hours of the week that limit is averaged over",
          "29 CFR 1910.1096, as AARST reports it", "", ""),
)  # fmt: skip

CLOSEOUT = DISCHARGE_MORE + FAN_WIRING + LABELS + EXPOSURE
