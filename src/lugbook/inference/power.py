"""How many seasons of readings it takes until a creep would be noticed, with given instruments."""

from __future__ import annotations

import numpy as np

from lugbook.inference.creep import FEWEST_READINGS
from lugbook.inference.looks import look_at_builds
from lugbook.inference.rounds import DAYS_PER_YEAR
from lugbook.inference.scatter import BAD_WIDTH
from lugbook.inference.series import Floats

BUILDS = 1500  # standard error of a chance at most 0.013
SEED = 1


def seasons_until_noticed(
    rate_per_year: float,
    own_sd: float,
    gain_sd: float,
    spans: int,
    *,
    bad_share: float = 0.0,
    years_between: float = 1.0,
    seasons: int = 15,
    builds: int = BUILDS,
    seed: int = SEED,
) -> Floats:
    """Chance that a creeping span has been called `creeping` by the n-th round, n = 1 .. seasons.

    One of `spans` spans creeps from the first round on by rate_per_year [ln units, 0.08 is about 8 % a year];
    the others are steady. own_sd [relative] is the standard uncertainty of each reading alone, gain_sd
    [relative] what all readings of a round share; of all readings a bad_share is bad and scatters BAD_WIDTH times
    wider, without saying so; a round is read every `years_between` [years]. Simulated: `builds` invented builds drawn
    from `seed` and assessed as assess_creep does after every round, so that the answer is that of the verdict itself.
    The same arguments give the same answer. Standard error sqrt(p (1 - p) / builds). The first entries are 0: fewer
    than three readings are too few.

    Returns (seasons,), never falling: once noticed is noticed.
    """
    rng = np.random.default_rng(seed)
    day = np.arange(seasons, dtype=np.float64) * (years_between * DAYS_PER_YEAR)
    noise = rng.normal(0.0, own_sd, (builds, spans, seasons))
    shift = rng.normal(0.0, gain_sd, (builds, 1, seasons))
    noise *= np.where(rng.random(noise.shape) < bad_share, BAD_WIDTH, 1.0)
    y = noise + shift
    y[:, 0] += rate_per_year * day / DAYS_PER_YEAR
    own, gain = np.full(y.shape, own_sd), np.full(seasons, gain_sd)
    unnoticed, chance = np.arange(builds), np.zeros(seasons)
    for n in range(FEWEST_READINGS, seasons + 1):
        if len(unnoticed):
            seen = look_at_builds(day[:n], y[unnoticed, :, :n], own[unnoticed, :, :n], gain[:n], slice(0, 1))
            unnoticed = unnoticed[seen.creeping[:, 0] == 0]
        chance[n - 1] = 1 - len(unnoticed) / builds
    return chance
