"""How well each cause explains a series: nothing, a creep, a step, one or two bad readings.

Every cause is a model of the packed values z (round shifts taken out) with variances v:

    steady   z = a + e
    creep    z = a + b (t - tau)+ + e    b > 0, tau before the first look, at a look or (closer look) between
    step     z = a + c [m >= k] + e      prior of c: N(0, s^2), s from STEP_SIZES

each of them with no bad reading, or with one reading whose standard deviation is BAD_WIDTH times wider.
Level a (flat prior) and c are integrated out exactly (normal prior times normal likelihood), b on a grid of
equal steps in ln b, so that a cause is weighed by everything it allows, not by its best fit: a cause that
could explain anything explains nothing well. Method: Bayes factors of linear models with conjugate priors
(O'Hagan and Forster, Kendall's Advanced Theory 2B, ch. 11; memory). A series whose likeliest bad reading is
more likely than not gets a second turn in which another reading may be bad too.

Of a large table most series are plainly steady and told so by the quick look of screening.py. Only the others
are weighed in full, and of those that may creep the rate is looked at more closely.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, fields, replace

import numpy as np

from lugbook.inference.evidence import Shares, TurnInput, weigh_turn
from lugbook.inference.scatter import BAD_WIDTH
from lugbook.inference.screening import is_regular, screen
from lugbook.inference.series import Floats, Whole

# Prior of the rate b in ln resistance per year: lognormal. No growth rate of heavy crimps in service was found
# in print: our assumption. (Those of the onset, the jump and the bad reading: evidence.py, scatter.py.)
RATE_MEDIAN, RATE_LOG_SD = 0.06, 0.9
LOG_RATE_STEP = np.log(1.75)
RATES = 0.001 * np.exp(LOG_RATE_STEP * np.arange(13))  # to 83 % a year
CLOSER_RATES = 24  # steps of the closer look, over the part of the range that is left
FEWEST_TO_SCREEN = 2000  # series; fewer are weighed in full without asking
ONSETS_BETWEEN = 4  # onsets tried in each interval by the closer look
QUICK_UP_TO = 0.2  # chance of a change up to which the quick look is enough
QUICK_BAD_UP_TO = 0.1  # the same of a bad reading
CLOSER_FROM = 0.2  # chance of creep from which its rate is looked at closely
# Series weighed in one go: keeps the grid of one turn inside the processor's cache.
ROWS_QUICK, ROWS_AT_ONCE, ROWS_CLOSER = 2048, 128, 32


@dataclass(frozen=True)
class Causes:
    """Evidence of each cause, as shares of the total of its series."""

    steady: Floats  # (J,)
    creep: Floats  # (J,)
    creep_onset: Floats  # (J, M) share of creep beginning at this look
    step_onset: Floats  # (J, M) share of a jump just before this look
    bad: Floats  # (J, M) share in which this reading is bad
    last_alone: Floats  # (J,) share in which only the last reading is out of line, whatever the cause
    rate: Floats  # (J,) mean rate given creep, ln units per year
    rate_low: Floats  # (J,) its 5 % point
    rate_high: Floats  # (J,) its 95 % point


def weigh_causes(year: Floats, z: Floats, variance: Floats, count: Whole, bad_share: Floats) -> Causes:
    """Weigh every cause for packed series; year, z, variance (J, M), of each row the first `count` real.

    bad_share (J,): share of bad readings expected in each series.
    """
    present = np.arange(z.shape[1]) < count[:, None]
    w = np.where(present, 1.0 / variance, 0.0)
    odds = np.log(bad_share / (1 - bad_share) / BAD_WIDTH)[:, None]
    prior = np.hstack([np.zeros((len(z), 1)), np.where(present, odds, -np.inf)])
    every = TurnInput(year, z, w, count, prior)
    if len(z) < FEWEST_TO_SCREEN or not is_regular(every):
        return _weigh_well(every)
    causes, _ = _weigh(every, lambda rows: RATES[None, ::2], _quick_turn, ROWS_QUICK)
    changed = causes.creep + causes.step_onset.sum(axis=1)
    doubtful = np.flatnonzero((changed > QUICK_UP_TO) | (causes.bad.max(axis=1) > QUICK_BAD_UP_TO))
    _put(causes, doubtful, _weigh_well(every.take(doubtful)))
    return causes


def _weigh_well(series: TurnInput) -> Causes:
    """In full, and closer where creep is likely."""
    causes, shares = _weigh(series, lambda rows: RATES[None, :], _two_turns, ROWS_AT_ONCE)
    near = np.flatnonzero(causes.creep > CLOSER_FROM)
    closer_rates = _closer_rates(shares[near])
    closely = replace(series.take(near), between=ONSETS_BETWEEN)
    closer, _ = _weigh(closely, lambda rows: closer_rates[rows], _two_turns, ROWS_CLOSER)
    _put(causes, near, closer)
    return causes


def _weigh(
    series: TurnInput,
    rates_of: Callable[[slice], Floats],
    turn: Callable[[TurnInput, Floats, Floats], Shares],
    at_once: int,
) -> tuple[Causes, Floats]:
    """The causes of all rows, some at a time; and the shares of their rates (J, R)."""
    parts, shares = [], []
    for at in range(0, max(len(series.z), 1), at_once):
        rows = slice(at, at + at_once)
        rate = rates_of(rows)
        step = np.log(rate[:, 1] / rate[:, 0])[:, None] if len(rate) else np.ones((0, 1))
        found = turn(series.take(rows), rate, _log_prior(rate, step))
        mean, low, high = _rates_told(rate, step, found.rate_share)
        shares.append(found.rate_share)
        parts.append(
            Causes(
                found.steady,
                found.creep_onset.sum(axis=1),
                found.creep_onset,
                found.step_onset,
                found.bad,
                found.last_alone,
                mean,
                low,
                high,
            )
        )
    whole = Causes(*(np.concatenate([getattr(p, f.name) for p in parts]) for f in fields(Causes)))
    return whole, np.concatenate(shares)


def _log_prior(rate: Floats, step: Floats) -> Floats:
    """ln of the prior mass of the step of ln rate around each rate."""
    from_median = (np.log(rate) - np.log(RATE_MEDIAN)) / RATE_LOG_SD
    return np.asarray(np.log(step / (RATE_LOG_SD * np.sqrt(2 * np.pi))) - 0.5 * from_median**2)


def _quick_turn(series: TurnInput, rate: Floats, log_prior: Floats) -> Shares:
    return screen(series, rate[0], log_prior[0])


def _two_turns(series: TurnInput, rate: Floats, log_prior: Floats) -> Shares:
    """One bad reading in the first turn; where one is likely, another in the second."""
    rows = np.arange(len(series.z))
    first = weigh_turn(series, rate, log_prior)
    if len(rows) == 0:
        return first
    likeliest = np.argmax(first.bad, axis=1)
    again = np.flatnonzero((first.bad[rows, likeliest] > 0.5) & (series.count > 3))
    if len(again) == 0:
        return first
    own_rate = (rate[again], log_prior[again]) if len(rate) > 1 else (rate, log_prior)
    second = _second_turn(series.take(again), *own_rate, likeliest[again])
    return _blend(first, again, second)


def _second_turn(series: TurnInput, rate: Floats, log_prior: Floats, known: Whole) -> Shares:
    """The evidence that `known` and one more reading are bad, on the scale of the first turn."""
    rows = np.arange(len(series.z))
    w_known, second_bad = series.w.copy(), series.log_bad.copy()
    w_known[rows, known] *= BAD_WIDTH**-2
    price_of_bad = second_bad[rows, known + 1]
    second_bad[rows, known + 1] = -np.inf
    second_bad[:, 0] = -np.inf  # exactly one bad reading was counted in the first turn
    second = weigh_turn(replace(series, w=w_known, log_bad=second_bad), rate, log_prior)
    second.bad[rows, known] = second.steady + second.creep_onset.sum(axis=1) + second.step_onset.sum(axis=1)
    # From the totals that this turn measures from to those of the first, and the price of the known bad reading.
    price = price_of_bad + 0.5 * np.log(series.w.sum(axis=1) / w_known.sum(axis=1))
    return replace(
        second,
        last_alone=second.last_alone + np.where(known == series.count - 1, second.steady, 0.0),
        log_total=second.log_total
        + price
        - 0.5 * (_scatter(series.z, w_known) - _scatter(series.z, series.w)),
    )


def _scatter(z: Floats, w: Floats) -> Floats:
    """Weighted sum of squares of z about its weighted mean, per row."""
    centre = (w * z).sum(axis=1, keepdims=True) / w.sum(axis=1, keepdims=True)
    return np.asarray((w * (z - centre) ** 2).sum(axis=1))


def _blend(first: Shares, again: Whole, second: Shares) -> Shares:
    """Add the second turn's evidence to that of the rows it was made for."""
    log_total = np.logaddexp(first.log_total[again], second.log_total)
    old, new = np.exp(first.log_total[again] - log_total), np.exp(second.log_total - log_total)
    blended = {}
    for item in fields(Shares):
        was, now = getattr(first, item.name), getattr(second, item.name)
        blended[item.name] = was.copy()
        mixed = log_total if item.name == "log_total" else (old * was[again].T + new * now.T).T
        blended[item.name][again] = mixed
    return Shares(**blended)


