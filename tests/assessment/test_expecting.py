"""What the next reading of a span should come to."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from invented_build import FIRST_ROUND, YEAR, build_of, noisy, read_spans, watch

from lugbook.assessment.expecting import before_round, believed_reading, expect_readings

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


def share_asked_about(rounds: int, typed: Callable[[float], float], rate: tuple[float, float] = (0.0, 0.0)) -> float:
    """Of the last readings of three spans of 40 invented builds, how many the door asks about.

    They creep from the first round on by a rate [per year] drawn between two; `typed`: what became of the drop.
    """
    rng = np.random.default_rng(20262)
    asked = []
    for _ in range(40):
        truth = noisy(rng, 12, rounds)
        truth[:3] *= (1 + rng.uniform(*rate, (3, 1))) ** np.arange(rounds)
        whole = build_of(truth)
        for row in np.flatnonzero((whole.readings.round == rounds - 1) & (whole.readings.span < 3)):
            drop = whole.readings.drop_millivolt.copy()
            drop[row] = typed(drop[row])
            found = believed_reading(replace(whole, readings=replace(whole.readings, drop_millivolt=drop)), int(row))
            assert found is not None
            asked.append(not found[1].holds(found[0]))
    return float(np.mean(asked))


def swap_digits(millivolt: float) -> float:
    """The first two unlike neighbours of a number with two decimals changed over: 0.84 becomes 8.04, 4.95 9.45."""
    digits = list(f"{millivolt:.2f}".replace(".", ""))
    place = next((n for n in range(len(digits) - 1) if digits[n] != digits[n + 1]), 0)
    digits[place], digits[place + 1] = digits[place + 1], digits[place]
    return int("".join(digits)) / 100


def sound(millivolt: float) -> float:
    return millivolt


@pytest.mark.parametrize("rounds", [2, 3, 6])
def test_a_sound_reading_is_asked_about_one_time_in_a_hundred_at_most(rounds: int) -> None:
    assert share_asked_about(rounds, sound) <= 0.01


@pytest.mark.parametrize("rounds", [2, 3, 6])
def test_a_creep_of_up_to_thirty_percent_a_year_is_not_asked_about_each_year(rounds: int) -> None:
    assert share_asked_about(rounds, sound, (0.05, 0.30)) <= 0.03


@pytest.mark.parametrize("rounds", [2, 3, 6])
@pytest.mark.parametrize("factor", [0.1, 0.5, 2.0, 10.0], ids=lambda factor: f"times {factor:g}")
def test_a_slip_of_the_decimal_point_or_a_double_is_always_asked_about(rounds: int, factor: float) -> None:
    assert share_asked_about(rounds, lambda drop: factor * drop) >= 0.99


@pytest.mark.parametrize("rounds", [2, 3, 6])
def test_seven_of_ten_swaps_of_digits_are_asked_about(rounds: int) -> None:
    # The others swap neighbours like 5 and 6, which changes no more than a creep might.
    assert share_asked_about(rounds, swap_digits) >= 0.70


def test_a_digit_put_in_front_is_asked_about_on_a_steady_span() -> None:
    readings = read_spans(np.full((4, 3), 8.4))
    drop = readings.drop_millivolt.copy()
    last = int(np.flatnonzero(readings.round == 2)[0])
    assert drop[last] == pytest.approx(0.84)
    drop[last] = 1.84

    found = believed_reading(
        replace(build_of(np.full((4, 3), 8.4)), readings=replace(readings, drop_millivolt=drop)), last
    )

    assert found is not None
    assert found[0] == pytest.approx(18.4)
    # 0.02 mV of counts and as much of the zero are 3.4 % of it: three times 4.8 %, and 30 % of creep in a year.
    assert found[1].high_microohm < 14


def test_a_sound_reading_after_a_mistyped_one_is_not_asked_about() -> None:
    truth = np.array([[8.4, 8.5, 14.8, 8.5], [50.0] * 4, [60.0] * 4])
    whole = build_of(truth)
    last = int(np.flatnonzero((whole.readings.span == 0) & (whole.readings.round == 3))[0])

    found = believed_reading(whole, last)

    assert found is not None
    assert found[1].holds(found[0])


def test_a_first_reading_of_a_series_is_held_against_no_other() -> None:
    serviced = build_of(np.full((1, 2), 50.0), [watch("C1/crimp", series_count=2)])
    readings = replace(serviced.readings, series=np.array([0, 1]))

    assert believed_reading(replace(serviced, readings=readings), 1) is None
