"""What each measured field may hold: its unit, the units it may be typed in, its range, an example."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from lugbook.units.symbols import symbol_of


@dataclass(frozen=True, slots=True)
class Field:
    """One measured field. Ranges are our own and wide: they catch slips of a unit, they judge nothing."""

    name: str  # the column: "drop_millivolt"
    word: str  # in a sentence: "millivolt drop"
    unit: str  # symbol of the unit that `name` says: "mV"
    accepts: tuple[str, ...]  # symbols of the units it may be typed in, `unit` first
    low: float  # smallest and greatest number, in `unit`, both allowed
    high: float
    example: str  # "0.84 mV"
    stem: str  # what a heading begins with: "drop"
    suffixes: Mapping[str, str]  # what a heading may end with after the stem -> symbol: {"millivolt": "mV"}


_VOLTAGE = {"millivolt": "mV", "microvolt": "uV", "volt": "V"}
_CURRENT = {"ampere": "A", "milliampere": "mA", "kiloampere": "kA"}
_RESISTANCE = {"microohm": "microohm", "milliohm": "milliohm", "ohm": "ohm"}
_TEMPERATURE = {"celsius": "degC", "fahrenheit": "degF", "kelvin": "K"}
_FORCE = {"newton": "N", "kilonewton": "kN", "lbf": "lbf", "kgf": "kgf"}
_TORQUE = {"newton_metre": "N m", "lbf_ft": "lbf ft", "lbf_in": "lbf in"}
_LENGTH = {"metre": "m", "millimetre": "mm", "centimetre": "cm", "foot": "ft", "inch": "in"}
_SMALL_LENGTH = {"millimetre": "mm", "centimetre": "cm", "inch": "in"}
_LENGTH_OF_PROBES = {"millimetre": "mm", "centimetre": "cm", "metre": "m", "inch": "in", "foot": "ft"}
_AREA = {"mm2": "mm2", "kcmil": "kcmil", "cmil": "cmil"}
_TIME = {"second": "s", "minute": "min"}
_SYSTEM_VOLTAGE = {"volt": "V", "millivolt": "mV"}
_PERCENT = {"": "%"}  # the stem itself says the unit
_COUNTS = {"": "counts"}


def _field(
    name: str, word: str, suffixes: Mapping[str, str], low: float, high: float, *, example: str, stem: str
) -> Field:
    accepts = tuple(suffixes.values())
    return Field(name, word, accepts[0], accepts, low, high, example, stem, suffixes)


DROP_MILLIVOLT = _field(
    "drop_millivolt", "millivolt drop", _VOLTAGE, -60_000, 60_000, example="0.84 mV", stem="drop"
)
ZERO_MILLIVOLT = _field(
    "zero_millivolt", "reading at zero current", _VOLTAGE, -1_000, 1_000, example="0.01 mV", stem="zero"
)
CURRENT_AMPERE = _field("current_ampere", "current", _CURRENT, 0.1, 10_000, example="100 A", stem="current")
JOINT_CELSIUS = _field(
    "joint_celsius", "joint temperature", _TEMPERATURE, -40, 150, example="31 degC", stem="joint"
)
LIMIT_MICROOHM = _field(
    "limit_microohm", "resistance limit", _RESISTANCE, 0.01, 1_000_000, example="25 microohm", stem="limit"
)
PULL_NEWTON = _field("pull_newton", "pull force", _FORCE, 0, 200_000, example="2400 N", stem="pull")
HOLD_SECOND = _field("hold_second", "time held", _TIME, 0, 86_400, example="60 s", stem="hold")
TORQUE_NEWTON_METRE = _field(
    "torque_newton_metre", "torque", _TORQUE, 0.1, 1_000, example="12 N m", stem="torque"
)
LENGTH_METRE = _field("length_metre", "length", _LENGTH, 0.01, 500, example="1.25 m", stem="length")
STRIP_MILLIMETRE = _field(
    "strip_millimetre", "strip length", _SMALL_LENGTH, 1, 200, example="18 mm", stem="strip"
)
PROBE_MILLIMETRE = _field(
    "probe_millimetre",
    "cable between the probes",
    _LENGTH_OF_PROBES,
    0,
    100_000,
    example="25 mm",
    stem="probe",
)
PLACEMENT_MILLIMETRE = _field(
    "placement_millimetre",
    "doubt of the probes' places",
    _SMALL_LENGTH,
    0.01,
    100,
    example="1 mm",
    stem="placement",
)
STUD_MILLIMETRE = _field("stud_millimetre", "stud size", _SMALL_LENGTH, 1, 60, example="8 mm", stem="stud")
CRIMP_MILLIMETRE = _field(
    "crimp_millimetre", "crimp size", _SMALL_LENGTH, 0.5, 100, example="11.2 mm", stem="crimp"
)
WALL_MILLIMETRE = _field(
    "wall_millimetre", "barrel wall", _SMALL_LENGTH, 0.1, 50, example="1.8 mm", stem="wall"
)
LENGTH_MILLIMETRE = _field(
    "length_millimetre",
    "length between the probes",
    _LENGTH_OF_PROBES,
    1,
    100_000,
    example="150 mm",
    stem="length",
)
WIDTH_MILLIMETRE = _field(
    "width_millimetre", "crimp width", _SMALL_LENGTH, 0.5, 100, example="14.2 mm", stem="width"
)
HEIGHT_MILLIMETRE = _field(
    "height_millimetre", "crimp height", _SMALL_LENGTH, 0.5, 100, example="13.1 mm", stem="height"
)
SHARE_PERCENT = _field(
    "share_percent", "share of all crimps", _PERCENT, 50, 99.9, example="99 %", stem="share_percent"
)
MAKER_TORQUE_NEWTON_METRE = _field(
    "maker_torque_newton_metre",
    "torque the maker states",
    _TORQUE,
    0.1,
    1_000,
    example="12 N m",
    stem="maker_torque",
)
ROUTE_METRE = _field("route_metre", "route", _LENGTH, 0.01, 500, example="1.25 m", stem="route")
SERVICE_LOOP_METRE = _field(
    "service_loop_metre", "service loop", _LENGTH, 0, 500, example="0.15 m", stem="service_loop"
)
BEND_RADIUS_MILLIMETRE = _field(
    "bend_radius_millimetre",
    "bend radius",
    _LENGTH_OF_PROBES,
    0,
    10_000,
    example="100 mm",
    stem="bend_radius",
)
TRIM_MILLIMETRE = _field(
    "trim_millimetre", "trim at each end", _SMALL_LENGTH, 0, 10_000, example="10 mm", stem="trim"
)
LOOM_METRE = _field("loom_metre", "loom", _LENGTH, 0, 500, example="1.1 m", stem="loom")
HEAT_SHIELD_METRE = _field(
    "heat_shield_metre", "heat shield", _LENGTH, 0, 500, example="0.4 m", stem="heat_shield"
)
CIRCUIT_AMPERE = _field(
    "circuit_ampere", "current of the circuit", _CURRENT, 0.1, 10_000, example="150 A", stem="circuit"
)
SYSTEM_VOLT = _field(
    "system_volt", "volts of the system", _SYSTEM_VOLTAGE, 1, 1_500, example="12 V", stem="system"
)
DROP_BUDGET_PERCENT = _field(
    "drop_budget_percent", "drop budget", _PERCENT, 0.1, 50, example="3 %", stem="drop_budget_percent"
)
AREA_MM2 = _field("area_mm2", "conductor area", _AREA, 0.1, 1_200, example="70 mm2", stem="area")
INSULATION_CELSIUS = _field(
    "insulation_celsius", "insulation rating", _TEMPERATURE, 40, 300, example="105 degC", stem="insulation"
)
PERCENT_OF_READING = _field(
    "percent_of_reading", "accuracy", _PERCENT, 0, 50, example="0.5 %", stem="percent_of_reading"
)
RISK_PERCENT = _field(
    "risk_percent", "accepted risk", _PERCENT, 0.1, 50, example="2 %", stem="risk_percent"
)
CHANGE_PERCENT = _field(
    "change_percent", "change", _PERCENT, 0.1, 1_000, example="10 %", stem="change_percent"
)
COUNTS = _field("counts", "number of counts", _COUNTS, 0, 10_000, example="3 counts", stem="counts")


# What an instrument may read in. Not the temperature units: a resolution is a difference, and 0.1 degF of
# difference is not -17.7 degC. The range of a thermometer is not asked for.
_METER_UNITS: Mapping[str, tuple[Mapping[str, str], str]] = {
    "mV": (_VOLTAGE, "0.01 mV"),
    "A": (_CURRENT, "0.1 A"),
    "degC": ({"celsius": "degC"}, "0.1 degC"),
    "N": (_FORCE, "10 N"),
    "N m": (_TORQUE, "0.1 N m"),
}


def _of_meters(
    name: str, word: str, low: float, high: float, examples: Mapping[str, str] | None = None
) -> dict[str, Field]:
    return {
        unit: _field(name, word, suffixes, low, high, example=(examples or {}).get(unit, example), stem=name)
        for unit, (suffixes, example) in _METER_UNITS.items()
    }


_RANGES = {"mV": "400 mV", "A": "400 A", "N": "20 kN", "N m": "50 N m"}
# A heading whose numbers are in the unit the instrument reads in -> that unit -> what such a number may be.
METER_FIELDS: Mapping[str, Mapping[str, Field]] = {
    "resolution": _of_meters("resolution", "resolution", 1e-9, 1_000),
    "least": _of_meters("least", "least reading", 0, 100_000, {"A": "2 A"}),
    "greatest": _of_meters("greatest", "greatest reading", 1e-6, 1_000_000, _RANGES),
    "zero_offset": _of_meters("zero_offset", "zero offset", 0, 1_000),
}

_HEADING = re.compile(r"([^(\[]*?)[ _]*[(\[]([^)\]]*)[)\]]")


def unit_of_heading(heading: str, field: Field) -> str | None:
    """The symbol of the unit a column heading states for this field.

    "pull_lbf", "drop (mV)", "drop [mV]" and "Drop mV" state theirs; "drop" alone is this field's heading but
    states none, which gives ''. None where the heading is not this field's, or its unit is not one of it.
    """
    plain = " ".join(heading.split())
    bracketed = _HEADING.fullmatch(plain)
    stem, stated = bracketed.groups() if bracketed else (plain[: len(field.stem)], plain[len(field.stem) :])
    if stem.casefold().replace(" ", "_") != field.stem:
        return None
    if not stated.strip(" _"):
        return field.suffixes.get("", "")
    if not bracketed and stated[0] not in " _":
        return None
    spelling = stated.strip(" _")
    unit = field.suffixes.get(spelling.casefold().replace(" ", "_")) or symbol_of(spelling)
    return unit if unit in field.accepts else None
