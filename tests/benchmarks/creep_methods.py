"""The methods of the creep benchmark: each gives builds a score for creep at every look, (B, J, T), -inf for none."""

import warnings
from collections.abc import Callable
from itertools import combinations

import numpy as np
from creep_builds import BAD_WIDTH, DAYS_PER_YEAR, Builds

from looks_over_time import look_at_each_round

Score = Callable[[Builds], np.ndarray]


def every_look(score_of_last: Callable[[np.ndarray, np.ndarray], np.ndarray], fewest: int) -> Score:
    """A method that scores readings (..., n) taken in years (n,), used at each look with `fewest` or more."""

    def score(builds: Builds) -> np.ndarray:
        found = np.full(builds.log_resistance.shape, -np.inf)
        year = builds.day / DAYS_PER_YEAR
        for n in range(fewest, len(year) + 1):
            found[..., n - 1] = score_of_last(year[:n], builds.log_resistance[..., :n])
        return found

    return score


def ours(builds: Builds) -> np.ndarray:
    """assess_creep's score, looked at as it looks."""
    looks = look_at_each_round(builds.day, builds.log_resistance, builds.own_sd, builds.gain_sd)
    return np.swapaxes(looks.score, 1, 2)


def clairvoyant(builds: Builds) -> np.ndarray:
    """Told the shared errors, the rate and the noise (its spread, how many readings are bad, how wide they are).

    Not told level, onset, or which readings are bad. ln of the likelihood ratio of the ramp against none, each
    averaged over which readings are bad (none, one or two) and over the onset (every quarter of a year).
    """
    return likelihood_ratio(builds, builds.own_sd, builds.bad_share)


def informed_clairvoyant(builds: Builds) -> np.ndarray:
    """The clairvoyant that is told which readings are bad as well: nobody could know it."""
    return likelihood_ratio(builds, builds.actual_sd, 0.0)


def likelihood_ratio(builds: Builds, sd: np.ndarray, bad_share: float) -> np.ndarray:
    """ln likelihood ratio of a ramp of known rate at every look; the flat prior of the level integrated out."""
    year = builds.day / DAYS_PER_YEAR
    y = builds.log_resistance - builds.shift[:, None]
    found = np.full(y.shape, -np.inf)
    for n in range(2, len(year) + 1):
        for b in range(0, len(y), 20):
            found[b : b + 20, :, n - 1] = ramp_against_none(
                year[:n], y[b : b + 20, :, :n], sd[b : b + 20, :, :n], builds.rate, bad_share
            )
    return found


def ramp_against_none(
    year: np.ndarray, y: np.ndarray, sd: np.ndarray, rate: float, bad_share: float
) -> np.ndarray:
    """(B, J) of the readings (B, J, n) of one look."""
    n = len(year)
    bad_sets = [(), *combinations(range(n), 1), *combinations(range(n), 2)] if bad_share > 0 else [()]
    kept = np.ones((len(bad_sets), n))
    for row, bad in enumerate(bad_sets):
        kept[row, list(bad)] = BAD_WIDTH**-2.0
    odds = bad_share / (1 - bad_share) / BAD_WIDTH
    price = np.array([len(bad) * np.log(odds) if bad else 0.0 for bad in bad_sets])
    onsets = np.arange(0.0, year[-1], 0.25)
    h = rate * np.maximum(year[:, None] - onsets, 0.0)
    z = (y - y[..., :1])[..., None, :]
    w = (sd**-2.0)[..., None, :] * kept
    total, wz = w.sum(-1), w * z
    base = price - 0.5 * np.log(total) - 0.5 * ((wz * z).sum(-1) - wz.sum(-1) ** 2 / total)
    s_h = w @ h
    gain = wz @ h - s_h * (wz.sum(-1) / total)[..., None] - 0.5 * (w @ h**2 - s_h**2 / total[..., None])
    ramps = np.logaddexp.reduce(base[..., None] + gain, axis=(-2, -1)) - np.log(len(onsets))
    return ramps - np.logaddexp.reduce(base, axis=-1)


def last_over_first(year: np.ndarray, y: np.ndarray) -> np.ndarray:
    return y[..., -1] - y[..., 0]


def last_over_first_three(year: np.ndarray, y: np.ndarray) -> np.ndarray:
    return y[..., -1] - y[..., :3].mean(axis=-1)


def mann_kendall(year: np.ndarray, y: np.ndarray) -> np.ndarray:
    """The z of pymannkendall.original_test, all rows at once (a test compares it with the library)."""
    n = len(year)
    first, second = np.triu_indices(n, 1)
    s = np.sign(y[..., second] - y[..., first]).sum(axis=-1)
    return (s - np.sign(s)) / np.sqrt(n * (n - 1) * (2 * n + 5) / 18)


def mann_kendall_of_library(y: np.ndarray) -> np.ndarray:
    """The same by pymannkendall, row by row."""
    from pymannkendall import original_test

    return np.array([original_test(row).z for row in y])


