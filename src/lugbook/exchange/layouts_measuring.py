"""The tables of measuring: meters, readings, and the work that readings led to."""

from __future__ import annotations

from lugbook.exchange.layout import MAYBE_BUILD, NOTE, OPERATOR, TORQUE, Layout, maybe, needed
from lugbook.units import fields

INSTRUMENTS = Layout(
    kind="instruments",
    says="meters, with the accuracy their makers state",
    key=("instrument",),
    columns=(
        needed("instrument", "label", "your name for it"),
        needed(
            "kind",
            "choice",
            "what it measures",
            words=("millivoltmeter", "clamp", "shunt", "thermometer", "pull tester", "torque wrench"),
        ),
        needed("percent_of_reading", "measure", "percent of the reading", field=fields.PERCENT_OF_READING),
        needed("counts", "measure", "plus so many counts of the last digit", field=fields.COUNTS),
        needed("resolution", "in meter unit", "what one count is, in the unit of the next column"),
        needed("unit", "meter unit", "mV for a millivoltmeter, A for a clamp or shunt, degC, N or N m"),
        maybe("calibrated_on", "day", "day of the last calibration"),
        maybe("calibration_due", "day", "day the next one is due"),
        maybe("least", "in meter unit", "below this it shows nothing to rely on, like the floor of a clamp"),
        maybe("greatest", "in meter unit", "the end of the range that the accuracy is stated for"),
        maybe("zero_offset", "in meter unit", "what it may show of nothing, after it was zeroed"),
        NOTE,
    ),
)

RANGES = Layout(
    kind="ranges",
    says="further ranges of meters, each with its own accuracy",
    key=("instrument", "greatest"),
    columns=(
        needed("instrument", "label", "the instrument"),
        needed(
            "greatest", "in meter unit", "the end of the range; the narrowest that holds a reading counts"
        ),
        needed("percent_of_reading", "measure", "percent of the reading", field=fields.PERCENT_OF_READING),
        needed("counts", "measure", "plus so many counts of the last digit", field=fields.COUNTS),
        needed("resolution", "in meter unit", "what one count is on this range"),
        needed("unit", "meter unit", "the unit of this line: mV for a millivoltmeter, A, degC, N or N m"),
    ),
)

READINGS = Layout(
    kind="readings",
    says="millivolt drops at a known current",
    key=(
        *("build", "span", "taken_at", "voltage_instrument", "current_instrument"),
        *("polarity", "stage", "repeat"),
    ),
    columns=(
        needed("span", "label", "the span"),
        needed("round", "label", "the outing it was read on"),
        needed("taken_at", "time", "when it was read"),
        needed("drop_millivolt", "measure", "millivolt drop across the span", field=fields.DROP_MILLIVOLT),
        needed("current_ampere", "measure", "current through it", field=fields.CURRENT_AMPERE),
        needed(
            "joint_celsius",
            "measure",
            "temperature of the joint; a cell may be empty",
            blank_ok=True,
            field=fields.JOINT_CELSIUS,
        ),
        needed("voltage_instrument", "label", "the meter of the drop"),
        needed("current_instrument", "label", "the meter of the current"),
        MAYBE_BUILD,
        maybe("thermometer", "label", "what the temperature was read with"),
        maybe(
            "polarity",
            "choice",
            "which way the current ran; forward if empty",
            words=("forward", "reverse"),
            default="forward",
        ),
        maybe("zero_millivolt", "measure", "drop at no current", field=fields.ZERO_MILLIVOLT),
        OPERATOR,
        maybe("stage", "choice", "at a service: before or after", words=("as found", "as left")),
        maybe("repeat", "whole", "1, 2, 3 of readings taken together; 1 if empty", most=1000, default=1),
        maybe("confirmed", "yes or no", "yes if it looked wrong and was read again", default=False),
        NOTE,
    ),
)

SERVICES = Layout(
    kind="services",
    says="work done on spans; each starts a new series",
    key=("build", "span", "serviced_at"),
    columns=(
        needed("span", "label", "the span"),
        needed("serviced_at", "time", "when it was done"),
        needed(
            "action",
            "choice",
            "what was done",
            words=("cleaned", "re-torqued", "re-sealed", "remade", "replaced"),
        ),
        MAYBE_BUILD,
        OPERATOR,
        maybe("torque_newton_metre", "measure", TORQUE, field=fields.TORQUE_NEWTON_METRE),
        NOTE,
    ),
)
