"""Invented builds for the creep benchmark: ten yearly rounds, shared errors, unequal noise, some spans creeping."""

from dataclasses import dataclass

import numpy as np

DAYS_PER_YEAR = 365.25
ROUNDS = 10
GAIN_SD = 0.03  # shared by all readings of a round
OWN_SD = 0.02  # median of the spans; its logarithm varies by OWN_SPREAD
OWN_SPREAD = 0.3
BAD_WIDTH = 6.0  # a bad reading scatters this many times wider
ONSET_YEARS = (0.0, 6.0)  # a ramp begins anywhere between, not only at a round


@dataclass(frozen=True)
class Builds:
    """B builds of J spans and T rounds. A creeping span has an onset; that of a steady one is infinite."""

    day: np.ndarray  # (T,)
    log_resistance: np.ndarray  # (B, J, T)
    own_sd: np.ndarray  # (B, J, T) true, and told to every method that asks
    gain_sd: float
    rate: float  # ln units per year
    onset_year: np.ndarray  # (B, J)
    shift: np.ndarray  # (B, T) the truth, for the clairvoyant alone
    actual_sd: np.ndarray  # (B, J, T) own_sd, wider where the reading is bad: for a clairvoyant alone
    bad_share: float  # for the clairvoyant alone

    @property
    def creeps(self) -> np.ndarray:
        """(B, J)"""
        return np.isfinite(self.onset_year)

    @property
    def rise(self) -> np.ndarray:
        """(B, J, T) what the creep has added."""
        return self.rate * np.maximum(self.day / DAYS_PER_YEAR - self.onset_year[..., None], 0.0)


def invent_builds(
    seed: tuple[int, ...],
    *,
    builds: int,
    spans: int,
    rate: float = 0.0,
    bad_share: float = 0.0,
    own_spread: float = OWN_SPREAD,
) -> Builds:
    """Builds drawn from `seed`; with a rate, a tenth of the spans of each creep (at least one)."""
    rng = np.random.default_rng(seed)
    shape = (builds, spans, ROUNDS)
    day = np.arange(ROUNDS) * DAYS_PER_YEAR
    level = rng.uniform(np.log(30), np.log(80), (builds, spans, 1))
    own_sd = OWN_SD * np.exp(rng.normal(0, own_spread, (builds, spans, 1))) * np.ones(shape)
    bad = rng.random(shape) < bad_share
    actual_sd = np.where(bad, BAD_WIDTH * own_sd, own_sd)
    shift = rng.normal(0, GAIN_SD, (builds, ROUNDS))
    onset = rng.uniform(*ONSET_YEARS, (builds, spans))
    creeping = max(1, spans // 10) if rate > 0 else 0
    onset[:, creeping:] = np.inf
    y = level + shift[:, None] + rng.normal(size=shape) * actual_sd
    made = Builds(day, y, own_sd, GAIN_SD, rate, onset, shift, actual_sd, bad_share)
    made.log_resistance[...] += made.rise
    return made


def flag_looks(score: np.ndarray, threshold: float, builds: Builds) -> np.ndarray:
    """(B, J) index of the first look after the onset at which a creeping span is flagged; T where never."""
    after = builds.day / DAYS_PER_YEAR > builds.onset_year[..., None]
    flagged = (score > threshold) & after
    return np.where(flagged.any(axis=-1), np.argmax(flagged, axis=-1), len(builds.day))


def excess_at_flag(looks: np.ndarray, builds: Builds) -> np.ndarray:
    """(B, J) ln units the creep had added when it was flagged; never flagged counts as flagged a round later."""
    return np.where(
        builds.creeps, builds.rate * (looks - np.where(builds.creeps, builds.onset_year, 0.0)), np.nan
    )


def caught_within(looks: np.ndarray, builds: Builds, years: float) -> float:
    """Share of the creeping spans flagged within so many years of their onset."""
    soon = (looks < len(builds.day)) & (looks - builds.onset_year <= years)
    return float(soon[builds.creeps].mean())


def threshold_for(score: np.ndarray, false_alarm_rate: float) -> float:
    """The threshold that this share of steady spans exceed at one or more of their looks."""
    highest = np.max(score, axis=-1).ravel()
    return float(np.quantile(highest, 1 - false_alarm_rate, method="higher"))
