"""Figures a takeoff counts by: pipe and fitting sizes, conduit fill, straps, sealant, paint, labels, membrane.

Fitting dimensions and cement yields are from memory: no neutral table of them was found. An owner who measures a
fitting of their own supplier once adds a row that wins.
"""

from __future__ import annotations

from decimal import Decimal

from domain.standards.table import COMMON_PRACTICE, COMPUTED, MEMORY, READ, SECOND_HAND, Standard
from domain.standards.trade import FIRST_DAY, SGM

D1785 = "ASTM D1785"
NEC = "NEC"
CHAPTER_9 = "Chapter 9"
ALLOWANCE = "allowance of the trade"
OWN = "allowance of this program"

SIZES = {"1_1_2": "1-1/2 in", "2": "2 in", "3": "3 in", "4": "4 in", "6": "6 in"}


def _fact(key: str, value: str, unit: str, label: str, source: str, section: str, seen: str) -> Standard:
    return Standard(key, Decimal(value), unit, source, section, "", FIRST_DAY, seen, label)


def _by_size(
    key: str, values: str, unit: str, label: str, source: str, section: str, seen: str
) -> tuple[Standard, ...]:
    """One row a pipe size, in the order of SIZES."""
    return tuple(
        _fact(key.format(size), value, unit, f"{label}, {words}", source, section, seen)
        for (size, words), value in zip(SIZES.items(), values.split(), strict=True)
    )


# The outside diameters were read in two stored copies of D1785 and agree with the bounds of D2665-88 in mm.
PIPE = (
    *_by_size("pipe_outside_{}_in", "1.900 2.375 3.500 4.500 6.625", "in", "outside of pipe", D1785, "Table 1", READ),
    _fact("stick_ft", "10", "ft", "stock length of pipe", "trade page on pipe", "stock lengths", SECOND_HAND),
    _fact("kerf_in", "0.125", "in", "width of a saw cut", ALLOWANCE, "", COMMON_PRACTICE),
    _fact("support_fan_in", "18", "in", "supports this near an attic fan (advice)", SGM, "s. 6.4.14.1", READ),
    _fact("support_shortest_ft", "1", "ft", "a stretch this short needs no support", OWN, "", COMMON_PRACTICE),
)

FITTINGS = (
    *_by_size(
        "socket_depth_{}_in", "0.687 0.750 1.500 1.750 3.000", "in", "socket depth, DWV", "ASTM D2665", "", MEMORY
    ),
    *_by_size("takeoff_90_{}_in", "1.125 1.313 1.813 2.313 3.500", "in", "center to stop of a 90", OWN, "", MEMORY),
    *_by_size(
        "takeoff_90_long_{}_in", "1.750 2.250 3.063 3.875 5.000", "in", "center to stop of a long 90", OWN, "", MEMORY
    ),
    *_by_size("takeoff_45_{}_in", "0.625 0.750 0.938 1.188 2.000", "in", "center to stop of a 45", OWN, "", MEMORY),
    *_by_size("takeoff_22_{}_in", "0.438 0.500 0.625 0.750 1.250", "in", "center to stop of a 22½", OWN, "", MEMORY),
    *_by_size("takeoff_tee_{}_in", "1.125 1.313 1.813 2.313 3.500", "in", "center to stop of a tee", OWN, "", MEMORY),
    *_by_size("takeoff_wye_{}_in", "1.750 2.250 3.250 4.125 6.000", "in", "center to stop of a wye", OWN, "", MEMORY),
    *_by_size("joints_per_quart_{}", "90 60 40 30 10", "joints", "cement joints a quart makes", ALLOWANCE, "", MEMORY),
    _fact("primer_share_percent", "50", "%", "primer for the cement used", ALLOWANCE, "", MEMORY),
    _fact("indicator_tubing_ft", "3", "ft", "tubing of a pressure indicator", OWN, "", COMMON_PRACTICE),
    _fact("label_every_ft", "20", "ft", "a label each", ALLOWANCE, "", COMMON_PRACTICE),
)

