"""The chance that a series is over a limit by a day, and the latest day at which that chance is still small.

What may happen after the last reading: a creep that is under way goes on at its rate; one that is not under way
begins, at a rate nobody knows yet; a nut works loose and the resistance jumps. The level itself is known with its
own uncertainty. Given what the engine says of a series (creep.py) these are independent, and the chance follows by
integrating over onset and level; no simulation.
"""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np

from lugbook.inference.causes import RATE_LOG_SD, RATE_MEDIAN
from lugbook.inference.evidence import STEP_SIZES
from lugbook.inference.series import Flags, Floats, Whole

NORMAL_95 = 1.6449
# A creep that has not begun, and a jump, are believed to be as large as the engine believes those that have.
NEW_RATES = tuple(RATE_MEDIAN * np.exp(side * NORMAL_95 * RATE_LOG_SD) for side in (-1, 1))  # 5 and 95 %
JUMPS_PER_YEAR = 0.006  # our assumption
# Gauss-Legendre nodes on 0 .. 1: of the level's error, many for a series that may creep, whose rate goes with it, few
# for the others; and of the onset within the wait.
_MANY, _FEW, _ONSETS = (np.polynomial.legendre.leggauss(count) for count in (24, 8, 8))
_ONSET, _ONSET_WEIGHT = _ONSETS[0] / 2 + 0.5, _ONSETS[1] / 2
MAY_CREEP_FROM = 0.02
# Correlation of the rate of a creep under way with the level at its end: the slope of a line through equally spaced
# points and its end go together, sqrt(3)/2 for many points (textbook).
WITH_LEVEL = 0.87
_FAR = 4.5  # standard uncertainties beyond which nothing is left of the level
_TRIES = 12  # waits tried between the shortest and the longest
_HALVINGS = 8  # of the interval between two of them: to within a day or two


@dataclass(frozen=True)
class Outlook:
    """What is believed of each series at its last reading; arrays (J,), resistances as natural logarithms."""

    log_margin: Floats  # ln limit - level; negative: over already
    level_sd: Floats  # standard uncertainty of the level
    creep_probability: Floats
    rate_low: Floats  # 5 % point of the rate if it creeps, ln units a year
    rate_high: Floats  # 95 % point
    onsets_per_year: Floats  # how often a steady span like this begins to creep

    def take(self, rows: Flags | Whole) -> Outlook:
        """The outlook of some series."""
        return Outlook(*(getattr(self, item.name)[rows] for item in fields(Outlook)))


def chance_over(outlook: Outlook, years: Floats) -> Floats:
    """The chance (J,) that each series is over its limit `years` (J,) after its last reading, years >= 0.

    1 - (1 - C)(1 - J). C by creep: p Phi((ln(t / m) + mu) / s) for a creep under way with margin m and ln rate
    N(mu, s^2), the rate going with the error of the level; else the same with the prior rate over an onset at any
    time of the wait, 1 - exp(-h t) likely. J by jumps, 1 - exp(-j t) likely, larger than m. All averaged over the
    normal level. A margin of nothing is over.
    """
    may_creep = outlook.creep_probability >= MAY_CREEP_FROM
    chance = np.empty(len(may_creep))
    for rows, (node, node_weight) in ((may_creep, _MANY), (~may_creep, _FEW)):
        if rows.any():
            chance[rows] = _chance_over(outlook.take(rows), years[rows], node / 2 + 0.5, node_weight / 2)
    return chance


