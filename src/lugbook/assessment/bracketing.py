"""Whether a round began and ended with a check standard, and whether it read the same both times."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from lugbook.assessment.evidence import CHECK_STANDARD, BuildEvidence, Floats, Whole
from lugbook.assessment.weighing import THERMAL, ReadingWorth


@dataclass(frozen=True)
class Bracket:
    """How a column of readings (a round with one pair of instruments) lies between check standards."""

    begun: bool  # its first reading is one of a check standard
    ended: bool  # its last is
    drift_percent: (
        float | None
    )  # last reading of the check standard against its first; None unless read twice
    u_percent: float | None  # standard uncertainty of that: what the two readings do not share


def brackets_of(
    evidence: BuildEvidence, worth: ReadingWorth, column: Whole, columns: int
) -> tuple[Bracket | None, ...]:
    """One per column; None where the column holds no usable reading of a check standard.

    A reading of nothing (0 mV) neither begins nor ends a round. With several check standards the one read furthest
    apart counts. The gain of the instruments and the doubt about the resistor's coefficient are shared by both
    readings and cancel, so the drift is judged by the counts alone.
    """
    is_check = np.array([span.kind == CHECK_STANDARD for span in evidence.spans], bool)
    found: list[Bracket | None] = []
    if not is_check.any():
        return (None,) * columns
    for one in range(columns):
        mine = np.flatnonzero((column == one) & worth.usable)
        mine = mine[np.argsort(evidence.readings.day[mine], kind="stable")]
        checks = mine[is_check[evidence.readings.span[mine]]]
        if len(checks) == 0:
            found.append(None)
            continue
        first, last = _furthest_apart(evidence.readings.span[checks], evidence.readings.day[checks], checks)
        drift, u_drift = (None, None) if first == last else _drift(worth, first, last)
        found.append(Bracket(bool(checks[0] == mine[0]), bool(checks[-1] == mine[-1]), drift, u_drift))
    return tuple(found)


def _furthest_apart(span: Whole, day: Floats, checks: Whole) -> tuple[int, int]:
    pairs = [
        (float(day[span == one][-1] - day[span == one][0]), checks[span == one]) for one in np.unique(span)
    ]
    _, rows = max(pairs, key=lambda pair: pair[0])
    return int(rows[0]), int(rows[-1])


def _drift(worth: ReadingWorth, first: int, last: int) -> tuple[float, float]:
    ratio = float(worth.microohm_20c[last] / worth.microohm_20c[first])
    own = [
        np.sqrt(max(worth.own_sd[row] ** 2 - sum(worth.parts[part][row] ** 2 for part in THERMAL), 0.0))
        for row in (first, last)
    ]
    return 100 * (ratio - 1), 100 * float(np.hypot(*own))
