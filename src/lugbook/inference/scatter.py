"""How readings scatter: mostly as stated, a few much wider; what the pooled residuals say of both."""

from __future__ import annotations

import numpy as np

from lugbook.inference.series import Flags, Floats, median_of_rows

BAD_SHARE = 0.05  # of readings taken to be bad before looking, where a reading is weighed: our assumption
BAD_WIDTH = 8.0  # a bad reading scatters this many times wider: our assumption
# What is held of the share of bad readings before looking: BAD_SHARE_PRIOR, worth so many readings.
BAD_SHARE_PRIOR, BAD_SHARE_READINGS = 0.01, 10.0
BAD_SHARE_LEAST, BAD_SHARE_MOST = 5e-4, 0.2
SCATTER_TURNS = 10
SCALE_PRIOR_DEGREES = 10.0  # how many residuals the stated uncertainty is worth: our assumption
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
    z: Floats, own_weight: Floats, trusted_weight: Floats, prior_weight: Floats, year: Floats
) -> tuple[Floats, Floats]:
    """Residuals (..., J, T) about a straight line of each series in units of the stated noise, and their freedom.

    About a line, so that creep is not mistaken for noise; the line follows the readings as they are trusted, so
    that a wild reading does not make others look wild. Each residual is divided by the root of its freedom (0
    to 1), so that all would have the standard deviation 1; NaN and freedom 0 where it says nothing.
    """
    total = own_weight.sum(axis=-2, keepdims=True)
    row_share = trusted_weight / trusted_weight.sum(axis=-1, keepdims=True).clip(TINY)
    t = year - (row_share * year).sum(axis=-1, keepdims=True)
    spread = (row_share * t * t).sum(axis=-1, keepdims=True).clip(TINY)
    z = z - (row_share * z).sum(axis=-1, keepdims=True)
    z = z - t * ((row_share * t * z).sum(axis=-1, keepdims=True) / spread)
    free = (1 - row_share * (1 + t * t / spread)) * (1 - own_weight / (total + prior_weight))
    free = np.where((own_weight > 0) & (free > LEAST_FREE), free, 0.0)
    size = np.where(free > 0, np.abs(z) * np.sqrt(own_weight / np.where(free > 0, free, 1.0)), np.nan)
    return size, free


def pooled_scatter(size: Floats, free: Floats, first_seen: Flags) -> tuple[Floats, Floats]:
    """What the residuals of a table say of all its readings: scale and share of bad readings, both (...).

    scale: by how much the stated noise was too small (> 1) or too large (< 1), a Birge ratio; share: of
    readings BAD_WIDTH times wider. Both by EM of the two-part normal from the robust start of the median
    absolute deviation, each held to its prior by few readings. first_seen (..., J, T): readings that nothing
    has followed yet; they may be the first of a creep, and say nothing of the share.
    """
    flat = (*size.shape[:-2], -1)
    squared, free = np.square(np.where(free > 0, size, 0.0)).reshape(flat), free.reshape(flat)
    followed = free * ~first_seen.reshape(flat)
    whole, readings = free.sum(axis=-1), followed.sum(axis=-1) + BAD_SHARE_READINGS
    degrees = MAD_EFFICIENCY * whole
    square = np.square(NORMAL_MAD * median_of_rows(size.reshape(flat)))
    variance = (SCALE_PRIOR_DEGREES + degrees * square) / (SCALE_PRIOR_DEGREES + degrees)
    share = np.full(whole.shape, BAD_SHARE_PRIOR)
    for _ in range(SCATTER_TURNS):
        odds = _odds_of_bad(squared / variance[..., None], share[..., None])
        bad = odds / (1 + odds)
        good = free * (1 - (1 - BAD_WIDTH**-2) * bad)
        variance = (SCALE_PRIOR_DEGREES + (good * squared).sum(axis=-1)) / (SCALE_PRIOR_DEGREES + whole)
        variance = np.clip(variance, SCALE_LOW**2, SCALE_HIGH**2)
        share = ((followed * bad).sum(axis=-1) + BAD_SHARE_PRIOR * BAD_SHARE_READINGS) / readings
        share = np.clip(share, BAD_SHARE_LEAST, BAD_SHARE_MOST)
    known = SCALE_PRIOR_DEGREES + whole
    return np.sqrt(variance * known / (known - 2)), share  # what a Student's t of so many degrees scatters
