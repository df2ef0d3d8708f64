"""The tables that can be read and written: their headings, and what each column holds."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import partial
from typing import Literal

from lugbook.units import fields
from lugbook.units.fields import Field

Shape = Literal[
    "label",  # 1 to 64 printable characters
    "note",  # up to 5,000 characters on one line
    "measure",  # a number with a unit: `field` says which
    "time",  # a date, or a date with a time
    "day",  # a date alone
    "yes or no",
    "whole",  # a whole number from `least` to `most`
    "choice",  # one of `words`
    "size",  # a conductor size
    "zone",  # an IANA time zone
    "meter unit",  # what an instrument reads in
    "resolution",  # one count of an instrument, in its meter unit
]


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a layout."""

    heading: str
    shape: Shape
    says: str  # what it is, in plain words
    needed: bool  # the heading must be there
    blank_ok: bool  # a cell under it may be empty; always so where the column is not needed
    field: Field | None = None  # for "measure" only
    words: tuple[str, ...] = ()  # for "choice" only
    least: int = 1  # for "whole" only
    most: int = 1
    default: str | int | bool | None = None  # the value of an empty cell or of an absent column

    @property
    def is_number(self) -> bool:
        """True where its cells are numbers, which nothing may be put before."""
        return self.shape in ("measure", "resolution", "whole")


@dataclass(frozen=True, slots=True)
class Layout:
    """One kind of table."""

    kind: str
    says: str
    columns: tuple[Column, ...]
    key: tuple[str, ...]  # the columns that together name one row

    @property
    def headings(self) -> tuple[str, ...]:
        """Every heading, in the order in which tables are written."""
        return tuple(column.heading for column in self.columns)

    @property
    def needed(self) -> tuple[str, ...]:
        """The headings without which a table is refused."""
        return tuple(column.heading for column in self.columns if column.needed)


_needed = partial(Column, needed=True, blank_ok=False)
_maybe = partial(Column, needed=False, blank_ok=True)

_NOTE = _maybe("note", "note", "anything worth keeping, on one line")
_BUILD = _needed("build", "label", "the build it belongs to")
_MAYBE_BUILD = _maybe("build", "label", "the build, where the tag alone does not say which")
_OPERATOR = _maybe("operator", "label", "who did it")
_TORQUE = "torque as applied"
_PLACES = ("dry", "engine", "bilge", "exposed")

_BUILDS = Layout(
    kind="builds",
    says="vessels, vehicles and systems",
    key=("build",),
    columns=(
        _needed("build", "label", "name of the vessel, vehicle or system"),
        _maybe("description", "note", "what it is, in a sentence"),
        _maybe("zone", "zone", "time zone of its times, like Europe/Lisbon; UTC if empty", default="UTC"),
    ),
)

_CONDUCTORS = Layout(
    kind="conductors",
    says="what cables are made of",
    key=("conductor",),
    columns=(
        _needed("conductor", "label", "your name for it"),
        _needed("size", "size", "like 2/0 AWG, SAE 2/0, 70 mm2 or 250 kcmil"),
        _maybe("tinned", "yes or no", "yes if the strands are tinned; empty if not known"),
        _maybe("strands", "label", "how it is stranded, like 1330 x 0.25"),
        _maybe("insulation_celsius", "measure", "temperature rating", field=fields.INSULATION_CELSIUS),
        _maybe("area_mm2", "measure", "metal area; from the size if empty", field=fields.AREA_MM2),
        _NOTE,
    ),
)

_LUGS = Layout(
    kind="lugs",
    says="the parts that are crimped on",
    key=("lug",),
    columns=(
        _needed("lug", "label", "your name for it"),
        _maybe("barrel_size", "size", "the conductor size its barrel is made for"),
        _maybe("stud_millimetre", "measure", "the stud its hole is made for", field=fields.STUD_MILLIMETRE),
        _maybe("material", "label", "like copper"),
        _maybe("plating", "label", "like tin"),
        _NOTE,
    ),
)

