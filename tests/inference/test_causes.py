"""The evidence of each cause against a direct numerical integral, worked out here without the engine's algebra."""

from math import erf, exp, log, sqrt

import numpy as np
import pytest

from lugbook.inference.causes import (
    CREEP_HAZARD,
    RATES,
    STEP_HAZARD,
    STEP_SIZES,
    _half_normal,
    weigh_causes,
)

YEAR = np.array([0.0, 1.0, 2.5])
Z = np.array([0.010, 0.004, 0.120])
SD = np.array([0.020, 0.015, 0.025])


def normal(x: np.ndarray | float, sd: np.ndarray | float) -> np.ndarray:
    return np.exp(-0.5 * (np.asarray(x) / sd) ** 2) / (np.asarray(sd) * np.sqrt(2 * np.pi))


def integrated(shape: np.ndarray, sizes: np.ndarray, prior: np.ndarray) -> float:
    """Likelihood of Z over a flat level and a prior of the size of `shape`, with none or one bad reading."""
    level = np.linspace(-0.7, 0.7, 501)
    residual = Z - level[:, None, None] - sizes[None, :, None] * shape
    total = 0.0
    for bad in (None, 0, 1, 2):
        sd = SD * np.where(np.arange(3) == (-1 if bad is None else bad), 8.0, 1.0)
        weight = 1.0 if bad is None else 0.05 / 0.95
        likelihood = np.prod(normal(residual, sd), axis=2)
        total += weight * float(np.sum(likelihood @ prior) * (level[1] - level[0]))
    return total


def rate_prior() -> tuple[np.ndarray, np.ndarray]:
    rate = np.linspace(1e-4, 1.2, 500)
    density = sum(
        share * normal(rate - mode, sd) / (0.5 * (1 + erf(mode / sd / sqrt(2)))) for mode, sd, share in RATES
    )
    return rate, density * (rate[1] - rate[0])


def jump_prior() -> tuple[np.ndarray, np.ndarray]:
    jump = np.linspace(-1.6, 1.6, 1201)
    density = sum(normal(jump, sd) / len(STEP_SIZES) for sd in STEP_SIZES)
    return jump, density * (jump[1] - jump[0])


def test_the_chance_of_each_cause_agrees_with_a_numerical_integral() -> None:
    steady = integrated(np.zeros(3), np.zeros(1), np.ones(1)) * (1 - 2 * (CREEP_HAZARD + STEP_HAZARD))
    rate, p_rate = rate_prior()
    creep = [CREEP_HAZARD * integrated(np.maximum(YEAR - YEAR[k], 0), rate, p_rate) for k in (0, 1)]
    jump, p_jump = jump_prior()
    step = [STEP_HAZARD * integrated((np.arange(3) >= k).astype(float), jump, p_jump) for k in (1, 2)]
    total = steady + sum(creep) + sum(step)

    found = weigh_causes(YEAR[None, :], Z[None, :], SD[None, :] ** 2, np.array([3]))

    assert found.steady[0] == pytest.approx(steady / total, rel=0.01)
    assert found.creep_onset[0, :2] == pytest.approx(np.array(creep) / total, rel=0.01)
    assert found.step_onset[0, 1:] == pytest.approx(np.array(step) / total, rel=0.01)


def test_the_priors_of_the_rate_add_up_to_one_with_a_median_of_about_six_percent() -> None:
    rate, p_rate = rate_prior()

    assert sum(share for _, _, share in RATES) == pytest.approx(1.0)
    assert rate[np.searchsorted(np.cumsum(p_rate), 0.5)] == pytest.approx(0.065, abs=0.02)
    assert rate[np.searchsorted(np.cumsum(p_rate), 0.95)] == pytest.approx(0.06 * exp(0.8 * 1.645), rel=0.6)


@pytest.mark.parametrize("u", [-6.0, -3.0, -1.0, -0.01, 0.0, 0.01, 1.0, 3.0, 6.0])
def test_the_half_normal_agrees_with_the_error_function(u: float) -> None:
    # Q(6), Abramowitz and Stegun table 26.2
    phi = 0.5 * (1 + erf(u / sqrt(2))) if u > -5 else 9.865876450377e-10

    half, pull = _half_normal(np.array(u))

    assert log(half) + min(u, 0.0) ** 2 * -0.5 == pytest.approx(log(phi), abs=0.004)
    assert pull == pytest.approx(exp(-0.5 * u * u) / sqrt(2 * np.pi) / phi, rel=0.004)


def test_two_bad_readings_in_one_series_are_both_seen() -> None:
    rng = np.random.default_rng(2)
    z = rng.normal(0, 0.02, (1, 10))
    z[0, 3] += 0.4
    z[0, 6] -= 0.3

    found = weigh_causes(np.arange(10.0)[None, :], z, np.full((1, 10), 0.02**2), np.array([10]))

    assert (found.bad[0] > 0.9).nonzero()[0].tolist() == [3, 6]
    assert found.creep[0] < 0.1
