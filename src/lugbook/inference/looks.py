"""What would have been said of many builds, assessed all at once."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from lugbook.inference.creep import call_creeping, score_of, weigh_table
from lugbook.inference.rounds import estimate_rounds
from lugbook.inference.series import Floats

CELLS_AT_ONCE = 100_000


@dataclass(frozen=True)
class Looks:
    """What assess_creep says of spans (S) of builds (B), each entry as it says it of the build alone."""

    score: Floats  # (B, S); -inf where there were too few readings
    creep_probability: Floats  # the same shape
    creeping: Floats  # 1 where the verdict is `creeping`
    rate_low: Floats  # 5 % point of the rate per year if it creeps; NaN where there were too few readings
    rate_high: Floats  # its 95 % point


def look_at_builds(
    day: Floats, log_resistance: Floats, own_sd: Floats, gain_sd: Floats, spans: slice = slice(None)
) -> Looks:
    """Assess builds (B, J, T), which know nothing of each other, after all their rounds: (B, S).

    day, gain_sd (T,); spans: which of the J spans are asked about; all of them tell what the rounds did.
    """
    at_once = max(1, CELLS_AT_ONCE // max(log_resistance[0].size, 1))
    blocks = [slice(at, at + at_once) for at in range(0, len(log_resistance), at_once)]
    parts = [_look(day, log_resistance[b], own_sd[b], gain_sd, spans) for b in blocks]
    return Looks(*(np.concatenate(piece) for piece in zip(*parts, strict=True)))


def _look(day: Floats, y: Floats, own_sd: Floats, gain: Floats, spans: slice) -> tuple[Floats, ...]:
    shifts = estimate_rounds(day, y, own_sd, gain)
    corrected = (y - shifts.others_shift)[:, spans]
    variance = (np.square(own_sd * shifts.own_scale[:, None, None]) + shifts.others_variance)[:, spans]
    shape = corrected.shape[:2]
    bad_share = np.repeat(shifts.bad_share, shape[1])
    flat = corrected.reshape(-1, len(day)), variance.reshape(-1, len(day))
    packed, causes = weigh_table(day, *flat, bad_share)
    told = (
        score_of(causes),
        causes.creep,
        call_creeping(packed, causes).astype(np.float64),
        causes.rate_low,
        causes.rate_high,
    )
    return tuple(fact.reshape(shape) for fact in told)
