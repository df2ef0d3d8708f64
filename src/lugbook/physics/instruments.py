"""How far an instrument may be out, and which part of that all its readings of a day share."""

from __future__ import annotations

import math
from dataclasses import dataclass

from lugbook.units.uncertainty import combined_sd, rectangular_sd


@dataclass(frozen=True, slots=True)
class Accuracy:
    """The accuracy line of a data sheet: plus or minus (percent of reading + counts)."""

    percent_of_reading: float  # >= 0
    counts: float  # of the last digit, >= 0
    resolution: float  # worth of one count, in the unit the instrument reads in, > 0


@dataclass(frozen=True, slots=True)
class MeterRange:
    """One range of a meter: what it shows at most, and its accuracy line there."""

    accuracy: Accuracy
    greatest: float  # in the unit the instrument reads in; inf where the data sheet names none


@dataclass(frozen=True, slots=True)
class Meter:
    """A meter with all its ranges, narrowest first."""

    ranges: tuple[MeterRange, ...]  # at least one
    least: float = 0.0  # below this it shows nothing to rely on: the floor of a clamp
    zero_offset: float = 0.0  # +/-, what it may show of nothing after it was zeroed

    @property
    def greatest(self) -> float:
        """The most it can show on any range."""
        return self.ranges[-1].greatest

    @property
    def bounded(self) -> bool:
        """Whether there is anything it cannot show."""
        return self.least > 0 or math.isfinite(self.greatest)

    def accuracy_at(self, reading: float) -> Accuracy:
        """The accuracy line of the narrowest range that holds the reading; beyond all of them, of the widest."""
        size = abs(reading)
        held = (one.accuracy for one in self.ranges if size <= one.greatest)
        return next(held, self.ranges[-1].accuracy)


def meter(ranges: list[MeterRange], least: float = 0.0, zero_offset: float = 0.0) -> Meter:
    """A meter from its ranges in any order; ranges that hold the same are the last named."""
    by_top = {one.greatest: one for one in ranges}
    return Meter(tuple(by_top[top] for top in sorted(by_top)), least, zero_offset)


def gain_sd(accuracy: Accuracy) -> float:
    """Relative standard uncertainty shared by all readings of one outing: the percentage, as bounds.

    u = (percent / 100) / sqrt 3, GUM (JCGM 100:2008) 4.3.7. Example: 1.5 % gives 0.87 %.
    """
    return rectangular_sd(accuracy.percent_of_reading / 100)


def own_sd(accuracy: Accuracy) -> float:
    """Standard uncertainty of each reading alone [unit of `resolution`]: counts, and rounding to a digit.

    u^2 = (counts d)^2 / 3 + (d / 2)^2 / 3, d = resolution; GUM (JCGM 100:2008) 4.3.7 and F.2.2.1, where a
    digital display of step d alone has u = 0.29 d.
    """
    count_bound = accuracy.counts * accuracy.resolution
    return combined_sd((1, 1), (rectangular_sd(count_bound), rectangular_sd(accuracy.resolution / 2)))


def digits_share(meter: Meter, reading: float) -> float:
    """The most that counts and zero of a meter may be out, as a share of a reading other than nothing.

    (counts resolution + zero offset) / |reading|. Example: 3 counts of 0.1 A at 5 A are 0.06.
    """
    accuracy = meter.accuracy_at(reading)
    return (accuracy.counts * accuracy.resolution + meter.zero_offset) / abs(reading)