def theil_sen(year: np.ndarray, y: np.ndarray) -> np.ndarray:
    """Median of the slopes of all pairs, over what steady readings of this scatter would give it."""
    first, second = np.triu_indices(len(year), 1)
    slope = np.median((y[..., second] - y[..., first]) / (year[second] - year[first]), axis=-1)
    return slope * np.sqrt(((year - year.mean()) ** 2).sum())


def ols_t(year: np.ndarray, y: np.ndarray) -> np.ndarray:
    t = year - year.mean()
    slope = (y @ t) / (t @ t)
    residual = y - y.mean(axis=-1, keepdims=True) - slope[..., None] * t
    return slope * np.sqrt(t @ t) / np.sqrt((residual**2).sum(axis=-1) / (len(t) - 2)).clip(1e-12)


def rounds_out(builds: Builds, passes: int = 4) -> np.ndarray:
    """Readings with the median of each round taken out (median polish), at the last look."""
    y = builds.log_resistance - np.median(builds.log_resistance, axis=-1, keepdims=True)
    shift = np.zeros_like(y[:, :1])
    for _ in range(passes):
        shift = shift + np.median(y - shift, axis=1, keepdims=True)
        y = builds.log_resistance - np.median(builds.log_resistance - shift, axis=-1, keepdims=True)
    return builds.log_resistance - shift


def mixed_model(builds: Builds) -> np.ndarray:
    """statsmodels MixedLM with a random level and slope of each span, rounds' medians out: slope as predicted."""
    from statsmodels.regression.mixed_linear_model import MixedLM

    def slopes(year: np.ndarray, y: np.ndarray) -> np.ndarray:
        spans, n = y.shape
        design = np.column_stack([np.ones(spans * n), np.tile(year - year.mean(), spans)])
        level = np.median(y, axis=1, keepdims=True)
        fitted = MixedLM((y - level).ravel(), design, np.repeat(np.arange(spans), n), design).fit(reml=True)
        return np.array([fitted.random_effects[span].iloc[1] for span in range(spans)])

    return build_by_build(builds, slopes, 4)


def one_break(builds: Builds) -> np.ndarray:
    """ruptures: the best single break in the mean, rounds' medians out; what it gains, in its direction."""
    import ruptures

    def gains(year: np.ndarray, y: np.ndarray) -> np.ndarray:
        found = []
        for row in y:
            at = ruptures.Binseg(model="l2", min_size=1, jump=1).fit(row).predict(n_bkps=1)[0]
            before, after = row[:at], row[at:]
            rise = after.mean() - before.mean()
            found.append(np.sign(rise) * np.sqrt(len(before) * len(after) / len(row)) * abs(rise))
        return np.array(found)

    return build_by_build(builds, gains, 3)


def build_by_build(
    builds: Builds, score: Callable[[np.ndarray, np.ndarray], np.ndarray], fewest: int
) -> np.ndarray:
    """For libraries that take one build at a time: score (J,) of a table (J, n), at each look; failures say 0."""
    found = np.full(builds.log_resistance.shape, -np.inf)
    year = builds.day / DAYS_PER_YEAR
    for b, y in enumerate(rounds_out(builds)):
        for n in range(fewest, len(year) + 1):
            with warnings.catch_warnings():
                warnings.simplefilter("ignore")
                try:
                    found[b, :, n - 1] = score(year[:n], y[:, :n])
                except (np.linalg.LinAlgError, ValueError):
                    found[b, :, n - 1] = 0.0
    return found


def without_rounds(score_of_last: Callable[[np.ndarray, np.ndarray], np.ndarray], fewest: int) -> Score:
    """A simple method given the readings with the rounds' medians taken out, as seen at each look."""

    def score(builds: Builds) -> np.ndarray:
        found = np.full(builds.log_resistance.shape, -np.inf)
        year = builds.day / DAYS_PER_YEAR
        for n in range(fewest, len(year) + 1):
            seen = Builds(
                builds.day[:n], builds.log_resistance[..., :n], builds.own_sd[..., :n], builds.gain_sd,
                builds.rate, builds.onset_year, builds.shift[:, :n], builds.actual_sd[..., :n], builds.bad_share,
            )  # fmt: skip
            found[..., n - 1] = score_of_last(year[:n], rounds_out(seen))
        return found

    return score


OURS, CLAIRVOYANT, INFORMED = "ours", "clairvoyant", "clairvoyant told which are bad"
SIMPLE: dict[str, Score] = {
    "ratio to first": every_look(last_over_first, 2),
    "ratio to first three": every_look(last_over_first_three, 4),
    "Mann-Kendall": every_look(mann_kendall, 3),
    "Theil-Sen": every_look(theil_sen, 3),
    "OLS t": every_look(ols_t, 3),
}
ROUNDS_OUT: dict[str, Score] = {
    "ratio to first three, rounds out": without_rounds(last_over_first_three, 4),
    "Theil-Sen, rounds out": without_rounds(theil_sen, 3),
}
SLOW: dict[str, Score] = {"MixedLM": mixed_model, "ruptures": one_break}
FAST: dict[str, Score] = {
    CLAIRVOYANT: clairvoyant,
    INFORMED: informed_clairvoyant,
    OURS: ours,
    **SIMPLE,
    **ROUNDS_OUT,
}
