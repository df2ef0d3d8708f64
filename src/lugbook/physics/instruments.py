"""How far an instrument may be out, and which part of that all its readings of a day share."""

from __future__ import annotations

from dataclasses import dataclass

from lugbook.physics.materials import Numbers
from lugbook.units.uncertainty import combined_sd, rectangular_sd


@dataclass(frozen=True, slots=True)
class Accuracy:
    """The accuracy line of a data sheet: plus or minus (percent of reading + counts)."""

    percent_of_reading: float  # >= 0
    counts: float  # of the last digit, >= 0
    resolution: float  # worth of one count, in the unit the instrument reads in, > 0


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


def largest_error(accuracy: Accuracy, reading: Numbers) -> Numbers:
    """The most that the data sheet allows a reading to be out [unit of `resolution`].

    percent / 100 |reading| + counts resolution. Example: 0.5 % + 2 counts of 0.1 mV on 0.4 mV is 0.202 mV,
    half of what was read.
    """
    return abs(reading) * (accuracy.percent_of_reading / 100) + accuracy.counts * accuracy.resolution
