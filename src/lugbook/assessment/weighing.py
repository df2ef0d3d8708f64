"""What each reading is worth: its resistance at 20 degC, and how far it may be out.

Uncertainties after JCGM 100:2008 (GUM): a limit +/-a without more knowledge counts as rectangular, a / sqrt
3 (4.3.7). The part shared by all readings of an instrument pair (its gain) is kept apart from the part of
each reading alone, because the shared part cancels between spans of one round (5.2, correlated inputs).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from lugbook.assessment.evidence import Flags, Floats, ReadingColumns, Whole
from lugbook.physics.joints import coefficient_doubt, joint_microohm, microohm_at_20_celsius

THERMOMETER_SD_KELVIN = 1.0  # our assumption: a contact thermometer on a lug
UNREAD_CELSIUS = 20.0  # our assumption where no temperature was written down,
UNREAD_SD_KELVIN = 8.0  # with this standard uncertainty: boat and engine spaces over the seasons
THERMAL_EMF_MILLIVOLT = 0.005  # +/-, our assumption where neither a zero nor a reversed reading cancels it
RECTANGULAR = 3**-0.5  # standard uncertainty of +/-1 with every value inside equally likely
FEWEST_REPEATS = 3  # of one way, on the spot, before their scatter says anything

# What may be out in a reading. The first two are shared by all readings taken with these instruments.
(VOLTAGE_GAIN, CURRENT_GAIN, VOLTAGE_COUNTS, VOLTAGE_OFFSET, THERMAL_EMF, CURRENT_COUNTS, CURRENT_OFFSET,
 PLACEMENT, REPEATS, THERMOMETER, COEFFICIENT) = PARTS = (
    "voltmeter, percent of reading", "ammeter, percent of reading", "voltmeter, counts and last digit",
    "voltmeter, zero", "thermal voltage of the probes", "ammeter, counts and last digit", "ammeter, zero",
    "where the probes stood", "scatter of the repeats", "temperature of the joint", "coefficient of the joint",
)  # fmt: skip
SHARED = (VOLTAGE_GAIN, CURRENT_GAIN)
THERMAL = (THERMOMETER, COEFFICIENT)
# Of readings of one span on one outing: what is drawn anew each time (our assumption: the probes are set anew), what
# adds to a drop one way and takes from it the other, and what stays the same.
ANEW = (VOLTAGE_COUNTS, CURRENT_COUNTS, PLACEMENT, REPEATS)
TURNING = (VOLTAGE_OFFSET, THERMAL_EMF)
LASTING = (CURRENT_OFFSET, *THERMAL)


@dataclass(frozen=True)
class ReadingWorth:
    """One row per reading, in the order given."""

    microohm: Floats  # magnitude at the temperature it was read; sign only where the drop had the wrong one
    microohm_20c: Floats
    u_microohm: Floats  # standard uncertainty of microohm_20c, all in
    own_sd: Floats  # relative, of this reading alone; layout.py says what readings come to together
    gain_sd: Floats  # relative, shared by all readings with these instruments
    usable: Flags  # above zero: has a logarithm
    temperature_read: Flags
    emf_cancelled: Flags  # by a zero reading, or by a reversed partner
    parts: Mapping[str, Floats]  # relative standard uncertainty by each of PARTS

    def sd_of(self, names: Sequence[str]) -> Floats:
        """Relative, some of the parts together."""
        return _root_of_squares([self.parts[name] for name in names])


def weigh_readings(readings: ReadingColumns) -> ReadingWorth:
    """Resistance [microohm] and relative standard uncertainties of every reading.

    Reversed readings count by magnitude: V- may be typed as the meter showed it (negative) or without its
    sign. The mean of a forward and a reversed reading is then (V+ - V-) / 2I, free of thermal EMF; each of them
    alone is not, and its own parts say so.
    """
    with np.errstate(divide="ignore", invalid="ignore"):
        drop, zeroed = _net_drop(readings)
        microohm = np.asarray(joint_microohm(drop, readings.current_ampere), float)
        temperature_read = ~np.isnan(readings.joint_celsius)
        celsius = np.where(temperature_read, readings.joint_celsius, UNREAD_CELSIUS)
        microohm_20c = np.asarray(microohm_at_20_celsius(microohm, celsius), float)
        parts = {
            **_electrical_parts(readings, drop, zeroed),
            PLACEMENT: _or_nothing(readings.placement_microohm, drop) / np.abs(microohm_20c),
            THERMOMETER: _thermometer_sd(readings, celsius, temperature_read),
            COEFFICIENT: np.asarray(coefficient_doubt(celsius)),
        }
        parts[REPEATS] = _excess_scatter(readings, microohm_20c, parts)
        own_sd = _root_of_squares([sd for name, sd in parts.items() if name not in SHARED])
        gain_sd = _root_of_squares([parts[name] for name in SHARED])
        scales = scale_to_middle(celsius)
        u_microohm = np.abs(microohm_20c) * _root_of_squares([parts[name] * scales[name] for name in PARTS])
    usable = np.isfinite(microohm_20c) & (microohm_20c > 0) & np.isfinite(own_sd)
    return ReadingWorth(
        microohm=microohm,
        microohm_20c=microohm_20c,
        u_microohm=u_microohm,
        own_sd=own_sd,
        gain_sd=gain_sd,
        usable=usable,
        temperature_read=temperature_read,
        emf_cancelled=zeroed | has_reversed_partner(readings, usable),
        parts=parts,
    )


def scale_to_middle(celsius: Floats) -> dict[str, Floats]:
    """What makes each relative part one over the value at 20 degC as computed.

    The parts are relative to what the joint truly has; on average over what its coefficient may be that is 1 +
    0.00393 (T - 20) / 2 times the computed value. The cable under the probes is copper for sure.
    """
    aside = np.sign(celsius - UNREAD_CELSIUS) * np.asarray(coefficient_doubt(celsius)) / RECTANGULAR
    sure = (COEFFICIENT, PLACEMENT)
    return {name: np.ones_like(celsius) if name in sure else np.asarray(1 + aside) for name in PARTS}


def _electrical_parts(readings: ReadingColumns, drop: Floats, zeroed: Flags) -> dict[str, Floats]:
    """What the meters and the probes' metals add, relative to the drop and the current."""
    volt, ampere = np.abs(drop), readings.current_ampere
    twice = np.where(zeroed, np.sqrt(2.0), 1.0)  # the zero was read with the same counts
    emf = np.where(zeroed, 0.0, THERMAL_EMF_MILLIVOLT * RECTANGULAR)
    volt_offset = _or_nothing(readings.voltage_offset_millivolt, drop) * RECTANGULAR
    return {
        VOLTAGE_GAIN: readings.voltage_gain_sd,
        CURRENT_GAIN: readings.current_gain_sd,
        VOLTAGE_COUNTS: readings.voltage_own_millivolt * twice / volt,
        VOLTAGE_OFFSET: np.where(zeroed, 0.0, volt_offset) / volt,
        THERMAL_EMF: emf / volt,
        CURRENT_COUNTS: readings.current_own_ampere / ampere,
        CURRENT_OFFSET: _or_nothing(readings.current_offset_ampere, drop) * RECTANGULAR / ampere,
    }