FILL = (
    _fact("fill_one_percent", "53", "%", "fill of conduit, one wire", NEC, f"{CHAPTER_9}, Table 1", SECOND_HAND),
    _fact("fill_two_percent", "31", "%", "fill of conduit, two wires", NEC, f"{CHAPTER_9}, Table 1", SECOND_HAND),
    _fact("fill_more_percent", "40", "%", "fill of conduit, more wires", NEC, f"{CHAPTER_9}, Table 1", SECOND_HAND),
    _fact("fill_nipple_percent", "60", "%", "fill of a nipple", NEC, f"{CHAPTER_9}, Note 4", SECOND_HAND),
    _fact("nipple_in", "24", "in", "longest conduit that is a nipple", NEC, f"{CHAPTER_9}, Note 4", SECOND_HAND),
    _fact(
        "fill_round_up_from", "0.8", "wire", "round a count of like wires up", NEC, f"{CHAPTER_9}, Note 7", SECOND_HAND
    ),
    _fact("emt_area_1_2_in2", "0.304", "sq in", "inside of 1/2 in EMT", NEC, f"{CHAPTER_9}, Table 4", SECOND_HAND),
    _fact("emt_area_3_4_in2", "0.533", "sq in", "inside of 3/4 in EMT", NEC, f"{CHAPTER_9}, Table 4", SECOND_HAND),
    _fact("emt_area_1_in2", "0.864", "sq in", "inside of 1 in EMT", NEC, f"{CHAPTER_9}, Table 4", SECOND_HAND),
    _fact("pvc_area_1_2_in2", "0.285", "sq in", "inside of 1/2 in PVC conduit", NEC, f"{CHAPTER_9}, Table 4", MEMORY),
    _fact("pvc_area_3_4_in2", "0.508", "sq in", "inside of 3/4 in PVC conduit", NEC, f"{CHAPTER_9}, Table 4", MEMORY),
    _fact("pvc_area_1_in2", "0.832", "sq in", "inside of 1 in PVC conduit", NEC, f"{CHAPTER_9}, Table 4", MEMORY),
    _fact("wire_area_14_in2", "0.0097", "sq in", "14 gauge THHN", NEC, f"{CHAPTER_9}, Table 5", SECOND_HAND),
    _fact("wire_area_12_in2", "0.0133", "sq in", "12 gauge THHN", NEC, f"{CHAPTER_9}, Table 5", SECOND_HAND),
    _fact("wire_area_10_in2", "0.0211", "sq in", "10 gauge THHN", NEC, f"{CHAPTER_9}, Table 5", SECOND_HAND),
    _fact("wire_area_8_in2", "0.0366", "sq in", "8 gauge THHN", NEC, f"{CHAPTER_9}, Table 5", SECOND_HAND),
)

CONDUIT = (
    _fact("emt_strap_ft", "10", "ft", "straps on EMT", NEC, "358.30", READ),
    _fact("emt_box_strap_ft", "3", "ft", "strap on EMT this near a box", NEC, "358.30", READ),
    _fact("pvc_strap_ft", "3", "ft", "straps on PVC conduit to 1 in", NEC, "352.30", SECOND_HAND),
    _fact("pvc_box_strap_ft", "3", "ft", "strap on PVC conduit this near a box", NEC, "352.30", READ),
    _fact("conduit_stick_ft", "10", "ft", "stock length of conduit", ALLOWANCE, "", COMMON_PRACTICE),
    _fact("wire_slack_in", "8", "in", "wire to spare in each box", ALLOWANCE, "", COMMON_PRACTICE),
)

SEALING = (
    _fact(
        "in3_per_fl_oz",
        "1.8046875",
        "cu in",
        "a US fluid ounce",
        "definition",
        "1 gal = 231 cu in = 128 fl oz",
        COMPUTED,
    ),
    _fact("cartridge_fl_oz", "10.1", "fl oz", "sealant cartridge", ALLOWANCE, "", COMMON_PRACTICE),
    _fact("wall_bead_in", "0.375", "in", "bead of membrane to wall", OWN, "", COMMON_PRACTICE),
)

MEMBRANE = (
    _fact("membrane_upturn_in", "6", "in", "membrane turned up the wall", "32 Ill. Adm. Code", "422.160(c)", READ),
    _fact("membrane_fastener_ft", "2", "ft", "fasteners along the wall", ALLOWANCE, "", COMMON_PRACTICE),
)

PAINT = (
    _fact("paint_gallon_sq_ft", "350", "sq ft", "a gallon covers, one coat", "trade page on paint", "", SECOND_HAND),
    _fact(
        "paint_can_sq_ft", "20", "sq ft", "a 12 oz spray can covers, one coat", "trade page on paint", "", SECOND_HAND
    ),
    _fact("quarts_per_gallon", "4", "quarts", "quarts in a gallon", "definition", "", COMPUTED),
)

TAKEOFF = PIPE + FITTINGS + FILL + CONDUIT + SEALING + MEMBRANE + PAINT
