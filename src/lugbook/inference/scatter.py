"""How readings scatter: mostly as stated, a few much wider; what the pooled residuals say of both."""

from __future__ import annotations

import numpy as np

from lugbook.inference.series import Floats, median_of_rows

BAD_SHARE = 0.05  # of readings taken to be bad before looking, where a reading is weighed: our assumption
BAD_WIDTH = 8.0  # a bad reading scatters this many times wider: our assumption
# What is held of the share of bad readings before looking: BAD_SHARE_PRIOR, worth so many readings.
BAD_SHARE_PRIOR, BAD_SHARE_READINGS = 0.02, 50.0
BAD_SHARE_LEAST = 1e-3
BAD_SHARE_TURNS = 12
SCALE_PRIOR_DEGREES = 6.0  # how many residuals the stated uncertainty is worth: our assumption
SCALE_LOW, SCALE_HIGH = 0.5, 4.0
NORMAL_MAD = 1.4826  # standard deviation / median absolute deviation of a normal
MAD_EFFICIENCY = 0.37  # of the median absolute deviation against the standard deviation, normal noise
LEAST_FREE = 0.02  # a residual with less freedom than this says nothing of the noise
TINY = 1e-300


def trust(squared: Floats) -> Floats:
    """Weight of a reading relative to a good one, 1 down to 1/64, from its squared residual in s^2."""
    ratio = _odds_of_bad(squared, np.asarray(BAD_SHARE))
    return (1 + ratio / BAD_WIDTH**2) / (1 + ratio)


def _odds_of_bad(squared: Floats, share: Floats) -> Floats:
    odds = share / (1 - share) / BAD_WIDTH
    return np.asarray(odds * np.exp(np.minimum(0.5 * (1 - BAD_WIDTH**-2) * squared, 60.0)))


def residuals_of_lines(
    z: Floats, own_weight: Floats, prior_weight: Floats, year: Floats
) -> tuple[Floats, Floats]:
    """Residuals (..., J, T) about a straight line of each series in units of the stated noise, and their freedom.

    About a line, so that creep is not mistaken for noise. Each is divided by the root of its freedom (0 to 1),
    so that all would have the standard deviation 1; NaN and freedom 0 where a residual says nothing.
    """
    total = own_weight.sum(axis=-2, keepdims=True)
    row_share = own_weight / own_weight.sum(axis=-1, keepdims=True).clip(TINY)
    t = year - (row_share * year).sum(axis=-1, keepdims=True)
    spread = (row_share * t * t).sum(axis=-1, keepdims=True).clip(TINY)
    z = z - (row_share * z).sum(axis=-1, keepdims=True)
    z = z - t * ((row_share * t * z).sum(axis=-1, keepdims=True) / spread)
    free = (1 - row_share * (1 + t * t / spread)) * (1 - own_weight / (total + prior_weight))
    free = np.where((own_weight > 0) & (free > LEAST_FREE), free, 0.0)
    size = np.where(free > 0, np.abs(z) * np.sqrt(own_weight / np.where(free > 0, free, 1.0)), np.nan)
    return size, free


def pooled_scale(size: Floats, free: Floats) -> Floats:
    """Robust ratio (...) of the scatter seen to the scatter stated (a Birge ratio), shrunk toward 1, bounded."""
    degrees = MAD_EFFICIENCY * free.sum(axis=(-2, -1))
    square = np.square(NORMAL_MAD * median_of_rows(size.reshape(*size.shape[:-2], -1)))
    scale = np.sqrt((SCALE_PRIOR_DEGREES + degrees * square) / (SCALE_PRIOR_DEGREES + degrees))
    return np.asarray(np.clip(scale, SCALE_LOW, SCALE_HIGH))


def pooled_bad_share(size: Floats, free: Floats) -> Floats:
    """Share (...) of bad readings that explains the residuals best, held to its prior by few readings (EM)."""
    squared = np.square(np.where(free > 0, size, 0.0))
    share = np.full(free.shape[:-2], BAD_SHARE_PRIOR)
    readings = free.sum(axis=(-2, -1)) + BAD_SHARE_READINGS
    for _ in range(BAD_SHARE_TURNS):
        odds = _odds_of_bad(squared, share[..., None, None])
        seen = (free * odds / (1 + odds)).sum(axis=(-2, -1))
        share = (seen + BAD_SHARE_PRIOR * BAD_SHARE_READINGS) / readings
        share = np.clip(share, BAD_SHARE_LEAST, 0.2)
    return share
