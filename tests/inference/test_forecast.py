"""The chance of being over a limit by a day, against brute force."""

import numpy as np
import pytest

from lugbook.inference.causes import RATE_LOG_SD, RATE_MEDIAN
from lugbook.inference.evidence import STEP_SIZES
from lugbook.inference.forecast import (
    JUMPS_PER_YEAR,
    WITH_LEVEL,
    Outlook,
    chance_over,
    latest_years,
    learned_onsets_per_year,
    normal_share,
)

# Margin, sd of the level, chance of creep, 5 and 95 % points of its rate, onsets a year.
CASES = {
    "steady, far from its limit": (0.7, 0.01, 0.0, 0.02, 0.2, 0.02),
    "steady in a wet place, near its limit": (0.1, 0.02, 0.02, 0.02, 0.2, 0.06),
    "surely creeping": (0.3, 0.02, 1.0, 0.06, 0.13, 0.02),
    "perhaps creeping": (0.15, 0.02, 0.3, 0.03, 0.2, 0.02),
    "perhaps over already": (0.03, 0.03, 0.05, 0.03, 0.2, 0.02),
    "over": (-0.1, 0.02, 0.0, 0.02, 0.2, 0.02),
}


def outlook(*cases: tuple[float, ...]) -> Outlook:
    return Outlook(*(np.array(part, float) for part in zip(*cases, strict=True)))


def simulated(case: tuple[float, ...], years: float, draws: int = 400_000) -> float:
    """The share of draws that are over: everything that may happen, drawn one by one."""
    margin, sd, creeps, low, high, onsets = case
    rng = np.random.default_rng(5)
    error = rng.normal(0, 1, draws)
    left = margin - sd * error
    with_level = WITH_LEVEL * error + np.sqrt(1 - WITH_LEVEL**2) * rng.normal(0, 1, draws)
    log_rate = (np.log(low) + np.log(high)) / 2 + (np.log(high) - np.log(low)) / (2 * 1.6449) * with_level
    new_rate = RATE_MEDIAN * np.exp(rng.normal(0, RATE_LOG_SD, draws))
    since_onset = np.maximum(years - rng.exponential(1 / onsets, draws), 0.0)
    rise = np.where(rng.random(draws) < creeps, np.exp(log_rate) * years, new_rate * since_onset)
    jumped = rng.exponential(1 / JUMPS_PER_YEAR, draws) < years
    jump = rng.normal(0, rng.choice(STEP_SIZES, draws))
    return float(np.mean((rise > left) | (left <= 0) | (jumped & (jump > left))))


@pytest.mark.parametrize("years", [0.25, 1.0, 3.0])
@pytest.mark.parametrize("case", CASES.values(), ids=CASES)
def test_the_chance_is_that_of_drawing_everything(case: tuple[float, ...], years: float) -> None:
    found = chance_over(outlook(case), np.array([years]))[0]

    drawn = simulated(case, years)
    assert found == pytest.approx(drawn, abs=0.002 + 0.03 * drawn)


def test_the_chance_never_falls_with_time_or_with_less_room() -> None:
    many = outlook(*CASES.values())

    by_time = np.array([chance_over(many, np.full(6, years)) for years in np.linspace(0, 10, 30)])
    by_room = np.array(
        [chance_over(outlook((margin, *CASES["perhaps creeping"][1:])), np.ones(1)) for margin in (0.4, 0.2, 0.1)]
    )

    assert (np.diff(by_time, axis=0) >= -1e-9).all()
    assert (np.diff(by_room, axis=0) > 0).all()


def test_the_latest_wait_is_the_last_that_costs_no_more_than_its_share() -> None:
    many = outlook(*CASES.values())
    pace, shortest, longest = np.full(6, 0.001), np.full(6, 0.1), np.full(6, 3.0)

    wait = latest_years(many, pace, shortest, longest)

    day = 1 / 365.25
    inside = (wait > 0.101) & (wait < 2.999)
    assert inside.any()
    assert (chance_over(many, wait - day) <= pace * wait)[inside].all()
    assert (chance_over(many, wait + 3 * day) > pace * wait)[inside].all()
    assert wait[list(CASES).index("over")] == pytest.approx(0.1)
    assert wait[0] == 3.0


def test_a_books_own_spans_outweigh_the_assumption_as_years_pass() -> None:
    # 0.02 a year worth 50 span-years is one creep; three creeps in 150 more span-years: 4 in 200.
    assert learned_onsets_per_year(0.02, 50, np.array([1.0, 1.0, 1.0, 0.0]), np.array([40, 40, 40, 30])) == (
        pytest.approx(4 / 200)
    )
    assert learned_onsets_per_year(0.02, 50, np.zeros(2), np.zeros(2)) == pytest.approx(0.02)


def test_the_normal_share_is_that_of_the_tables() -> None:
    # Any table of the standard normal: 0.5, 0.8413, 0.975, 0.0228.
    found = normal_share(np.array([0.0, 1.0, 1.959964, -2.0]))

    assert found == pytest.approx([0.5, 0.841345, 0.975, 0.022750], abs=1e-6)
