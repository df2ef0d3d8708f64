"""What each reading is worth: its resistance at 20 degC, and how far it may be out.

Uncertainties after JCGM 100:2008 (GUM): a limit +/-a without more knowledge counts as rectangular, a / sqrt
3 (4.3.7). The part shared by all readings of an instrument pair (its gain) is kept apart from the part of
each reading alone, because the shared part cancels between spans of one round (5.2, correlated inputs).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from lugbook.assessment.evidence import Flags, Floats, ReadingColumns, Whole
from lugbook.physics.joints import coefficient_doubt, joint_microohm, microohm_at_20_celsius

THERMOMETER_SD_KELVIN = 1.0  # our assumption: a contact thermometer on a lug
UNREAD_CELSIUS = 20.0  # our assumption where no temperature was written down,
UNREAD_SD_KELVIN = 8.0  # with this standard uncertainty: boat and engine spaces over the seasons
THERMAL_EMF_MILLIVOLT = 0.005  # +/-, our assumption where neither a zero nor a reversed reading cancels it
RECTANGULAR = 3**-0.5  # standard uncertainty of +/-1 with every value inside equally likely


@dataclass(frozen=True)
class ReadingWorth:
    """One row per reading, in the order given."""

    microohm: Floats  # magnitude at the temperature it was read; sign only where the drop had the wrong one
    microohm_20c: Floats
    u_microohm: Floats  # standard uncertainty of microohm_20c, all in
    own_sd: Floats  # relative, of this reading alone
    gain_sd: Floats  # relative, shared by all readings with these instruments
    thermal_sd: Floats  # relative, the part of own_sd that repeating at once does not lessen: temperature
    usable: Flags  # above zero: has a logarithm
    temperature_read: Flags
    emf_cancelled: Flags  # by a zero reading, or by a reversed partner


def weigh_readings(readings: ReadingColumns) -> ReadingWorth:
    """Resistance [microohm] and relative standard uncertainties of every reading.

    Reversed readings count by magnitude: V- may be typed as the meter showed it (negative) or without its
    sign. The mean of a forward and a reversed reading is then (V+ - V-) / 2I, free of thermal EMF.
    """
    with np.errstate(divide="ignore", invalid="ignore"):
        drop, zeroed = _net_drop(readings)
        microohm = np.asarray(joint_microohm(drop, readings.current_ampere), float)
        temperature_read = ~np.isnan(readings.joint_celsius)
        celsius = np.where(temperature_read, readings.joint_celsius, UNREAD_CELSIUS)
        microohm_20c = np.asarray(microohm_at_20_celsius(microohm, celsius), float)
        emf_cancelled = zeroed | has_reversed_partner(readings)
        thermal_sd = _thermal_sd(celsius, temperature_read)
        emf = np.where(emf_cancelled, 0.0, THERMAL_EMF_MILLIVOLT * RECTANGULAR)
        voltage_variance = readings.voltage_own_millivolt**2 * np.where(zeroed, 2.0, 1.0) + emf**2
        own_sd = np.sqrt(
            voltage_variance / drop**2
            + (readings.current_own_ampere / readings.current_ampere) ** 2
            + thermal_sd**2
        )
        gain_sd = np.hypot(readings.voltage_gain_sd, readings.current_gain_sd)
        u_microohm = np.abs(microohm_20c) * np.hypot(own_sd, gain_sd)
    usable = np.isfinite(microohm_20c) & (microohm_20c > 0) & np.isfinite(own_sd)
    return ReadingWorth(
        microohm,
        microohm_20c,
        u_microohm,
        own_sd,
        gain_sd,
        thermal_sd,
        usable,
        temperature_read,
        emf_cancelled,
    )


def _net_drop(readings: ReadingColumns) -> tuple[Floats, Flags]:
    """Drop [mV], the zero reading taken off, a reversed reading turned round; and whether it was zeroed."""
    zeroed = ~np.isnan(readings.zero_millivolt)
    drop = readings.drop_millivolt - np.where(zeroed, readings.zero_millivolt, 0.0)
    return np.where((readings.polarity < 0) & (readings.drop_millivolt < 0), -drop, drop), zeroed


def has_reversed_partner(readings: ReadingColumns) -> Flags:
    """Whether the same span was also read the other way round, in the same series and round."""
    reversed_ = readings.polarity < 0
    if not reversed_.any() or reversed_.all():
        return np.zeros(len(reversed_), bool)
    place = _place_of(readings)
    forward_seen = np.bincount(place, weights=~reversed_) > 0
    reversed_seen = np.bincount(place, weights=reversed_) > 0
    return np.asarray((forward_seen & reversed_seen)[place])


def _place_of(readings: ReadingColumns) -> Whole:
    """One number per (span, series, round)."""
    series_room = int(readings.series.max()) + 1
    round_room = int(readings.round.max()) + 1
    return (readings.span * series_room + readings.series) * round_room + readings.round


def _thermal_sd(celsius: Floats, temperature_read: Floats) -> Floats:
    """Relative: the thermometer, and the doubt whether this joint follows copper's coefficient at all."""
    one = np.ones_like(celsius)
    warmer, colder = (np.asarray(microohm_at_20_celsius(one, celsius + half), float) for half in (0.5, -0.5))
    per_kelvin = (colder - warmer) / np.asarray(microohm_at_20_celsius(one, celsius), float)
    kelvin = np.where(temperature_read, THERMOMETER_SD_KELVIN, UNREAD_SD_KELVIN)
    return np.asarray(np.hypot(per_kelvin * kelvin, coefficient_doubt(celsius)))
