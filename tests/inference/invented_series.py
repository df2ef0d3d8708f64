"""Invented rounds of readings: levels, a shared shift per round, own noise, and what is asked for on top."""

from dataclasses import dataclass

import numpy as np

YEAR = 365.25


@dataclass(frozen=True)
class InventedRounds:
    """A table as the engine takes it."""

    day: np.ndarray
    log_resistance: np.ndarray
    own_sd: np.ndarray
    gain_sd: float


def invent_rounds(
    rng: np.random.Generator,
    *,
    spans: int = 40,
    rounds: int = 10,
    gain_sd: float = 0.03,
    bad_share: float = 0.0,
    interval_day: float = YEAR,
) -> InventedRounds:
    """Steady spans of 30 to 80 microohm; own noise about 2 %, unequal; bad readings six times wider."""
    own_sd = 0.02 * np.exp(rng.normal(0, 0.3, (spans, 1))) * np.ones((spans, rounds))
    noise = rng.normal(size=(spans, rounds))
    noise = np.where(rng.random((spans, rounds)) < bad_share, 6 * noise, noise)
    level = rng.uniform(np.log(30), np.log(80), (spans, 1))
    shift = rng.normal(0, gain_sd, rounds)
    return InventedRounds(np.arange(rounds) * interval_day, level + shift + noise * own_sd, own_sd, gain_sd)


def ramp(day: np.ndarray, *, rate: float, onset_day: float) -> np.ndarray:
    """ln rise of a creep of `rate` per year from `onset_day` on."""
    return rate * np.maximum(day - onset_day, 0.0) / YEAR