def _chance_over(outlook: Outlook, years: Floats, node: Floats, node_weight: Floats) -> Floats:
    """The same, the level integrated over the nodes given."""
    level_sd = np.maximum(outlook.level_sd, 1e-6)[:, None]
    edge = np.clip(outlook.log_margin[:, None] / level_sd, -_FAR, _FAR)  # error at which it is over
    error = -_FAR + (edge + _FAR) * node
    weight = (edge + _FAR) * node_weight * np.exp(-0.5 * error**2) / np.sqrt(2 * np.pi)
    margin = np.maximum(outlook.log_margin[:, None] - level_sd * error, 1e-9)
    log_margin = np.log(margin)
    t = np.maximum(years, 1e-9)[:, None]
    low, high = (np.log(np.maximum(rate, 1e-9))[:, None] for rate in (outlook.rate_low, outlook.rate_high))
    middle, sd = (low + high) / 2, np.maximum((high - low) / (2 * NORMAL_95), 1e-3)
    expected = middle + WITH_LEVEL * sd * error
    going_on = normal_share((np.log(t) + expected - log_margin) / (sd * np.sqrt(1 - WITH_LEVEL**2)))

    after_onset = t[:, :, None] * (1 - _ONSET)
    new = normal_share(
        (np.log(after_onset) + np.log(RATE_MEDIAN) - log_margin[:, :, None]) / RATE_LOG_SD
    )
    begins = -np.expm1(-outlook.onsets_per_year[:, None] * t)
    beginning = begins * (new @ _ONSET_WEIGHT)

    jumps = -np.expm1(-JUMPS_PER_YEAR * t)
    jumping = jumps * np.mean([normal_share(-margin / size) for size in STEP_SIZES], axis=0)
    p = outlook.creep_probability[:, None]
    stays = (1 - (p * going_on + (1 - p) * beginning)) * (1 - jumping)
    return np.asarray(normal_share(-edge[:, 0]) + ((1 - stays) * weight).sum(axis=1))


def latest_years(outlook: Outlook, accepted_per_year: Floats, shortest: Floats, longest: Floats) -> Floats:
    """The longest wait t (J,) in years for which the chance of being over is at most accepted_per_year t (J,).

    A longer wait may cost more, so that short and long waits spend the accepted chance at one pace. Within shortest
    and longest (J,) years: the shortest where no wait is fine. Looked for among _TRIES waits, then by halving.
    """
    wait = longest.astype(float).copy()
    late = np.flatnonzero(chance_over(outlook, wait) > accepted_per_year * wait)
    if len(late) == 0:
        return wait
    some, pace = outlook.take(late), accepted_per_year[late]
    least, most = shortest[late].astype(float), longest[late].astype(float)
    low, high = least.copy(), least * (most / least) ** (1 / _TRIES)
    open_rows = np.arange(len(late))
    for step in range(_TRIES - 1, -1, -1):
        ratio = most[open_rows] / least[open_rows]
        tried = least[open_rows] * ratio ** (step / _TRIES)
        fine = chance_over(some.take(open_rows), tried) <= pace[open_rows] * tried
        low[open_rows[fine]] = tried[fine]
        high[open_rows[fine]] = (tried * ratio ** (1 / _TRIES))[fine]
        open_rows = open_rows[~fine]
        if len(open_rows) == 0:
            break
    found = np.setdiff1d(np.arange(len(late)), open_rows)
    for _ in range(_HALVINGS if len(found) else 0):
        middle = (low[found] + high[found]) / 2
        fine = chance_over(some.take(found), middle) <= pace[found] * middle
        low[found], high[found] = np.where(fine, middle, low[found]), np.where(fine, high[found], middle)
    wait[late] = low
    return wait


def learned_onsets_per_year(
    prior_per_year: float, prior_years: float, creep_probability: Floats, watched_years: Floats
) -> float:
    """How often a steady span of one place begins to creep, after what was seen of all such spans.

    (h0 T0 + sum p) / (T0 + sum t): the mean of a gamma posterior of a Poisson rate (textbook), the chances of creep
    counted as so many creeps. `prior_years` span-years is what the prior h0 is worth; t years each span was
    watched while steady.
    """
    seen, years = float(np.nansum(creep_probability)), float(np.nansum(watched_years))
    return (prior_per_year * prior_years + seen) / (prior_years + years)


def normal_share(x: Floats) -> Floats:
    """The share of a standard normal below x, within 1.5e-7.

    By the error function of Abramowitz and Stegun 7.1.26. Example: 0.97500 below 1.95996.
    """
    size = np.abs(x) / np.sqrt(2.0)
    k = 1.0 / (1.0 + 0.3275911 * size)
    poly = k * (0.254829592 + k * (-0.284496736 + k * (1.421413741 + k * (-1.453152027 + k * 1.061405429))))
    tail = 0.5 * poly * np.exp(-size * size)
    return np.asarray(np.where(x < 0, tail, 1.0 - tail))
