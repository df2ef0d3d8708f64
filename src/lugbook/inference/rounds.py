"""What each round did to all its readings together: the common error of the meter and clamp of that day.

Model: y = level of the series + shift of the round + own noise, y = ln of the resistance at 20 degC. The
shift has the prior N(0, gain_sd^2) from the instruments' statement; own noise is a contaminated normal:
most readings N(0, s^2), a few (BAD_SHARE) eight times wider. The shift of a round may be bad in the same
way. Robust two-way fit with shrunken column effects (best linear unbiased prediction: Robinson 1991,
Statistical Science 6, 15-32; memory).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from lugbook.inference.series import Flags, Floats, median_of_rows

BAD_SHARE = 0.05  # of readings taken to be bad before looking: our assumption
BAD_WIDTH = 8.0  # a bad reading scatters this many times wider: our assumption
PASSES = 6  # of reweighting; the shifts no longer move by a tenth of their uncertainty
SCALE_PRIOR_DEGREES = 6.0  # how many residuals the stated uncertainty is worth: our assumption
SCALE_LOW, SCALE_HIGH = 0.5, 4.0
NORMAL_MAD = 1.4826  # standard deviation / median absolute deviation of a normal
LEAST_FREE = 0.02  # a residual with less freedom than this says nothing of the noise
DAYS_PER_YEAR = 365.25
TINY = 1e-300
MAD_EFFICIENCY = 0.37  # of the median absolute deviation against the standard deviation, normal noise


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


def estimate_rounds(
    day: Floats, log_resistance: Floats, own_sd: Floats, gain_sd: Floats, *, voters: Flags | None = None
) -> RoundShifts:
    """Estimate the shifts (..., T) from the table (..., J, T); day (T,), gain_sd (T,).

    Leading axes hold builds that know nothing of each other. voters (J,): the series whose readings say what
    the round did; None: all. Readings of the others are left out of the shifts, so that spans which creep
    together cannot pass their creep off as a shift.
    """
    read = ~np.isnan(log_resistance)
    y = np.where(read, log_resistance, 0.0)
    own_weight = np.where(read, 1.0 / np.square(np.where(read, own_sd, 1.0)), 0.0)
    if voters is not None:
        own_weight = own_weight * voters[:, None]
    prior_weight = 1.0 / np.square(gain_sd)
    level = median_of_rows(log_resistance)
    shift = _first_shift(log_resistance, level, own_weight, prior_weight)
    own_scale = np.ones(y.shape[:-2])
    for turn in range(PASSES):
        scaled = own_weight / np.square(own_scale)[..., None, None]
        level, shift, weight = _refit(y, scaled, prior_weight, level, shift)
        if turn in (1, PASSES - 2):
            own_scale = _pooled_scale(y, own_weight, prior_weight, shift, day / DAYS_PER_YEAR)
    weighted = weight * (y - level[..., None])
    total, pull = weight.sum(axis=-2), weighted.sum(axis=-2)
    others_total = np.maximum(total[..., None, :] - weight, 0.0)
    others_pull = pull[..., None, :] - weighted
    others_weight = others_total + _loosened(prior_weight, others_pull, others_total)
    return RoundShifts(
        shift=shift,
        shift_sd=1.0 / np.sqrt(total + _loosened(prior_weight, pull, total)),
        others_shift=others_pull / others_weight,
        others_variance=1.0 / others_weight,
        own_scale=own_scale,
    )


def _first_shift(log_resistance: Floats, level: Floats, own_weight: Floats, prior_weight: Floats) -> Floats:
    """The column medians, shrunk as the number of readings and the prior say."""
    residual = np.where(own_weight > 0, log_resistance - level[..., None], np.nan)
    total = own_weight.sum(axis=-2)
    median = median_of_rows(np.swapaxes(residual, -1, -2))
    return np.asarray(median * total / (total + _loosened(prior_weight, median * total, total)))


def _refit(
    y: Floats, own_weight: Floats, prior_weight: Floats, level: Floats, shift: Floats
) -> tuple[Floats, Floats, Floats]:
    """One turn: how far each reading is trusted, then shifts, then levels."""
    weight = own_weight * trust(np.square(y - level[..., None] - shift[..., None, :]) * own_weight)
    total, pull = weight.sum(axis=-2), (weight * (y - level[..., None])).sum(axis=-2)
    loosened = _loosened(prior_weight, pull, total)
    shift = pull / (total + loosened)
    shift = shift - _middle(shift, loosened, total)[..., None]
    row_total = weight.sum(axis=-1)
    fresh = (weight * (y - shift[..., None, :])).sum(axis=-1) / np.where(row_total > 0, row_total, 1.0)
    return np.where(row_total > 0, fresh, level), shift, weight


def _loosened(prior_weight: Floats, pull: Floats, total: Floats) -> Floats:
    """The weight of the prior: a round may be bad too, as when the clamp was not zeroed, and is then not shrunk."""
    seen = total.clip(TINY)
    return prior_weight * trust(
        np.where(total > 0, np.square(pull / seen) / (1 / prior_weight + 1 / seen), 0.0)
    )


def _middle(shift: Floats, prior_weight: Floats, total: Floats) -> Floats:
    """The part common to all rounds: it cannot be told from the levels, and the prior puts it at zero."""
    seen = prior_weight * (total > 0)
    return np.asarray((shift * seen).sum(axis=-1) / seen.sum(axis=-1).clip(TINY))


def trust(squared: Floats) -> Floats:
    """Weight of a reading relative to a good one, 1 down to 1/64, from its squared residual in s^2."""
    odds = BAD_SHARE / (1 - BAD_SHARE) / BAD_WIDTH
    ratio = odds * np.exp(np.minimum(0.5 * (1 - BAD_WIDTH**-2) * squared, 60.0))
    return (1 + ratio / BAD_WIDTH**2) / (1 + ratio)


def _pooled_scale(y: Floats, own_weight: Floats, prior_weight: Floats, shift: Floats, year: Floats) -> Floats:
    """Robust ratio of the scatter seen to the scatter stated (a Birge ratio), shrunk toward 1 and bounded.

    Scatter is taken about a straight line of each series, so that creep is not mistaken for noise.
    """
    total = own_weight.sum(axis=-2, keepdims=True)
    row_share = own_weight / own_weight.sum(axis=-1, keepdims=True).clip(TINY)
    t = year - (row_share * year).sum(axis=-1, keepdims=True)
    spread = (row_share * t * t).sum(axis=-1, keepdims=True).clip(TINY)
    z = y - shift[..., None, :]
    z = z - (row_share * z).sum(axis=-1, keepdims=True)
    z = z - t * ((row_share * t * z).sum(axis=-1, keepdims=True) / spread)
    free = (1 - row_share * (1 + t * t / spread)) * (1 - own_weight / (total + prior_weight))
    free = np.where((own_weight > 0) & (free > LEAST_FREE), free, 0.0)
    size = np.where(free > 0, np.abs(z) * np.sqrt(own_weight / np.where(free > 0, free, 1.0)), np.nan)
    degrees = MAD_EFFICIENCY * free.sum(axis=(-2, -1))
    square = np.square(NORMAL_MAD * median_of_rows(size.reshape(*size.shape[:-2], -1)))
    scale = np.sqrt((SCALE_PRIOR_DEGREES + degrees * square) / (SCALE_PRIOR_DEGREES + degrees))
    return np.asarray(np.clip(scale, SCALE_LOW, SCALE_HIGH))