def _or_nothing(column: Floats | None, like: Floats) -> Floats:
    return np.zeros_like(like) if column is None else column


def _root_of_squares(parts: list[Floats]) -> Floats:
    return np.asarray(np.sqrt(np.add.reduce([part**2 for part in parts])))


def _excess_scatter(readings: ReadingColumns, microohm_20c: Floats, parts: Mapping[str, Floats]) -> Floats:
    """Relative, what repeats on the spot scatter more than the counts and the probes' places explain.

    The usual estimate of a variance from n repeats (GUM 4.2.2), less what is stated already; nothing where
    there are fewer than FEWEST_REPEATS of one way.
    """
    nothing = np.zeros_like(microohm_20c)
    if len(nothing) == 0:
        return nothing
    place = 2 * place_of(readings) + (readings.polarity < 0)
    _, cell, count = np.unique(place, return_inverse=True, return_counts=True)
    if count.max() < FEWEST_REPEATS:
        return nothing
    value = np.where(microohm_20c > 0, microohm_20c, np.nan)
    mean = np.bincount(cell, weights=value) / count
    variance = np.bincount(cell, weights=np.square(value / mean[cell] - 1)) / np.maximum(count - 1, 1)
    stated = sum(parts[name] ** 2 for name in (VOLTAGE_COUNTS, CURRENT_COUNTS, PLACEMENT))
    excess = np.sqrt(np.maximum(np.nan_to_num(variance)[cell] - stated, 0.0))
    return np.where(count[cell] >= FEWEST_REPEATS, excess, 0.0)


def _net_drop(readings: ReadingColumns) -> tuple[Floats, Flags]:
    """Drop [mV], the zero reading taken off, a reversed reading turned round; and whether it was zeroed.

    The zero has the sign that the meter showed, and so must the drop have before it is taken off.
    """
    zeroed = ~np.isnan(readings.zero_millivolt)
    backward = readings.polarity < 0
    shown = np.where(backward, -np.abs(readings.drop_millivolt), readings.drop_millivolt)
    drop = shown - np.where(zeroed, readings.zero_millivolt, 0.0)
    return np.where(backward, -drop, drop), zeroed


def has_reversed_partner(readings: ReadingColumns, usable: Flags) -> Flags:
    """Whether the same span was also read the other way round, on the same outing with the same instruments."""
    backward = readings.polarity < 0
    if not backward.any() or backward.all():
        return np.zeros(len(backward), bool)
    place = place_of(readings)
    forward_seen = np.bincount(place, weights=usable & ~backward) > 0
    backward_seen = np.bincount(place, weights=usable & backward) > 0
    return np.asarray((forward_seen & backward_seen)[place])


def place_of(readings: ReadingColumns) -> Whole:
    """One number per (span, series, round, instrument pair): readings that have it in common are one value."""
    place = readings.span
    for column in (readings.series, readings.round, instrument_pair(readings)):
        place = place * (int(column.max(initial=0)) + 1) + column
    return place


def instrument_pair(readings: ReadingColumns) -> Whole:
    """One number per voltmeter and ammeter used together."""
    if readings.instrument_set is not None:
        return np.unique(readings.instrument_set, return_inverse=True)[1]
    voltage = np.unique(readings.voltage_gain_sd, return_inverse=True)[1]
    current = np.unique(readings.current_gain_sd, return_inverse=True)[1]
    return np.asarray(voltage * (int(current.max(initial=0)) + 1) + current, np.int64)


def _thermometer_sd(readings: ReadingColumns, celsius: Floats, temperature_read: Flags) -> Floats:
    """Relative, by how well the temperature of the joint is known."""
    one = np.ones_like(celsius)
    warmer, colder = (np.asarray(microohm_at_20_celsius(one, celsius + half), float) for half in (0.5, -0.5))
    per_kelvin = (colder - warmer) / np.asarray(microohm_at_20_celsius(one, celsius), float)
    named = readings.thermometer_sd_kelvin
    read = THERMOMETER_SD_KELVIN if named is None else np.where(np.isnan(named), THERMOMETER_SD_KELVIN, named)
    return np.asarray(per_kelvin * np.where(temperature_read, read, UNREAD_SD_KELVIN))
