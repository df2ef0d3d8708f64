"""The chance of noticing a creep is that of a person who assesses the book after every round."""

import numpy as np
import pytest

from lugbook.inference.creep import assess_creep
from lugbook.inference.power import seasons_until_noticed

YEAR = 365.25


def noticed_one_by_one(
    rate: float, own_sd: float, gain_sd: float, spans: int, seasons: int, builds: int
) -> np.ndarray:
    """Share of builds in which span 0 has been called creeping by each season, each look taken by itself."""
    rng = np.random.default_rng(777)
    day = np.arange(seasons) * YEAR
    called = np.zeros((builds, seasons), bool)
    for build in range(builds):
        y = rng.uniform(3, 4, (spans, 1)) + rng.normal(0, gain_sd, seasons)
        y = y + rng.normal(0, own_sd, (spans, seasons))
        y[0] += rate * day / YEAR
        for n in range(1, seasons + 1):
            found = assess_creep(day[:n], y[:, :n], np.full((spans, n), own_sd), gain_sd)
            called[build, n - 1] = found.verdict[0] == "creeping"
    return np.maximum.accumulate(called, axis=1).mean(axis=0)


def test_the_chance_agrees_with_looking_at_one_build_after_another() -> None:
    # The standard error of the difference of two shares of 1500 and 500 builds is at most 2.6 points.
    expected = noticed_one_by_one(0.05, 0.02, 0.03, 8, 4, 500)

    found = seasons_until_noticed(0.05, 0.02, 0.03, 8, seasons=4)

    assert found == pytest.approx(expected, abs=0.05)


def noticed_with_bad_readings(builds: int, bad_share: float) -> list[float]:
    """8 spans, 10 % a year, 2 % own noise, 3 % shared: share called creeping by each of 5 seasons, looked at one by
    one, so many readings being bad, which is eight times wider."""
    rng = np.random.default_rng(778)
    called = np.zeros((builds, 5), bool)
    for build in range(builds):
        wide = np.where(rng.uniform(size=(8, 5)) < bad_share, 8 * 0.02, 0.02)
        y = rng.uniform(3, 4, (8, 1)) + rng.normal(0, 0.03, 5) + wide * rng.standard_normal((8, 5))
        y[0] += 0.10 * np.arange(5)
        for n in range(3, 6):
            found = assess_creep(np.arange(n) * YEAR, y[:, :n], np.full((8, n), 0.02), 0.03)
            called[build, n - 1] = found.verdict[0] == "creeping"
    return np.maximum.accumulate(called, axis=1).mean(axis=0).tolist()


def test_bad_readings_delay_it_as_they_do_one_build_after_another() -> None:
    clean = seasons_until_noticed(0.10, 0.02, 0.03, 8, seasons=5)
    found = seasons_until_noticed(0.10, 0.02, 0.03, 8, bad_share=0.05, seasons=5)

    # Standard error of the difference of shares of 1500 and 400 builds at most 2.8 points.
    assert found == pytest.approx(noticed_with_bad_readings(400, 0.05), abs=0.06)
    assert found[3] < clean[3]


def test_the_same_question_has_the_same_answer_and_the_chance_never_falls() -> None:
    once = seasons_until_noticed(0.04, 0.02, 0.03, 5, seasons=8, builds=50)
    again = seasons_until_noticed(0.04, 0.02, 0.03, 5, seasons=8, builds=50)

    np.testing.assert_array_equal(once, again)
    assert (np.diff(once) >= 0).all()
    assert once[:2].tolist() == [0.0, 0.0]


def test_a_faster_creep_and_a_better_meter_are_noticed_sooner() -> None:
    plain = seasons_until_noticed(0.03, 0.02, 0.03, 6, seasons=8)
    faster = seasons_until_noticed(0.10, 0.02, 0.03, 6, seasons=8)
    better = seasons_until_noticed(0.03, 0.008, 0.03, 6, seasons=8)

    assert faster[3] > plain[3] + 0.2
    assert better[3] > plain[3] + 0.2


def test_readings_twice_a_year_are_worth_more_than_yearly_ones_in_the_same_years() -> None:
    yearly = seasons_until_noticed(0.02, 0.02, 0.03, 6, seasons=6)
    twice = seasons_until_noticed(0.02, 0.02, 0.03, 6, years_between=0.5, seasons=11)

    assert twice[10] > yearly[5]


def test_a_span_without_fellows_is_answered_too() -> None:
    alone = seasons_until_noticed(0.15, 0.02, 0.03, 1, seasons=10, builds=100)

    assert 0.5 < alone[9] <= 1.0
