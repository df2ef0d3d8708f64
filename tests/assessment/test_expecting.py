"""What the next reading of a span should come to."""

import numpy as np
import pytest
from invented_build import FIRST_ROUND, YEAR, build_of, noisy, watch

from lugbook.assessment.expecting import before_round, expect_readings

ROUNDS = 6


def test_99_of_100_sound_readings_lie_where_they_are_expected() -> None:
    """The next round of 200 invented builds of ten spans: 1 % own noise, 1 % shared, as the readings state."""
    rng = np.random.default_rng(20310418)
    inside = total = 0

    for _ in range(200):
        truth = noisy(rng, 10, ROUNDS + 1)
        whole = build_of(truth)
        expected = expect_readings(FIRST_ROUND + ROUNDS * YEAR, before_round(whole, str(2024 + ROUNDS)))
        inside += sum(one.holds(truth[span, -1]) for span, one in enumerate(expected) if one is not None)
        total += len(expected)

    # Three standard uncertainties of a normal hold 0.9973; what is lost is that they are estimated from six readings.
    assert 0.985 < inside / total <= 1.0


def test_a_span_that_surely_creeps_is_expected_further_up() -> None:
    truth = np.full((12, ROUNDS), 50.0) * np.exp(np.random.default_rng(7).normal(0, 0.003, (12, ROUNDS)))
    truth[3] *= 1.1 ** np.arange(ROUNDS)

    expected = expect_readings(FIRST_ROUND + ROUNDS * YEAR, build_of(truth))

    creeping, steady = expected[3], expected[4]
    assert creeping is not None
    assert steady is not None
    assert creeping.holds(50 * 1.1**ROUNDS)
    assert not creeping.holds(50 * 1.1 ** (ROUNDS - 1))
    assert steady.holds(50.0)
    assert not steady.holds(55.0)


def test_a_span_read_once_is_expected_about_there_and_one_never_read_not_at_all() -> None:
    truth = np.array([[50.0], [np.nan]])

    once, never = expect_readings(FIRST_ROUND + YEAR, build_of(truth))

    assert never is None
    assert once is not None
    assert once.holds(50.0)
    # 0.4 % of noise twice, 0.29 % and 0.87 % shared: 1.1 %, three times.
    assert once.high_microohm / 50 == pytest.approx(1.035, abs=0.01)


def test_a_serviced_span_that_was_not_read_since_is_expected_nowhere() -> None:
    evidence = build_of(
        np.full((1, 3), 50.0), [watch("C1/crimp", series_started_day=FIRST_ROUND + 900, series_count=2)]
    )

    assert expect_readings(FIRST_ROUND + 4 * YEAR, evidence) == (None,)


def test_a_round_is_left_out_whole_and_an_unknown_one_changes_nothing() -> None:
    evidence = build_of(np.full((2, 3), 50.0))

    assert set(before_round(evidence, "2025").readings.round.tolist()) == {0, 2}
    assert before_round(evidence, "never") is evidence


def test_a_build_without_readings_expects_nothing() -> None:
    assert expect_readings(FIRST_ROUND, build_of(np.full((2, 1), np.nan))) == (None, None)
