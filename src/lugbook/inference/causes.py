"""How well each cause explains a series: nothing, a creep, a step, one or two bad readings.

Every cause is a model of the packed values z (round shifts taken out) with variances v:

    steady   z = a + e
    creep    z = a + b (t - t_k)+ + e    b > 0, from look k on; prior of b: RATES below
    step     z = a + c [m >= k] + e      prior of c: N(0, s^2), s from STEP_SIZES

each of them with no bad reading, or with one reading whose standard deviation is BAD_WIDTH times wider.
Level a has a flat prior, and a, b, c are integrated out exactly (normal prior times normal likelihood), so
that a cause is weighed by everything it allows, not by its best fit: a cause that could explain anything
explains nothing well. Method: Bayes factors of linear models with conjugate priors (O'Hagan and Forster,
Kendall's Advanced Theory 2B, ch. 11; memory). A series whose likeliest bad reading is more likely than not
gets a second turn in which another reading may be bad too.

Symbols: t years, w = 1/v, index j series, k onset, m reading, x = "which reading is bad" (0: none).
"""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from functools import reduce

import numpy as np

from lugbook.inference.scatter import BAD_SHARE, BAD_WIDTH
from lugbook.inference.series import Floats, Whole

# Priors. No growth rate of heavy crimps in service was found in print: all of these are our assumptions.
CREEP_HAZARD = 0.012  # chance that a span begins to creep between one look and the next
STEP_HAZARD = 0.006  # chance that it jumps
STEP_SIZES = (0.05, 0.4)  # standard deviation of a jump in ln resistance: a nut nipped up; a nut gone loose
# (mode, standard deviation, share) of the creep rate b in ln resistance per year, each cut off at b = 0:
# together close to lognormal with median 6 % a year and log standard deviation 0.8, with room for slower
# rates.
RATES = (
    (0.02, 0.02, 0.16),
    (0.045, 0.0225, 0.32),
    (0.09, 0.045, 0.30),
    (0.18, 0.09, 0.16),
    (0.36, 0.18, 0.06),
)
ROWS_AT_ONCE = 128  # keeps the grid of one turn inside the processor's cache
BAD_CUT = 1.0 - BAD_WIDTH**-2  # the part of its weight a bad reading loses
TINY = 1e-30


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
    rate_square: Floats  # (J,) mean of its square
    log_total: Floats  # (J,) ln of the total evidence, on a scale common to the turns of one series


def weigh_causes(year: Floats, z: Floats, variance: Floats, count: Whole) -> Causes:
    """Weigh every cause for packed series; year, z, variance (J, M), of each row the first `count` real."""
    rows = np.arange(len(z))
    present = np.arange(z.shape[1]) < count[:, None]
    w = np.where(present, 1.0 / variance, 0.0)
    one_bad = np.where(present, np.log(BAD_SHARE / (1 - BAD_SHARE)), -np.inf)
    first = _in_blocks(year, z, w, count, np.hstack([np.zeros((len(z), 1)), one_bad]))
    likeliest = np.argmax(first.bad, axis=1)
    again = np.nonzero((first.bad[rows, likeliest] > 0.5) & (count > 3))[0]
    if len(again) == 0:
        return first
    second = _second_turn(year[again], z[again], w[again], count[again], one_bad[again], likeliest[again])
    return _blend(first, again, second)


def _second_turn(year: Floats, z: Floats, w: Floats, count: Whole, one_bad: Floats, known: Whole) -> Causes:
    """The evidence that `known` and one more reading are bad, on the scale of the first turn."""
    rows = np.arange(len(z))
    w_known, second_bad = w.copy(), one_bad.copy()
    w_known[rows, known] *= 1 - BAD_CUT
    second_bad[rows, known] = -np.inf
    nothing_new = np.full((len(z), 1), -np.inf)  # exactly one bad reading was counted in the first turn
    second = _in_blocks(year, z, w_known, count, np.hstack([nothing_new, second_bad]))
    second.bad[rows, known] = 1.0
    # From the totals that this turn measures from to those of the first, and the price of the known bad reading.
    price = np.log(BAD_SHARE / (1 - BAD_SHARE) / BAD_WIDTH) + 0.5 * np.log(
        w.sum(axis=1) / w_known.sum(axis=1)
    )
    return replace(
        second,
        last_alone=second.last_alone + np.where(known == count - 1, second.steady, 0.0),
        log_total=second.log_total + price - 0.5 * (_scatter(z, w_known) - _scatter(z, w)),
    )


def _in_blocks(year: Floats, z: Floats, w: Floats, count: Whole, log_prior: Floats) -> Causes:
    blocks = [slice(at, at + ROWS_AT_ONCE) for at in range(0, max(len(z), 1), ROWS_AT_ONCE)]
    turns = [_one_turn(year[b], z[b], w[b], count[b], log_prior[b]) for b in blocks]
    return Causes(
        **{f.name: np.concatenate([getattr(turn, f.name) for turn in turns]) for f in fields(Causes)}
    )