_TOOLS = Layout(
    kind="tools",
    says="what crimps are made with",
    key=("tool",),
    columns=(
        _needed("tool", "label", "your name for it"),
        _maybe("kind", "label", "like hydraulic or hand"),
        _NOTE,
    ),
)

_OPERATORS = Layout(
    kind="operators",
    says="who makes and measures",
    key=("operator",),
    columns=(_needed("operator", "label", "name or initials"), _NOTE),
)

_INSTRUMENTS = Layout(
    kind="instruments",
    says="meters, with the accuracy their makers state",
    key=("instrument",),
    columns=(
        _needed("instrument", "label", "your name for it"),
        _needed(
            "kind",
            "choice",
            "what it measures",
            words=("millivoltmeter", "clamp", "shunt", "thermometer", "pull tester", "torque wrench"),
        ),
        _needed("percent_of_reading", "measure", "percent of the reading", field=fields.PERCENT_OF_READING),
        _needed("counts", "measure", "plus so many counts of the last digit", field=fields.COUNTS),
        _needed("resolution", "resolution", "what one count is, in the unit of the next column"),
        _needed("unit", "meter unit", "mV for a millivoltmeter, A for a clamp or shunt, degC, N or N m"),
        _maybe("calibrated_on", "day", "day of the last calibration"),
        _maybe("calibration_due", "day", "day the next one is due"),
        _NOTE,
    ),
)

_RECIPES = Layout(
    kind="recipes",
    says="how terminals are made",
    key=("recipe",),
    columns=(
        _needed("recipe", "label", "your name for it"),
        _needed("conductor_size", "label", "the conductor, by its name in your book or by its size"),
        _needed("lug", "label", "the lug"),
        _needed("tool", "label", "the tool"),
        _needed("die", "label", "the die or its setting"),
        _needed("presses", "whole", "how many presses along the barrel", most=50),
        _needed("strip_millimetre", "measure", "insulation taken off", field=fields.STRIP_MILLIMETRE),
        _maybe("sealing", "label", "like adhesive sleeve 40 mm"),
        _maybe("compound", "label", "like antioxidant paste"),
        _NOTE,
    ),
)

_CABLES = Layout(
    kind="cables",
    says="made-up cables; their ends get the tag and A or B",
    key=("build", "cable"),
    columns=(
        _BUILD,
        _needed("cable", "label", "tag of the cable, like C12"),
        _needed("conductor", "label", "what it is made of"),
        _needed("length_metre", "measure", "length, lug to lug", field=fields.LENGTH_METRE),
        _maybe("from_place", "choice", "what end A has to stand", words=_PLACES),
        _maybe("to_place", "choice", "what end B has to stand", words=_PLACES),
        _NOTE,
    ),
)

_LANDINGS = Layout(
    kind="landings",
    says="posts, studs and bus bars that terminals are bolted to",
    key=("build", "landing"),
    columns=(
        _BUILD,
        _needed("landing", "label", "tag of the landing"),
        _needed("kind", "choice", "what it is", words=("post", "stud", "bus bar")),
        _maybe("hardware", "label", "nut and washers"),
        _maybe("torque_newton_metre", "measure", _TORQUE, field=fields.TORQUE_NEWTON_METRE),
        _NOTE,
    ),
)

_TERMINALS = Layout(
    kind="terminals",
    says="lugs crimped on cable ends",
    key=("build", "cable_end", "made_at"),
    columns=(
        _BUILD,
        _needed("cable_end", "label", "cable tag and end, like C12A"),
        _needed("recipe", "label", "how it was made"),
        _needed("made_at", "time", "when it was crimped"),
        _OPERATOR,
        _maybe("landing", "label", "where it is bolted"),
        _NOTE,
    ),
)

_SPANS = Layout(
    kind="spans",
    says="pairs of probe places watched over the years",
    key=("build", "span"),
    columns=(
        _BUILD,
        _needed("span", "label", "tag of the span, like C12A/crimp"),
        _needed(
            "kind",
            "choice",
            "what lies between",
            words=("crimp", "landing", "cable", "joint", "check standard"),
        ),
        _needed("place", "choice", "what it has to stand", words=_PLACES),
        _maybe("cable_end", "label", "the end it is on"),
        _maybe("landing", "label", "the landing it is on"),
        _maybe("limit_microohm", "measure", "your own limit at 20 degC", field=fields.LIMIT_MICROOHM),
        _NOTE,
    ),
)

