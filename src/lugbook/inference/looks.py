"""What would have been said after each round: many builds assessed at every look they had, all at once."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from lugbook.inference.creep import FEWEST_READINGS, call_creeping, score_of, weigh_table
from lugbook.inference.rounds import estimate_rounds
from lugbook.inference.series import Floats, Whole

CELLS_AT_ONCE = 100_000


@dataclass(frozen=True)
class Looks:
    """What assess_creep says of spans (S) of builds (B) after each of the first n rounds, n = 1 .. T.

    Looks with fewer than FEWEST_READINGS rounds say nothing: score -inf, chance 0, not creeping.
    """

    score: Floats  # (B, T, S)
    creep_probability: Floats  # (B, T, S)
    creeping: Floats  # (B, T, S) 1 where the verdict is `creeping`


def look_at_each_round(
    day: Floats,
    log_resistance: Floats,
    own_sd: Floats,
    gain_sd: Floats | float,
    *,
    spans: Whole | slice = slice(None),
) -> Looks:
    """Assess builds (B, J, T), which know nothing of each other, at every look; day (T,) rising [days].

    spans: which of the J spans are asked about; all of them take part in telling what the rounds did.
    """
    builds, _, rounds = log_resistance.shape
    gain = np.broadcast_to(np.asarray(gain_sd, float), day.shape)
    at_once = max(1, CELLS_AT_ONCE // max(log_resistance[0].size, 1))
    parts = [
        _looks(day, log_resistance[at : at + at_once], own_sd[at : at + at_once], gain, spans)
        for at in range(0, builds, at_once)
    ]
    return Looks(*(np.concatenate(piece) for piece in zip(*parts, strict=True)))


def _looks(
    day: Floats, y: Floats, own_sd: Floats, gain: Floats, spans: Whole | slice
) -> tuple[Floats, Floats, Floats]:
    rounds = len(day)
    wanted = y[:, spans, 0]
    score = np.full((len(y), rounds, wanted.shape[1]), -np.inf)
    chance, creeping = np.zeros_like(score), np.zeros_like(score)
    for n in range(FEWEST_READINGS, rounds + 1):
        shifts = estimate_rounds(day[:n], y[..., :n], own_sd[..., :n], gain[:n])
        scale = shifts.own_scale[:, None, None]
        corrected = (y[..., :n] - shifts.others_shift)[:, spans]
        variance = (np.square(own_sd[..., :n] * scale) + shifts.others_variance)[:, spans]
        shape = score[:, 0].shape
        bad_share = np.repeat(shifts.bad_share, shape[1])
        packed, causes = weigh_table(day[:n], corrected.reshape(-1, n), variance.reshape(-1, n), bad_share)
        score[:, n - 1] = score_of(causes).reshape(shape)
        chance[:, n - 1] = causes.creep.reshape(shape)
        creeping[:, n - 1] = call_creeping(packed, causes).reshape(shape)
    return score, chance, creeping
