"""The evidence of one turn: every shape of change with every choice of one bad reading, added up to shares.

Symbols: t years, w = 1/v, index j series, k onset, m reading, x = "which reading is bad" (0: none).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lugbook.inference.scatter import BAD_WIDTH
from lugbook.inference.series import Floats, Whole

CREEP_HAZARD = 0.012  # chance per year that a span begins to creep: our assumption
AS_MADE_YEARS = 4.0  # that it crept before its first reading already is worth so many years: our assumption
STEP_HAZARD = 0.006  # chance per year that it jumps: our assumption
LEAST_INTERVAL = 0.02  # years: readings of one week are at least so far apart
STEP_SIZES = (0.05, 0.4)  # standard deviation of a jump in ln resistance: a nut nipped up; a nut gone loose
BAD_CUT = 1.0 - BAD_WIDTH**-2  # the part of its weight a bad reading loses
TINY = 1e-30
Singles = NDArray[np.float32]  # differences are taken in full; what is left of them needs half the digits


@dataclass(frozen=True)
class TurnInput:
    """Packed series: rows J, readings M, of each row the first `count` real."""

    year: Floats  # (J, M)
    z: Floats  # (J, M)
    w: Floats  # (J, M) 1/variance; 0 where no reading is
    count: Whole  # (J,)
    log_bad: Floats  # (J, 1 + M) ln prior of no bad reading, and of each being bad, the wider density included

    def take(self, rows: Whole | slice) -> TurnInput:
        """Some of the rows."""
        return TurnInput(self.year[rows], self.z[rows], self.w[rows], self.count[rows], self.log_bad[rows])


@dataclass(frozen=True)
class Shares:
    """Evidence as shares of the total of its series: they add up, so that turns can be blended."""

    steady: Floats  # (J,)
    creep_onset: Floats  # (J, M) creep beginning at this look
    step_onset: Floats  # (J, M) a jump just before this look
    bad: Floats  # (J, M) this reading is bad
    last_alone: Floats  # (J,) only the last reading is out of line
    rate_share: Floats  # (J, R) creep at each rate
    log_total: Floats  # (J,) ln of the total evidence, on a scale common to the turns of one series


def weigh_turn(series: TurnInput, rate: Floats, log_prior: Floats, *, bad_apart: bool = False) -> Shares:
    """All causes with every choice of one bad reading; rate, log_prior (J or 1, R): the grid of rates.

    bad_apart: changes are weighed without bad readings, and bad readings as if nothing had changed: quick, and
    right where neither is likely.
    """
    z, w, count = series.z, series.w, series.count
    length = z.shape[1]
    sum_w = w.sum(axis=1, keepdims=True).clip(TINY)
    y = z - (w * z).sum(axis=1, keepdims=True) / sum_w
    zero = np.zeros((len(z), 1))
    cut, y_bad = np.hstack([zero, BAD_CUT * w]), np.hstack([zero, y])
    w_x = (sum_w - cut).clip(TINY)
    wy_x = -cut * y_bad
    # How much better the fit gets when x is bad, and the width of its level.
    log_x = series.log_bad + 0.5 * (np.log(sum_w / w_x) + cut * y_bad**2 + wy_x**2 / w_x)

    choices = slice(0, 1) if bad_apart else slice(None)
    shapes = _shapes(series.year)
    sums = [_centred_sums(h, w, y, cut[:, choices], w_x[:, choices], wy_x[:, choices]) for h in shapes]
    creep_prior, step_prior = _change_priors(series.year, count)
    log_creep = _creep_evidence(*sums[0], _priors(creep_prior, log_x[:, choices]), rate, log_prior)
    log_step = _step_evidence(*sums[1]) + _priors(step_prior, log_x[:, choices])
    changes = creep_prior.sum(axis=1) + step_prior.sum(axis=1)
    log_x = log_x + np.log1p(-np.minimum(changes, 0.9))[:, None]
    if bad_apart:  # they multiply every cause alike, so they are scaled to add up to what no bad reading has
        log_x = log_x - np.logaddexp.reduce(log_x, axis=1, keepdims=True) + log_x[:, :1]
    top = np.maximum(log_x.max(axis=1), np.maximum(_top(log_creep), _top(log_step)))
    steady = np.exp(log_x - top[:, None])
    for table in (log_creep, log_step):
        table -= top.astype(np.float32)[:, None, None]
        np.exp(table, out=table)
    return _shares(steady, log_creep, log_step, top, count, length)


def _change_priors(year: Floats, count: Whole) -> tuple[Floats, Floats]:
    """Chance (J, K) that a creep begins, or a jump happens, between look k and the next; 0 after the last."""
    there = np.arange(year.shape[1] - 1) < count[:, None] - 1
    interval = np.where(there, np.maximum(np.diff(year, axis=1), LEAST_INTERVAL), 0.0)
    as_made = np.where(there & (np.arange(year.shape[1] - 1) == 0), AS_MADE_YEARS, 0.0)
    return CREEP_HAZARD * (interval + as_made), STEP_HAZARD * interval


def _priors(change: Floats, log_x: Floats) -> Singles:
    """ln prior (J, K, X) of a change with each choice of a bad reading."""
    log_change = np.log(change, out=np.full(change.shape, -np.inf), where=change > 0)
    return (log_change[:, :, None] + log_x[:, None, :]).astype(np.float32)


def _shapes(year: Floats) -> tuple[Floats, Floats]:
    """Ramps and steps (J or 1, K, M): one row where all series were read on the same days."""
    if len(year) > 1 and (year == year[0]).all():
        year = year[:1]
    place = np.arange(year.shape[1])
    ramp = np.maximum(year[:, None, :] - year[:, :-1, None], 0.0)
    return ramp, (place >= place[1:, None]).astype(float)[None]


def _centred_sums(
    h: Floats, w: Floats, y: Floats, cut: Floats, w_x: Floats, wy_x: Floats
) -> tuple[Singles, Singles]:
    """S_hh and S_hy (J, K, X): sums of shape h (J or 1, K, M) with itself and y about means, for each x."""
    sum_h, sum_hh, sum_hy = (_over_readings(h, w), _over_readings(h * h, w), _over_readings(h, w * y))
    sum_h, sum_hh, sum_hy = sum_h[:, :, None], sum_hh[:, :, None], sum_hy[:, :, None]
    if cut.shape[1] > 1:
        h_bad = np.concatenate([np.zeros((*h.shape[:2], 1)), h], axis=2)
        y_bad = np.hstack([np.zeros((len(y), 1)), y])
        cut_h = cut[:, None, :] * h_bad
        sum_h, sum_hh = sum_h - cut_h, sum_hh - cut_h * h_bad
        sum_hy = sum_hy - cut_h * y_bad[:, None, :]
    mean_h = sum_h / w_x[:, None, :]
    s_hh, s_hy = (sum_hh - sum_h * mean_h).clip(0.0), sum_hy - mean_h * wy_x[:, None, :]
    return s_hh.astype(np.float32), s_hy.astype(np.float32)


def _over_readings(h: Floats, values: Floats) -> Floats:
    """Sum over the readings of h (J or 1, K, M) times values (J, M): (J, K)."""
    if len(h) == 1:
        return np.asarray(values @ h[0].T)
    return np.asarray((h @ values[:, :, None])[:, :, 0])


def _creep_evidence(
    s_hh: Singles, s_hy: Singles, priors: Singles, rate: Floats, log_prior: Floats
) -> Singles:
    """ln evidence (J, R, K X) of a ramp of each rate b: b S_hy - b^2 S_hh / 2, and all priors."""
    series, cells = len(s_hh), s_hh.shape[1] * s_hh.shape[2]
    b = rate.astype(np.float32)[:, :, None]
    table = b * s_hy.reshape(series, 1, cells)
    table -= (0.5 * b * b) * s_hh.reshape(series, 1, cells)
    table += priors.reshape(series, 1, cells)
    table += log_prior.astype(np.float32)[:, :, None]
    return table


def _step_evidence(s_hh: Singles, s_hy: Singles) -> Singles:
    """ln evidence (J, K, X) of a jump of either sign, of the sizes of STEP_SIZES alike.

    (1 + s^2 S_hh)^-1/2 exp(S_hy^2 / (2 (s^-2 + S_hh))) for a jump N(0, s^2).
    """
    parts = [0.5 * (s_hy**2 / (sd**-2 + s_hh) - np.log1p(sd**2 * s_hh)) for sd in STEP_SIZES]
    return np.asarray(np.logaddexp(*parts) + np.float32(-np.log(len(STEP_SIZES))))


def _top(table: Singles) -> Floats:
    return np.asarray(table.max(axis=(1, 2), initial=-np.inf), np.float64)


def _shares(steady: Floats, creep: Singles, step: Singles, top: Floats, count: Whole, length: int) -> Shares:
    """From evidence relative to exp(top): steady (J, 1 + M), creep (J, R, K X), step (J, K, X)."""
    series, choices = len(steady), step.shape[2]
    creep_kx = creep.sum(axis=1).reshape(series, length - 1, choices).astype(np.float64)
    rate_share = creep.sum(axis=2).astype(np.float64)
    step_kx = step.astype(np.float64)
    none = np.zeros((series, 1))
    creep_onset = np.hstack([creep_kx.sum(axis=2), none])
    step_onset = np.hstack([none, step_kx.sum(axis=2)])
    total = steady.sum(axis=1) + creep_onset.sum(axis=1) + step_onset.sum(axis=1)
    share = (1.0 / total)[:, None]
    if choices > 1:
        bad = (steady + creep_kx.sum(axis=1) + step_kx.sum(axis=1))[:, 1:] * share
    else:
        bad = steady[:, 1:] / steady.sum(axis=1, keepdims=True).clip(TINY)
    steady, creep_onset, step_onset = steady * share, creep_onset * share, step_onset * share
    rows, last = np.arange(series), np.maximum(count - 1, 0)
    # Only the last is out of line: it is bad, or it follows a jump, or a creep began at the look before it.
    last_alone = steady[rows, last + 1] + step_onset[rows, last] + creep_onset[rows, np.maximum(last - 1, 0)]
    return Shares(
        steady=steady.sum(axis=1),
        creep_onset=creep_onset,
        step_onset=step_onset,
        bad=bad,
        last_alone=last_alone,
        rate_share=rate_share * share,
        log_total=top + np.log(total),
    )
