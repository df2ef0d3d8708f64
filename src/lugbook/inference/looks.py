"""What would have been said after each round: many builds assessed at the looks they had, all at once."""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np

from lugbook.inference.creep import FEWEST_READINGS, call_creeping, score_of, weigh_table
from lugbook.inference.rounds import estimate_rounds
from lugbook.inference.series import Floats

CELLS_AT_ONCE = 100_000


@dataclass(frozen=True)
class Looks:
    """What assess_creep says of spans (S) of builds (B), each entry as it says it of the build alone."""

    score: Floats  # (B, S), or (B, T, S) after each of T rounds; -inf where there were too few readings
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


def look_at_each_round(
    day: Floats, log_resistance: Floats, own_sd: Floats, gain_sd: float, spans: slice = slice(None)
) -> Looks:
    """The same after each of the first n rounds, n = 1 .. T, day rising: (B, T, S)."""
    gain = np.full(day.shape, gain_sd)
    asked = log_resistance[:, spans, 0].shape
    nothing = (
        np.full(asked, -np.inf),
        np.zeros(asked),
        np.zeros(asked),
        np.full(asked, np.nan),
        np.full(asked, np.nan),
    )
    looks = [Looks(*nothing) for _ in day[: FEWEST_READINGS - 1]]
    for n in range(FEWEST_READINGS, len(day) + 1):
        looks.append(look_at_builds(day[:n], log_resistance[..., :n], own_sd[..., :n], gain[:n], spans))
    return Looks(*(np.stack([getattr(look, f.name) for look in looks], axis=1) for f in fields(Looks)))


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
