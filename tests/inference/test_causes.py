"""The evidence of each cause against a direct numerical integral, worked out here without the engine's algebra."""

from math import exp

import numpy as np
import pytest

from lugbook.inference import causes
from lugbook.inference.causes import RATE_LOG_SD, RATE_MEDIAN, RATES, weigh_causes
from lugbook.inference.evidence import AS_MADE_YEARS, CREEP_HAZARD, STEP_HAZARD, STEP_SIZES

YEAR = np.array([0.0, 1.0, 2.5])
Z = np.array([0.010, 0.004, 0.120])
SD = np.array([0.020, 0.015, 0.025])
SHARE = 0.05  # of bad readings


def weighed(z: np.ndarray, sd: np.ndarray, year: np.ndarray = YEAR):  # type: ignore[no-untyped-def]
    """One series, all of it read."""
    one = np.ones((1, 1))
    return weigh_causes(year * one, z * one, sd**2 * one, np.array([len(z)]), np.array([SHARE]))


def normal(x: np.ndarray | float, sd: np.ndarray | float) -> np.ndarray:
    return np.exp(-0.5 * (np.asarray(x) / sd) ** 2) / (np.asarray(sd) * np.sqrt(2 * np.pi))


def integrated(
    shape: np.ndarray, sizes: np.ndarray, prior: np.ndarray, z: np.ndarray = Z, sd: np.ndarray = SD
) -> float:
    """Likelihood of z over a flat level and a prior of the size of `shape`, with none or one bad reading."""
    level = np.linspace(-0.7, 0.7, 251)
    residual = z - level[:, None, None] - sizes[None, :, None] * shape
    total = 0.0
    for bad in range(-1, len(z)):
        wide = sd * np.where(np.arange(len(z)) == bad, 8.0, 1.0)
        weight = 1.0 if bad < 0 else SHARE / (1 - SHARE)
        likelihood = np.prod(normal(residual, wide), axis=2)
        total += weight * float(np.sum(likelihood @ prior) * (level[1] - level[0]))
    return total


def rate_prior() -> tuple[np.ndarray, np.ndarray]:
    log_rate = np.linspace(np.log(5e-4), np.log(1.2), 600)
    mass = normal(log_rate - np.log(RATE_MEDIAN), RATE_LOG_SD) * (log_rate[1] - log_rate[0])
    return np.exp(log_rate), mass


def jump_prior() -> tuple[np.ndarray, np.ndarray]:
    jump = np.linspace(-1.6, 1.6, 1201)
    density = sum(normal(jump, sd) / len(STEP_SIZES) for sd in STEP_SIZES)
    return jump, density * (jump[1] - jump[0])


def onsets(year: np.ndarray) -> list[tuple[float, int, float]]:
    """Year of the onset, the last look before it, its chance: before the first reading, or at any time after."""
    found = [(0.0, 0, CREEP_HAZARD * AS_MADE_YEARS)]
    for look, interval in enumerate(np.diff(year)):
        for part in (np.arange(12) + 0.5) / 12:
            found.append((year[look] + part * interval, look, CREEP_HAZARD * interval / 12))
    return found


def test_the_chance_of_each_cause_agrees_with_a_numerical_integral() -> None:
    rate, p_rate = rate_prior()
    creep = [0.0, 0.0]
    for onset, look, chance in onsets(YEAR):
        creep[look] += chance * integrated(np.maximum(YEAR - onset, 0), rate, p_rate)
    jump, p_jump = jump_prior()
    jumps = STEP_HAZARD * np.array([1.0, 1.5])
    step = [p * integrated((np.arange(3) > k).astype(float), jump, p_jump) for k, p in enumerate(jumps)]
    changes = CREEP_HAZARD * (2.5 + AS_MADE_YEARS) + STEP_HAZARD * 2.5
    steady = integrated(np.zeros(3), np.zeros(1), np.ones(1)) * (1 - changes)
    total = steady + sum(creep) + sum(step)

    found = weighed(Z, SD)

    # Three onsets stand for all of an interval, and a thousandth of the rates at either end is left out.
    assert found.creep[0] > 0.25  # so it was looked at closely
    assert found.steady[0] == pytest.approx(steady / total, rel=0.03)
    assert found.creep_onset[0, :2] == pytest.approx(np.array(creep) / total, rel=0.08)
    assert found.step_onset[0, 1:] == pytest.approx(np.array(step) / total, rel=0.03)


def test_the_rate_and_its_interval_are_those_of_a_numerical_integral() -> None:
    year, sd = np.array([0.0, 1.0, 2.0, 3.5, 4.0]), np.array([0.020, 0.015, 0.025, 0.02, 0.02])
    z = np.array([0.0, 0.01, -0.01, 0.10, 0.15])
    rate, p_rate = (table[::5] for table in rate_prior())
    share = np.zeros(len(rate))
    for onset, _, chance in onsets(year):
        ramp = np.maximum(year - onset, 0)
        share += [chance * integrated(ramp, np.array([r]), np.ones(1), z, sd) for r in rate]
    share = share * p_rate / (share @ p_rate)
    below = np.cumsum(share) - share / 2

    found = weighed(z, sd, year)

    assert found.rate[0] == pytest.approx(share @ rate, rel=0.04)
    assert found.rate_low[0] == pytest.approx(np.interp(0.05, below, rate), rel=0.04)
    assert found.rate_high[0] == pytest.approx(np.interp(0.95, below, rate), rel=0.04)


def test_the_rates_on_the_grid_reach_far_beyond_what_is_expected() -> None:
    # 2.6 log standard deviations up, 4 down: from the drift of a standard resistor to a joint lost in a year.
    assert RATES[0] < RATE_MEDIAN * exp(-4 * RATE_LOG_SD)
    assert RATES[-1] > RATE_MEDIAN * exp(2.6 * RATE_LOG_SD)


def test_the_quick_look_agrees_with_the_full_one_where_it_is_thought_enough(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    rng = np.random.default_rng(4)
    z = rng.normal(0, 0.02, (3000, 7))
    year = np.arange(7.0) * np.ones((3000, 1))
    given = year, z, np.full(z.shape, 0.02**2), np.full(3000, 7), np.full(3000, 0.01)

    quick = weigh_causes(*given)
    monkeypatch.setattr(causes, "QUICK_UP_TO", 0.0)  # nobody is spared the full look
    full = weigh_causes(*given)

    assert np.mean(quick.creep != full.creep) > 0.5
    np.testing.assert_allclose(quick.creep, full.creep, atol=0.05)
    np.testing.assert_allclose(quick.bad, full.bad, atol=0.05)
    np.testing.assert_array_equal(quick.creep > 0.3, full.creep > 0.3)


def test_two_bad_readings_in_one_series_are_both_seen() -> None:
    rng = np.random.default_rng(2)
    z = rng.normal(0, 0.02, (1, 10))
    z[0, 3] += 0.4
    z[0, 6] -= 0.3

    found = weighed(z[0], np.full(10, 0.02), np.arange(10.0))

    assert (found.bad[0] > 0.9).nonzero()[0].tolist() == [3, 6]
    assert found.creep[0] < 0.1
