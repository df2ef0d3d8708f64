"""What would have been said after each round: many builds assessed at the looks they had, all at once."""

from __future__ import annotations

from dataclasses import dataclass

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
    score = np.full((asked[0], len(day), asked[1]), -np.inf)
    chance, creeping = np.zeros_like(score), np.zeros_like(score)
    for n in range(FEWEST_READINGS, len(day) + 1):
        seen = look_at_builds(day[:n], log_resistance[..., :n], own_sd[..., :n], gain[:n], spans)
        score[:, n - 1], chance[:, n - 1] = seen.score, seen.creep_probability
        creeping[:, n - 1] = seen.creeping
    return Looks(score, chance, creeping)


def _look(
    day: Floats, y: Floats, own_sd: Floats, gain: Floats, spans: slice
) -> tuple[Floats, Floats, Floats]:
    shifts = estimate_rounds(day, y, own_sd, gain)
    corrected = (y - shifts.others_shift)[:, spans]
    variance = (np.square(own_sd * shifts.own_scale[:, None, None]) + shifts.others_variance)[:, spans]
    shape = corrected.shape[:2]
    bad_share = np.repeat(shifts.bad_share, shape[1])
    flat = corrected.reshape(-1, len(day)), variance.reshape(-1, len(day))
    packed, causes = weigh_table(day, *flat, bad_share)
    called = call_creeping(packed, causes)
    return (
        score_of(causes).reshape(shape),
        causes.creep.reshape(shape),
        called.reshape(shape).astype(np.float64),
    )