def _put(causes: Causes, rows: Whole, better: Causes) -> None:
    for item in fields(Causes):
        getattr(causes, item.name)[rows] = getattr(better, item.name)


def _closer_rates(share: Floats) -> Floats:
    """CLOSER_RATES rates (J, R) over the part of RATES that holds all but a thousandth at either end."""
    whole = np.cumsum(share, axis=1) / share.sum(axis=1, keepdims=True)
    low = np.log(RATES)[np.count_nonzero(whole < 1e-3, axis=1)] - LOG_RATE_STEP
    high = np.log(RATES)[np.count_nonzero(whole[:, :-1] < 1 - 1e-3, axis=1)] + LOG_RATE_STEP
    return np.asarray(
        np.exp(low[:, None] + (high - low)[:, None] * (np.arange(CLOSER_RATES) + 0.5) / CLOSER_RATES)
    )


def _rates_told(rate: Floats, step: Floats, share: Floats) -> tuple[Floats, Floats, Floats]:
    """Mean, 5 % and 95 % point of the rate given creep; within a step of the grid, ln rate is spread evenly."""
    share = np.asarray(share, np.float64) + 1e-30  # so that a series that cannot creep has a rate too
    share = share / share.sum(axis=1, keepdims=True)
    below = np.cumsum(share, axis=1)
    points = []
    for part in (0.05, 0.95):
        at = np.count_nonzero(below[:, :-1] < part, axis=1)[:, None]
        inside = np.take_along_axis(share, at, axis=1)
        gone = (part - np.take_along_axis(below, at, axis=1) + inside) / inside
        middle = np.take_along_axis(np.broadcast_to(np.log(rate), share.shape), at, axis=1)
        points.append(np.exp(middle + step * (gone - 0.5))[:, 0])
    return (share * rate).sum(axis=1), points[0], points[1]