def _one_turn(year: Floats, z: Floats, w: Floats, count: Whole, log_prior: Floats) -> Causes:
    """All causes with every choice x of one bad reading; log_prior (J, 1 + M) is the prior of each choice."""
    length = z.shape[1]
    place = np.arange(length)
    sum_w = w.sum(axis=1, keepdims=True)
    y = z - (w * z).sum(axis=1, keepdims=True) / sum_w.clip(TINY)
    zero = np.zeros((len(z), 1))
    cut, y_bad = np.hstack([zero, BAD_CUT * w]), np.hstack([zero, y])
    w_x = (sum_w - cut).clip(TINY)
    wy_x = -cut * y_bad
    rise = 0.5 * (cut * y_bad**2 + wy_x**2 / w_x)  # how much better the fit gets when x is bad
    log_x = log_prior + 0.5 * np.log(sum_w.clip(TINY) / w_x) + rise
    log_x[:, 1:] -= np.log(BAD_WIDTH)

    ramp = np.maximum(year[:, None, :] - year[:, :-1, None], 0.0)
    step = np.broadcast_to((place >= place[1:, None]).astype(float), (len(z), length - 1, length))
    open_look = np.where(place[:-1] < count[:, None] - 1, 0.0, -np.inf)[:, :, None]
    log_creep, mean, square = _creep_evidence(*_centred_sums(ramp, w, y, cut, w_x, wy_x))
    log_step = _step_evidence(*_centred_sums(step, w, y, cut, w_x, wy_x))
    log_creep = log_creep + (open_look + log_x[:, None, :])
    log_step = log_step + (open_look + log_x[:, None, :])
    looks = np.maximum(count - 1, 0)
    log_x = log_x + np.log1p(-np.minimum(looks * (CREEP_HAZARD + STEP_HAZARD), 0.9))[:, None]

    top = np.maximum(log_x.max(axis=1), np.maximum(_top(log_creep), _top(log_step)))
    steady = np.exp(log_x - top[:, None])
    creep, step_share = np.exp(log_creep - top[:, None, None]), np.exp(log_step - top[:, None, None])
    total = steady.sum(axis=1) + _sum_cells(creep) + _sum_cells(step_share)
    return _shares(steady, creep, step_share, mean, square, total, top, count)


def _centred_sums(
    h: Floats, w: Floats, y: Floats, cut: Floats, w_x: Floats, wy_x: Floats
) -> tuple[Floats, Floats]:
    """S_hh and S_hy (J, K, 1 + M): sums of shape h (J, K, M) with itself and y about means, for each x."""
    h_bad = np.concatenate([np.zeros((*h.shape[:2], 1)), h], axis=2)
    cut_h = cut[:, None, :] * h_bad
    sum_h = h @ w[:, :, None] - cut_h
    sum_hh = (h * h) @ w[:, :, None] - cut_h * h_bad
    y_bad = np.hstack([np.zeros((len(y), 1)), y])
    sum_hy = h @ (w * y)[:, :, None] - cut_h * y_bad[:, None, :]
    mean_h = sum_h / w_x[:, None, :]
    s_hh, s_hy = (sum_hh - sum_h * mean_h).clip(0.0), sum_hy - mean_h * wy_x[:, None, :]
    return s_hh.astype(np.float32), s_hy.astype(np.float32)  # differences taken: now half the digits will do


def _creep_evidence(s_hh: Floats, s_hy: Floats) -> tuple[Floats, Floats, Floats]:
    """ln evidence against steady, and the posterior mean and mean square of the rate, all (J, K, 1 + M).

    For prior N(r, s^2) cut off at zero the posterior is normal, cut off at zero, with precision
    P = 1/s^2 + S_hh and location (r/s^2 + S_hy)/P; u = location * sqrt(P).
    """
    log_parts, means, squares = [], [], []
    for mode, sd, share in RATES:
        spread = 1.0 / np.sqrt(sd**-2 + s_hh)
        location = (mode * sd**-2 + s_hy) * spread**2
        u = location / spread
        half, pull = _half_normal(u)
        log_prior_half = 0.5 * (mode / sd) ** 2 + np.log(_half_normal(np.array(mode / sd))[0])
        factor = share / sd * np.exp(-log_prior_half)
        log_parts.append(np.log(half * spread * factor) + 0.5 * np.square(u.clip(0.0)))
        means.append(location + spread * pull)
        squares.append(spread**2 + location * means[-1])
    top = reduce(np.maximum, log_parts)
    parts = [np.exp(log_part - top) for log_part in log_parts]
    total = sum(parts)
    mean = sum(part * value for part, value in zip(parts, means, strict=True)) / total
    square = sum(part * value for part, value in zip(parts, squares, strict=True)) / total
    return top + np.log(total * CREEP_HAZARD), mean, square