_READINGS = Layout(
    kind="readings",
    says="millivolt drops at a known current",
    key=(
        *("build", "span", "taken_at", "voltage_instrument", "current_instrument"),
        *("polarity", "stage", "repeat"),
    ),
    columns=(
        _needed("span", "label", "the span"),
        _needed("round", "label", "the outing it was read on"),
        _needed("taken_at", "time", "when it was read"),
        _needed("drop_millivolt", "measure", "millivolt drop across the span", field=fields.DROP_MILLIVOLT),
        _needed("current_ampere", "measure", "current through it", field=fields.CURRENT_AMPERE),
        _needed(
            "joint_celsius",
            "measure",
            "temperature of the joint; a cell may be empty",
            blank_ok=True,
            field=fields.JOINT_CELSIUS,
        ),
        _needed("voltage_instrument", "label", "the meter of the drop"),
        _needed("current_instrument", "label", "the meter of the current"),
        _MAYBE_BUILD,
        _maybe(
            "polarity",
            "choice",
            "which way the current ran; forward if empty",
            words=("forward", "reverse"),
            default="forward",
        ),
        _maybe("zero_millivolt", "measure", "drop at no current", field=fields.ZERO_MILLIVOLT),
        _OPERATOR,
        _maybe("stage", "choice", "at a service: before or after", words=("as found", "as left")),
        _maybe("repeat", "whole", "1, 2, 3 of readings taken together; 1 if empty", most=1000, default=1),
        _maybe("confirmed", "yes or no", "yes if it looked wrong and was read again", default=False),
        _NOTE,
    ),
)

_PULLS = Layout(
    kind="pulls",
    says="sample crimps pulled to failure, and loads held on made terminals",
    key=("recipe", "sample", "pulled_at"),
    columns=(
        _needed("recipe", "label", "how the crimp was made"),
        _needed("sample", "label", "your number for the sample"),
        _needed("pulled_at", "time", "when it was pulled"),
        _needed("pull_newton", "measure", "greatest force", field=fields.PULL_NEWTON),
        _needed(
            "failure",
            "choice",
            "what gave way",
            words=("conductor broke", "pulled out", "lug cracked", "not to failure"),
        ),
        _maybe(
            "kind",
            "choice",
            "sample, or proof on a made terminal; sample if empty",
            words=("sample", "proof"),
            default="sample",
        ),
        _maybe("cable_end", "label", "the end a proof pull was held on"),
        _MAYBE_BUILD,
        _maybe("hold_second", "measure", "how long the load was held", field=fields.HOLD_SECOND),
        _maybe("instrument", "label", "the pull tester"),
        _OPERATOR,
        _NOTE,
    ),
)

_SERVICES = Layout(
    kind="services",
    says="work done on spans; each starts a new series",
    key=("build", "span", "serviced_at"),
    columns=(
        _needed("span", "label", "the span"),
        _needed("serviced_at", "time", "when it was done"),
        _needed(
            "action",
            "choice",
            "what was done",
            words=("cleaned", "re-torqued", "re-sealed", "remade", "replaced"),
        ),
        _MAYBE_BUILD,
        _OPERATOR,
        _maybe("torque_newton_metre", "measure", _TORQUE, field=fields.TORQUE_NEWTON_METRE),
        _NOTE,
    ),
)

# In the order in which an empty book can take them.
LAYOUTS: Mapping[str, Layout] = {
    layout.kind: layout
    for layout in (
        *(_BUILDS, _CONDUCTORS, _LUGS, _TOOLS, _OPERATORS, _INSTRUMENTS, _RECIPES),
        *(_CABLES, _LANDINGS, _TERMINALS, _SPANS, _READINGS, _PULLS, _SERVICES),
    )
}
