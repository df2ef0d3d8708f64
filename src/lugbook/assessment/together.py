"""What the readings of one span on one outing come to together, where both ways of the current were read."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from lugbook.assessment.evidence import Floats, ReadingColumns, Whole
from lugbook.assessment.weighing import (
    ANEW,
    PARTS,
    TURNING,
    UNREAD_CELSIUS,
    VOLTAGE_COUNTS,
    ReadingWorth,
    place_of,
    scale_to_middle,
)

ROUNDING = 1e-12  # of the parts, what is left of them by the arithmetic of the machine alone


@dataclass(frozen=True)
class Together:
    """One value of one or more readings."""

    rows: Whole  # of the readings
    microohm_20c: float
    parts: Mapping[str, float]  # standard uncertainty over that value by each of PARTS, as scaled to the middle
    alike: Mapping[str, float]  # of how many errors of like size each of ANEW is the sum

    @property
    def relative_sd(self) -> float:
        """All parts together."""
        return float(np.sqrt(sum(sd**2 for sd in self.parts.values())))


def rows_of_value(readings: ReadingColumns, worth: ReadingWorth, row: int) -> Whole:
    """The readings that make one value with this one: those of both ways where both were read, else itself alone."""
    place = place_of(readings)
    mine = np.flatnonzero((place == place[row]) & worth.usable)
    both_ways = len(np.unique(readings.polarity[mine])) > 1
    return mine if both_ways and worth.usable[row] else np.array([row])


def value_of(readings: ReadingColumns, worth: ReadingWorth, rows: Whole) -> Together:
    """The mean of readings, each way weighing half where there are two: R = (V+ - V-) / 2I, free of thermal EMF.

    What turns with the current (the meter's zero, thermal EMF) cancels, as long as neither way had its zero taken
    off alone; what is drawn anew lessens with the number of readings; what the readings share does not.
    """
    polarity, microohm = readings.polarity[rows], worth.microohm_20c[rows]
    ways, way, count = np.unique(polarity, return_inverse=True, return_counts=True)
    share = 1 / (len(ways) * count[way])
    mean = float((share * microohm).sum())
    celsius = np.nan_to_num(readings.joint_celsius[rows], nan=UNREAD_CELSIUS)
    scales = scale_to_middle(celsius)
    weighed = {name: share * microohm / mean * scales[name] * worth.parts[name][rows] for name in PARTS}
    return Together(
        rows,
        mean,
        {name: _added(name, sds, polarity) for name, sds in weighed.items()},
        {name: _alike(weighed[name] ** 2, draws) for name, draws in _draws(readings, rows).items()},
    )


def _draws(readings: ReadingColumns, rows: Whole) -> Mapping[str, Whole]:
    """How many errors each of ANEW is the sum of, for each reading: the voltmeter is read for the zero too."""
    once = np.ones(len(rows), np.int64)
    return {**dict.fromkeys(ANEW, once), VOLTAGE_COUNTS: once + ~np.isnan(readings.zero_millivolt[rows])}


def _added(name: str, sds: Floats, polarity: Whole) -> float:
    if name in ANEW:
        return float(np.sqrt((sds**2).sum()))
    total = abs(float((sds * polarity if name in TURNING else sds).sum()))
    return total if total > ROUNDING * float(sds.sum()) else 0.0


def _alike(variances: Floats, draws: Whole) -> float:
    """(sum v)^2 / sum v^2 of the variances of all draws: how many of one size would be as uneven; 1 of none."""
    squares = float((variances**2 / draws).sum())
    return float(variances.sum()) ** 2 / squares if squares else 1.0