def _step_evidence(s_hh: Floats, s_hy: Floats) -> Floats:
    """ln evidence of a jump of either sign against steady.

    (1 + s^2 S_hh)^-1/2 exp(S_hy^2 / (2 (s^-2 + S_hh))).
    """
    parts = [0.5 * (s_hy**2 / (sd**-2 + s_hh) - np.log1p(sd**2 * s_hh)) for sd in STEP_SIZES]
    top = reduce(np.maximum, parts)
    return top + np.log(sum(np.exp(part - top) for part in parts) * (STEP_HAZARD / len(STEP_SIZES)))


def _half_normal(u: Floats) -> tuple[Floats, Floats]:
    """Phi(u) for u >= 0 and exp(u^2/2) Phi(u) below, where it would vanish; and phi(u)/Phi(u).

    Q(x) = phi(x) / ((1 - a) x + a sqrt(x^2 + b)), a = 0.339, b = 5.510, within 0.3 % for x >= 0 (Borjesson
    and Sundberg 1979, IEEE Trans. Commun. 27, 639; memory, checked against the error function in the
    tests).
    """
    mills = 0.661 * np.abs(u) + 0.339 * np.sqrt(u * u + 5.510)
    density = np.exp(-0.5 * u * u) * 0.3989423
    half = np.where(u < 0, 0.3989423 / mills, 1 - density / mills)
    return half, np.where(u < 0, mills, density / half)


def _shares(
    steady: Floats,
    creep: Floats,
    step: Floats,
    mean: Floats,
    square: Floats,
    total: Floats,
    top: Floats,
    count: Whole,
) -> Causes:
    share = (1.0 / total)[:, None]
    none = np.zeros((len(total), 1))
    creep_onset = np.hstack([creep.sum(axis=2), none]) * share
    step_onset = np.hstack([none, step.sum(axis=2)]) * share
    steady = steady * share
    rows, last = np.arange(len(total)), np.maximum(count - 1, 0)
    # Only the last is out of line: it is bad, or it follows a jump, or a creep began at the look before it.
    last_alone = steady[rows, last + 1] + step_onset[rows, last] + creep_onset[rows, np.maximum(last - 1, 0)]
    return Causes(
        steady=steady.sum(axis=1),
        creep=creep_onset.sum(axis=1),
        creep_onset=creep_onset,
        step_onset=step_onset,
        bad=steady[:, 1:] + (creep.sum(axis=1) + step.sum(axis=1))[:, 1:] * share,
        last_alone=last_alone,
        rate=_sum_cells(creep * mean) / _sum_cells(creep).clip(TINY),
        rate_square=_sum_cells(creep * square) / _sum_cells(creep).clip(TINY),
        log_total=top + np.log(total),
    )


def _top(log_evidence: Floats) -> Floats:
    return np.asarray(_in_a_row(log_evidence).max(axis=1, initial=-np.inf))


def _sum_cells(cells: Floats) -> Floats:
    """Per series, over all its onsets and bad readings."""
    return np.asarray(_in_a_row(cells).sum(axis=1))


def _in_a_row(cells: Floats) -> Floats:
    """(J, K, 1 + M) as (J, K (1 + M)): summing one long axis is faster than two short ones."""
    return cells.reshape(len(cells), cells.shape[1] * cells.shape[2])


def _scatter(z: Floats, w: Floats) -> Floats:
    """Weighted sum of squares of z about its weighted mean, per row."""
    centre = (w * z).sum(axis=1, keepdims=True) / w.sum(axis=1, keepdims=True)
    return np.asarray((w * (z - centre) ** 2).sum(axis=1))


def _blend(first: Causes, again: Whole, second: Causes) -> Causes:
    """Add the second turn's evidence to that of the rows it was made for."""
    log_total = np.logaddexp(first.log_total[again], second.log_total)
    old, new = np.exp(first.log_total[again] - log_total), np.exp(second.log_total - log_total)
    old_creep, new_creep = old * first.creep[again], new * second.creep
    either = (old_creep + new_creep).clip(TINY)
    blended = {}
    for item in fields(Causes):
        was, now = getattr(first, item.name), getattr(second, item.name)
        if item.name in ("rate", "rate_square"):
            mixed = (old_creep * was[again] + new_creep * now) / either
        elif item.name == "log_total":
            mixed = log_total
        else:
            mixed = (old * was[again].T + new * now.T).T
        blended[item.name] = was.copy()
        blended[item.name][again] = mixed
    return Causes(**blended)
