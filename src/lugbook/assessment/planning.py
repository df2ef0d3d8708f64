"""What a reading yet to be taken would be worth: which current, which way, how often; or what change would show."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from lugbook.assessment.weighing import THERMAL_EMF_MILLIVOLT, THERMOMETER_SD_KELVIN
from lugbook.physics.instruments import Meter, gain_sd, own_sd
from lugbook.physics.materials import COPPER_PER_CELSIUS
from lugbook.units.uncertainty import rectangular_sd

ONE_WAY, WITH_ZERO, BOTH_WAYS = WAYS = ("one way", "with a zero", "both ways")
# A change is called visible where it would be claimed wrongly once in 20 times and missed once in 20: 1.645 + 1.645
# standard uncertainties of the difference (Currie 1968; memory).
VISIBLE_SDS = 2 * 1.6449
LADDER_AMPERE = (
    1, 2, 3, 5, 7.5, 10, 15, 20, 25, 30, 40, 50, 60, 75, 100, 125, 150, 200, 250, 300, 400, 500, 600, 800, 1000,
)  # fmt: skip
REPEATS = (1, 2, 3, 5)
MOST_AMPERE = 200.0  # our assumption: what a house bank or a starter gives steadily for a few seconds


@dataclass(frozen=True)
class Setup:
    """With what, and of what, a reading would be taken."""

    expected_microohm: float  # at 20 degC
    voltmeter: Meter
    ammeter: Meter
    others: int  # other spans read in the same rounds; 0: the gain of the meters counts in full
    placement_microohm: float = 0.0  # standard uncertainty, by where the probes stand
    noise_scale: float = 1.0  # how much more than stated the readings of the book scatter, at least 1
    thermometer_sd_kelvin: float = THERMOMETER_SD_KELVIN
    most_ampere: float = MOST_AMPERE  # what can be drawn through it for a reading


@dataclass(frozen=True)
class Way:
    """How it would be taken."""

    ampere: float
    way: str = ONE_WAY  # one of WAYS
    repeats: int = 1

    @property
    def readings(self) -> int:
        """How often the probes are set."""
        return self.repeats * (1 if self.way == ONE_WAY else 2)


@dataclass(frozen=True)
class Parts:
    """Relative standard uncertainty of one outing's value, by where it comes from."""

    voltmeter: float  # counts, zero and thermal voltage
    ammeter: float  # counts and zero
    placement: float
    temperature: float
    gain: float  # shared by the round; cancels against the other spans

    @property
    def own(self) -> float:
        """What the other spans of the round do not share."""
        return math.sqrt(self.voltmeter**2 + self.ammeter**2 + self.placement**2 + self.temperature**2)


def parts_of(setup: Setup, way: Way) -> Parts:
    """The doubt of a value taken in a certain way, temperatures of the two outings being alike.

    Repeats, and the two ways, lessen what is drawn anew each time by their number; a zero reading takes away the
    meter's zero and the thermal voltage and adds its own counts; both ways take them away and add nothing.
    """
    drop = setup.expected_microohm * way.ampere / 1000
    volt, ampere = setup.voltmeter.accuracy_at(drop), setup.ammeter.accuracy_at(way.ampere)
    draws = way.repeats * (2 if way.way == BOTH_WAYS else 1)
    counts = own_sd(volt) * (math.sqrt(2) if way.way == WITH_ZERO else 1.0) / math.sqrt(draws)
    lasting = (setup.voltmeter.zero_offset, THERMAL_EMF_MILLIVOLT) if way.way == ONE_WAY else ()
    scale = setup.noise_scale
    return Parts(
        scale * math.hypot(counts, *(rectangular_sd(one) for one in lasting)) / drop,
        scale
        * math.hypot(own_sd(ampere) / math.sqrt(draws), rectangular_sd(setup.ammeter.zero_offset))
        / way.ampere,
        scale * setup.placement_microohm / setup.expected_microohm / math.sqrt(draws),
        scale * COPPER_PER_CELSIUS * setup.thermometer_sd_kelvin,
        math.hypot(gain_sd(volt), gain_sd(ampere)),
    )


def visible_change(setup: Setup, way: Way) -> float:
    """The smallest relative change between two outings that would be seen, each taken in this way.

    VISIBLE_SDS sqrt(2) u. With n other spans read the same days the gain cancels and their own doubt comes in,
    u^2 (1 + 1/n); read alone, gain and all. Example by hand, criteria of low-resistance practice: 20 microohm at
    100 A is 2 mV; 0.1 mV steps with 2 counts are 0.119 mV, 6.0 % of it, so that a change of 28 % would show.
    """
    parts = parts_of(setup, way)
    alone = math.hypot(parts.own, parts.gain)
    u = parts.own * math.sqrt(1 + 1 / setup.others) if setup.others else alone
    return VISIBLE_SDS * math.sqrt(2) * u


def needed_ampere(setup: Setup, change: float, way: str, repeats: int) -> float | None:
    """The smallest current of LADDER_AMPERE at which a relative change shows; None if there is none such."""
    for ampere in usable_ampere(setup):
        if visible_change(setup, Way(ampere, way, repeats)) <= change:
            return ampere
    return None


def usable_ampere(setup: Setup) -> tuple[float, ...]:
    """The currents of LADDER_AMPERE that can be drawn and shown."""
    most = min(setup.ammeter.greatest, setup.most_ampere)
    return tuple(one for one in LADDER_AMPERE if setup.ammeter.least <= one <= most)


def foremost_part(setup: Setup, way: Way) -> str:
    """What limits a reading most, in words."""
    parts = parts_of(setup, way)
    named = {
        "the last digits and the zero of the voltmeter": parts.voltmeter,
        "the last digits and the zero of the ammeter": parts.ammeter,
        "where the probes stand": parts.placement,
        "the temperature of the joint": parts.temperature,
    }
    if setup.others == 0:
        named["the percentages of the meters, as no other span is read with it"] = parts.gain
    return max(named, key=lambda name: named[name])


def needed_resolution_millivolt(setup: Setup, change: float, way: Way) -> float | None:
    """The last digit that a voltmeter of the same counts would need at this current; None where none would do.

    The largest of 1, 0.1, 0.01 ... mV with which the change shows.
    """
    for exponent in range(0, -6, -1):
        digit = 10.0**exponent
        ranges = tuple(
            replace(one, accuracy=replace(one.accuracy, resolution=digit)) for one in setup.voltmeter.ranges
        )
        finer = replace(setup, voltmeter=replace(setup.voltmeter, ranges=ranges))
        if visible_change(finer, way) <= change:
            return digit
    return None
