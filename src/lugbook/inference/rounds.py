"""What each round did to all its readings together: the common error of the meter and clamp of that day.

Model: y = level of the series + creep, of a few + shift of the round + own noise, y = ln of the resistance at
20 degC. The shift has the prior N(0, gain_sd^2) from the instruments' statement; own noise is a contaminated
normal: most readings N(0, s^2), a few (BAD_SHARE) eight times wider. The shift of a round may be bad in the
same way. Robust two-way fit with shrunken column effects (best linear unbiased prediction: Robinson 1991,
Statistical Science 6, 15-32; memory). A series that rises more than RISING_FROM standard deviations has its
rise taken out before the shifts are fitted again, so that spans which creep do not drag the rounds along.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from lugbook.inference.scatter import pooled_scatter, residuals_of_lines, trust
from lugbook.inference.series import Flags, Floats, Whole, median_of_rows, middle_nearest_zero

PASSES = 4  # of reweighting; the shifts no longer move by a tenth of their uncertainty
AGAIN = 2  # times the rises are taken out and the shifts fitted anew, each with PASSES_AGAIN
PASSES_AGAIN = 3
RISING_FROM = 2.0  # standard deviations; lower takes more of the noise out, higher leaves more creep in
RISING_SPREAD = 0.1  # over which a rise is taken out gradually, so that no reading makes the shifts jump
RISE_TURNS = 3
FEWEST_TO_RISE = 3  # readings
TIE = 1e-6
MOST_VOTERS = (
    1000  # readings of a round that are asked: a thousand tell its shift to a thirtieth of their noise
)
LEAST_SPREAD = 1e-6  # of a ramp about its mean, of its size: below it a series has no reading but one to tell
DAYS_PER_YEAR = 365.25
TINY = 1e-300


@dataclass(frozen=True)
class RoundShifts:
    """The shift of each round; `others` are what a series may use: its own readings left out.

    `...` stands for the leading axes of the table the shifts were estimated from: none, or one for builds.
    """

    shift: Floats  # (..., T) ln units, + reads high
    shift_sd: Floats  # (..., T)
    others_shift: Floats  # (..., J, T) estimated from the other series; 0 where there are none
    others_variance: (
        Floats  # (..., J, T) its variance; gain_sd^2 where there are no others: the honest fallback
    )
    own_scale: Floats  # (...) by how much the stated own noise was too small (> 1) or too large (< 1)
    bad_share: Floats  # (...) of the readings, as their scatter shows it


@dataclass(frozen=True)
class _Fit:
    """The state of the two-way fit."""

    level: Floats  # (..., J)
    shift: Floats  # (..., T)
    weight: Floats  # (..., J, T) of each reading, as it is trusted


def estimate_rounds(
    day: Floats, log_resistance: Floats, own_sd: Floats, gain_sd: Floats, *, voters: Flags | None = None
) -> RoundShifts:
    """Estimate the shifts (..., T) from the table (..., J, T); day (T,), gain_sd (T,).

    Leading axes hold builds that know nothing of each other. voters (J,), for a single table: the series whose
    readings say what the round did; None: all. Readings of the others are left out of the shifts, so that
    spans which creep together cannot pass their creep off as a shift. Of a table with many series an evenly
    spread choice votes.
    """
    asked = _voting_rows(log_resistance, voters)
    if asked is None:
        return _estimate(day, log_resistance, own_sd, gain_sd)[0]
    found, outside_shift, outside_variance = _estimate(day, log_resistance[asked], own_sd[asked], gain_sd)
    others_shift, others_variance = np.empty_like(log_resistance), np.empty_like(log_resistance)
    others_shift[...], others_variance[...] = outside_shift, outside_variance
    others_shift[asked], others_variance[asked] = found.others_shift, found.others_variance
    return replace(found, others_shift=others_shift, others_variance=others_variance)


def _voting_rows(log_resistance: Floats, voters: Flags | None) -> Whole | None:
    """Rows asked, None for all: of each round at most about MOST_VOTERS, evenly spread over the table."""
    if log_resistance.ndim != 2 or (voters is None and len(log_resistance) <= 2 * MOST_VOTERS):
        return None
    rows = np.arange(len(log_resistance)) if voters is None else np.flatnonzero(voters)
    if len(rows) <= 2 * MOST_VOTERS:
        return rows
    read = ~np.isnan(log_resistance) if voters is None else ~np.isnan(log_resistance[rows])
    if read.all():
        return np.asarray(rows[:: -(-len(rows) // MOST_VOTERS)])
    every = np.ceil(np.count_nonzero(read, axis=0) / MOST_VOTERS).astype(np.int64).clip(1)
    return np.asarray(rows[(read & (np.cumsum(read, axis=0, dtype=np.int32) % every == 0)).any(axis=1)])


def _estimate(
    day: Floats, log_resistance: Floats, own_sd: Floats, gain_sd: Floats
) -> tuple[RoundShifts, Floats, Floats]:
    """The shifts by the series of this table, and (..., T) what a series outside it may use, with variance."""
    read = ~np.isnan(log_resistance)
    y = np.where(read, log_resistance, 0.0)
    stated_weight = np.where(read, 1.0 / np.square(np.where(read, own_sd, 1.0)), 0.0)
    prior_weight, year = 1.0 / np.square(gain_sd), day / DAYS_PER_YEAR
    level = median_of_rows(log_resistance)
    fit = _Fit(level, _first_shift(log_resistance, level, stated_weight, prior_weight), stated_weight)
    own_scale, flat, first_seen = np.ones(y.shape[:-2]), y, _is_last(read, year)
    for turn in range(AGAIN + 1):
        scaled = stated_weight / np.square(own_scale)[..., None, None]
        for _ in range(PASSES_AGAIN if turn else PASSES):
            fit = _refit(flat, scaled, prior_weight, fit)
        size, free = residuals_of_lines(
            flat - fit.shift[..., None, :], stated_weight, fit.weight, prior_weight, year
        )
        own_scale, bad_share = pooled_scatter(size, free, first_seen)
        if turn < AGAIN:
            scaled = stated_weight / np.square(own_scale)[..., None, None]
            flat = y - _rises(y - fit.shift[..., None, :], scaled, fit, year)
    weighted = fit.weight * (flat - fit.level[..., None])
    total, pull = fit.weight.sum(axis=-2), weighted.sum(axis=-2)
    whole = total + _loosened(prior_weight, pull, total, _several(fit.weight))
    others_total = np.maximum(total[..., None, :] - fit.weight, 0.0)
    others_pull = pull[..., None, :] - weighted
    others = np.count_nonzero(fit.weight > 0, axis=-2)[..., None, :] - (fit.weight > 0) > 1
    others_weight = others_total + _loosened(prior_weight, others_pull, others_total, others)
    found = RoundShifts(
        shift=fit.shift,
        shift_sd=1.0 / np.sqrt(whole),
        others_shift=others_pull / others_weight,
        others_variance=1.0 / others_weight,
        own_scale=own_scale,
        bad_share=bad_share,
    )
    return found, pull / whole, 1.0 / whole


def _is_last(read: Flags, year: Floats) -> Flags:
    """The last reading of each series (..., J, T)."""
    when = np.where(read, year, -np.inf)
    return np.asarray(when == when.max(axis=-1, keepdims=True, initial=-np.inf))


def _first_shift(log_resistance: Floats, level: Floats, own_weight: Floats, prior_weight: Floats) -> Floats:
    """The middle of each column, shrunk as the number of readings and the prior say.

    Of two middles the one nearest zero: of two series that disagree, one jumped sooner than the meter did.
    """
    residual = np.where(own_weight > 0, log_resistance - level[..., None], np.nan)
    total = own_weight.sum(axis=-2)
    middle = middle_nearest_zero(np.swapaxes(residual, -1, -2))
    loosened = _loosened(prior_weight, middle * total, total, _several(own_weight))
    return np.asarray(middle * total / (total + loosened))


def _refit(y: Floats, own_weight: Floats, prior_weight: Floats, fit: _Fit) -> _Fit:
    """One turn: how far each reading is trusted, then shifts, then levels."""
    from_level = y - fit.level[..., None]
    weight = own_weight * trust(np.square(from_level - fit.shift[..., None, :]) * own_weight)
    total, pull = weight.sum(axis=-2), (weight * from_level).sum(axis=-2)
    loosened = _loosened(prior_weight, pull, total, _several(own_weight))
    shift = pull / (total + loosened)
    shift = shift - _middle(shift, loosened, total)[..., None]
    row_total = weight.sum(axis=-1)
    fresh = (weight * (y - shift[..., None, :])).sum(axis=-1) / np.where(row_total > 0, row_total, 1.0)
    return _Fit(np.where(row_total > 0, fresh, fit.level), shift, weight)


def _rises(z: Floats, own_weight: Floats, fit: _Fit, year: Floats) -> Floats:
    """What a ramp from the best onset adds to each reading (..., J, T), of the series that clearly rise.

    For each onset a least-squares ramp, reweighted by trust; the best is that of the largest slope in its
    standard deviations. A rise by the last reading alone is left to be a bad reading.
    """
    onsets = np.unique(year[(own_weight > 0).any(axis=tuple(range(z.ndim - 1)))])[:-2]
    best, rise = np.zeros(z.shape[:-1]), np.zeros_like(z)
    first_trust = trust(np.square(z - fit.level[..., None]) * own_weight)
    for onset in onsets:
        h = np.maximum(year - onset, 0.0)
        weight = own_weight * first_trust
        for turn in range(RISE_TURNS):
            total = weight.sum(axis=-1).clip(TINY)
            mean_h, mean_z = (weight @ h) / total, (weight * z).sum(axis=-1) / total
            from_mean = h - mean_h[..., None]
            s_hh = (weight * from_mean * from_mean).sum(axis=-1)
            s_hh = np.where(s_hh > LEAST_SPREAD * (weight @ (h * h)), s_hh, 0.0)
            slope = (weight * from_mean * z).sum(axis=-1) / np.where(s_hh > 0, s_hh, np.inf)
            if turn < RISE_TURNS - 1:
                residual = z - mean_z[..., None] - slope[..., None] * from_mean
                weight = own_weight * trust(np.square(residual) * own_weight)
        sds = slope * np.sqrt(s_hh)
        better = (
            sds > best * (1 + TIE) + TIE
        )  # onsets before the first reading of a series are one and the same
        rise = np.where(better[..., None], slope[..., None] * h, rise)
        best = np.where(better, sds, best)
    best = np.where(np.count_nonzero(own_weight > 0, axis=-1) < FEWEST_TO_RISE, 0.0, best)
    taken = 1.0 / (1.0 + np.exp(np.clip((RISING_FROM - best) / RISING_SPREAD, -60.0, 60.0)))
    return rise * taken[..., None]


def _loosened(prior_weight: Floats, pull: Floats, total: Floats, several: Flags) -> Floats:
    """The weight of the prior: a round may be bad too, as when the clamp was not zeroed, and is then not shrunk.

    Not by one reading alone (`several` is False): it may be that joint as well.
    """
    seen = total.clip(TINY)
    return prior_weight * trust(np.where(several, np.square(pull / seen) / (1 / prior_weight + 1 / seen), 0.0))


def _several(weight: Floats) -> Flags:
    """Whether more than one reading of a round says what it did: (..., T)."""
    return np.asarray(np.count_nonzero(weight > 0, axis=-2) > 1)


def _middle(shift: Floats, prior_weight: Floats, total: Floats) -> Floats:
    """The part common to all rounds: it cannot be told from the levels, and the prior puts it at zero."""
    seen = prior_weight * (total > 0)
    return np.asarray((shift * seen).sum(axis=-1) / seen.sum(axis=-1).clip(TINY))
