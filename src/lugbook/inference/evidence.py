"""The evidence of one turn: every shape of change with every choice of one bad reading, added up to shares.

Symbols: t years, w = 1/v, index j series, k onset, m reading, x = "which reading is bad" (0: none).
"""

from __future__ import annotations

from dataclasses import dataclass, replace

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
    log_bad: (
        Floats  # (J, 1 + M) ln prior of no bad reading, and of each being bad, the wider density included
    )
    # Onsets of creep tried between a look and the next, besides one before the first look; 0: at the looks only
    between: int = 0

    def take(self, rows: Whole | slice) -> TurnInput:
        """Some of the rows."""
        return replace(
            self,
            year=self.year[rows],
            z=self.z[rows],
            w=self.w[rows],
            count=self.count[rows],
            log_bad=self.log_bad[rows],
        )


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


def weigh_turn(series: TurnInput, rate: Floats, log_prior: Floats) -> Shares:
    """All causes with every choice of one bad reading; rate, log_prior (J or 1, R): the grid of rates."""
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

    onset, creep_prior = _onsets(series)
    sums = [_centred_sums(h, w, y, cut, w_x, wy_x) for h in _shapes(series.year, onset)]
    step_prior = change_priors(series.year, count)[1]
    log_creep = _creep_evidence(*sums[0], _priors(creep_prior, log_x), rate, log_prior)
    log_step = _step_evidence(*sums[1]) + _priors(step_prior, log_x)
    changes = creep_prior.sum(axis=1) + step_prior.sum(axis=1)
    log_x = log_x + np.log1p(-np.minimum(changes, 0.9))[:, None]
    top = np.maximum(log_x.max(axis=1), np.maximum(_top(log_creep), _top(log_step)))
    steady = np.exp(log_x - top[:, None])
    for table in (log_creep, log_step):
        table -= top.astype(np.float32)[:, None, None]
        np.exp(table, out=table)
    creep_kx = (
        (np.ones(log_creep.shape[1], np.float32) @ log_creep)
        .astype(np.float64)
        .reshape(len(z), onset.shape[1], length + 1)
    )
    return _shares(steady, _by_look(creep_kx, series.between), log_creep.sum(axis=2), log_step, top, count)


def change_priors(year: Floats, count: Whole) -> tuple[Floats, Floats]:
    """Chance (J, K) that a creep begins, or a jump happens, between look k and the next; 0 after the last."""
    there = np.arange(year.shape[1] - 1) < count[:, None] - 1
    interval = np.where(there, np.maximum(np.diff(year, axis=1), LEAST_INTERVAL), 0.0)
    as_made = np.where(there & (np.arange(year.shape[1] - 1) == 0), AS_MADE_YEARS, 0.0)
    return CREEP_HAZARD * (interval + as_made), STEP_HAZARD * interval


def _onsets(series: TurnInput) -> tuple[Floats, Floats]:
    """Years (J, K) at which a ramp may begin, and the chance of each."""
    prior = change_priors(series.year, series.count)[0]
    if series.between == 0 or series.year.shape[1] < 2:
        return series.year[:, :-1], prior
    as_made = CREEP_HAZARD * AS_MADE_YEARS * (series.count > 1)
    prior[:, 0] -= as_made
    part = (np.arange(series.between) + 0.5) / series.between
    inside = series.year[:, :-1, None] + np.maximum(np.diff(series.year, axis=1), 0.0)[:, :, None] * part
    onset = np.hstack([series.year[:, :1], inside.reshape(len(prior), prior.shape[1] * series.between)])
    return onset, np.hstack([as_made[:, None], np.repeat(prior / series.between, series.between, axis=1)])


def _by_look(creep_kx: Floats, between: int) -> Floats:
    """Onsets (J, K, X) added up to the last look before each: (J, M - 1, X)."""
    if between == 0 or creep_kx.shape[1] == 0:
        return creep_kx
    series, onsets, choices = creep_kx.shape
    looks = creep_kx[:, 1:].reshape(series, (onsets - 1) // between, between, choices).sum(axis=2)
    looks[:, 0] += creep_kx[:, 0]
    return np.asarray(looks)


def _priors(change: Floats, log_x: Floats) -> Singles:
    """ln prior (J, K, X) of a change with each choice of a bad reading."""
    log_change = np.log(change, out=np.full(change.shape, -np.inf), where=change > 0)
    return (log_change[:, :, None] + log_x[:, None, :]).astype(np.float32)


def _shapes(year: Floats, onset: Floats) -> tuple[Floats, Floats]:
    """Ramps and steps (J or 1, K, M): one row where all series were read on the same days."""
    if len(year) > 1 and (year == year[0]).all():
        year, onset = year[:1], onset[:1]
    place = np.arange(year.shape[1])
    ramp = np.maximum(year[:, None, :] - onset[:, :, None], 0.0)
    return ramp, (place >= place[1:, None]).astype(float)[None]


def _centred_sums(
    h: Floats, w: Floats, y: Floats, cut: Floats, w_x: Floats, wy_x: Floats
) -> tuple[Singles, Singles]:
    """S_hh and S_hy (J, K, X): sums of shape h (J or 1, K, M) with itself and y about means, for each x."""
    sum_h, sum_hh, sum_hy = (_over_readings(h, w), _over_readings(h * h, w), _over_readings(h, w * y))
    sum_h, sum_hh, sum_hy = sum_h[:, :, None], sum_hh[:, :, None], sum_hy[:, :, None]
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


def _shares(
    steady: Floats, creep_kx: Floats, creep_rate: Singles, step: Singles, top: Floats, count: Whole
) -> Shares:
    """From evidence relative to exp(top): steady (J, 1 + M), creep (J, K, X) and (J, R), step (J, K, X)."""
    series, step_kx = len(steady), step.astype(np.float64)
    none = np.zeros((series, 1))
    creep_onset = np.hstack([creep_kx.sum(axis=2), none])
    step_onset = np.hstack([none, step_kx.sum(axis=2)])
    total = steady.sum(axis=1) + creep_onset.sum(axis=1) + step_onset.sum(axis=1)
    share = (1.0 / total)[:, None]
    bad = (steady + creep_kx.sum(axis=1) + step_kx.sum(axis=1))[:, 1:] * share
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
        rate_share=creep_rate * share,
        log_total=top + np.log(total),
    )
