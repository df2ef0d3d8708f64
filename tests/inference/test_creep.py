"""What the numbers of a few rounds let us say, and what they do not."""

import numpy as np
import pytest
from invented_series import YEAR, invent_rounds, ramp

from lugbook.inference.creep import assess_creep


def test_a_creeping_span_among_steady_ones_is_found_with_its_rate_and_onset() -> None:
    made = invent_rounds(np.random.default_rng(21))
    y = made.log_resistance.copy()
    y[7] += ramp(made.day, rate=0.08, onset_day=3 * YEAR)

    found = assess_creep(made.day, y, made.own_sd, made.gain_sd)

    assert [span for span, verdict in enumerate(found.verdict) if verdict == "creeping"] == [7]
    assert found.rate_low[7] < 0.08 < found.rate_high[7]
    assert found.onset_day[7] == pytest.approx(3 * YEAR, abs=1.5 * YEAR)
    assert found.level_now[7] - found.level_start[7] == pytest.approx(0.08 * 6, abs=0.08)


def test_a_shift_of_a_whole_round_is_no_change_of_any_span() -> None:
    made = invent_rounds(np.random.default_rng(22))
    y = made.log_resistance.copy()
    y[:, -1] += 0.06  # two of its standard uncertainties, in the last round, where it hurts most

    found = assess_creep(made.day, y, made.own_sd, made.gain_sd)

    assert set(found.verdict) == {"steady"}
    assert found.last_alone_probability.max() < 0.5


def test_a_jump_in_mid_life_is_a_step_and_not_a_creep() -> None:
    made = invent_rounds(np.random.default_rng(23))
    y = made.log_resistance.copy()
    y[4, 5:] += 0.3
    y[9, 6:] -= 0.25  # re-made and not logged

    found = assess_creep(made.day, y, made.own_sd, made.gain_sd)

    assert (found.verdict[4], found.verdict[9]) == ("stepped", "stepped")
    assert (found.step_day[4], found.step_day[9]) == (5 * YEAR, 6 * YEAR)
    assert found.level_now[4] - np.median(y[4, :5]) == pytest.approx(0.3, abs=0.08)


def test_one_bad_reading_in_mid_life_changes_no_verdict() -> None:
    made = invent_rounds(np.random.default_rng(24))
    y = made.log_resistance.copy()
    y[4, 5] += 0.4

    found = assess_creep(made.day, y, made.own_sd, made.gain_sd)

    assert found.verdict[4] == "steady"
    assert found.bad_reading_probability[4, 5] > 0.95


def test_a_jump_of_the_last_reading_alone_is_not_claimed_but_pointed_at() -> None:
    made = invent_rounds(np.random.default_rng(25))
    y = made.log_resistance.copy()
    y[4, -1] += 0.4

    found = assess_creep(made.day, y, made.own_sd, made.gain_sd)

    assert found.verdict[4] == "steady"
    assert found.last_alone_probability[4] > 0.8


def test_two_readings_are_too_few_whatever_they_say() -> None:
    made = invent_rounds(np.random.default_rng(26), rounds=2)
    y = made.log_resistance.copy()
    y[0, 1] += 1.0

    found = assess_creep(made.day, y, made.own_sd, made.gain_sd)

    assert set(found.verdict) == {"too few readings"}


def test_one_span_alone_needs_a_creep_that_stands_out_of_the_gain() -> None:
    day, own = np.arange(6) * YEAR, np.full((1, 6), 0.01)
    slow, fast = ramp(day, rate=0.01, onset_day=0.0), ramp(day, rate=0.12, onset_day=0.0)

    # 1 % a year for five years, 5 % in all, is within what a 3 % gain of each round can do; 12 % a year is
    # not.
    assert assess_creep(day, slow[None, :] + 4.0, own, 0.03).creep_probability[0] < 0.5
    assert assess_creep(day, fast[None, :] + 4.0, own, 0.03).verdict == ("creeping",)


def test_spans_that_all_creep_together_look_like_the_meter_and_the_trend_of_the_rounds_says_so() -> None:
    made = invent_rounds(np.random.default_rng(27))
    y = made.log_resistance + ramp(made.day, rate=0.06, onset_day=0.0)

    found = assess_creep(made.day, y, made.own_sd, made.gain_sd)

    assert np.mean([verdict == "creeping" for verdict in found.verdict]) < 0.1
    assert found.round_trend_per_year == pytest.approx(0.06, abs=0.015)
    assert found.round_trend_sds > 3


def test_a_check_standard_tells_the_creep_of_all_spans_from_the_meter() -> None:
    made = invent_rounds(np.random.default_rng(27))
    y = made.log_resistance + ramp(made.day, rate=0.06, onset_day=0.0)
    y[0] -= ramp(made.day, rate=0.06, onset_day=0.0)  # the shunt stays where it was
    checks = np.arange(40) == 0

    found = assess_creep(made.day, y, made.own_sd, made.gain_sd, check_standard=checks)

    assert found.crept_together
    assert found.verdict[0] == "steady"
    assert np.mean([verdict == "creeping" for verdict in found.verdict[1:]]) > 0.9


def test_a_check_standard_that_stays_with_the_spans_changes_nothing() -> None:
    made = invent_rounds(np.random.default_rng(28))
    checks = np.arange(40) == 0

    with_check = assess_creep(made.day, made.log_resistance, made.own_sd, made.gain_sd, check_standard=checks)
    without = assess_creep(made.day, made.log_resistance, made.own_sd, made.gain_sd)

    assert not with_check.crept_together
    np.testing.assert_array_equal(with_check.score, without.score)


def test_rounds_in_which_only_some_were_read_are_taken_as_they_are() -> None:
    rng = np.random.default_rng(29)
    made = invent_rounds(rng, rounds=12)
    y = np.where(rng.random((40, 12)) < 0.4, np.nan, made.log_resistance)
    y[3] += ramp(made.day, rate=0.12, onset_day=2 * YEAR)

    found = assess_creep(made.day, y, made.own_sd, made.gain_sd)

    assert found.verdict[3] == "creeping"
    assert np.mean([verdict == "creeping" for verdict in found.verdict]) < 0.1
    np.testing.assert_array_equal(np.isnan(found.bad_reading_probability), np.isnan(y))


def test_a_row_without_any_reading_is_too_few_and_disturbs_no_other() -> None:
    made = invent_rounds(np.random.default_rng(30), spans=5)
    empty = np.vstack([made.log_resistance, np.full((1, 10), np.nan)])
    own = np.vstack([made.own_sd, np.full((1, 10), np.nan)])

    found = assess_creep(made.day, empty, own, made.gain_sd)

    assert found.verdict[5] == "too few readings"
    assert np.isnan(found.level_now[5])
    np.testing.assert_allclose(
        found.score[:5], assess_creep(made.day, made.log_resistance, made.own_sd, made.gain_sd).score
    )


def test_a_single_round_and_no_rows_at_all_are_answered_without_complaint() -> None:
    one = assess_creep(np.array([5.0]), np.array([[4.0], [4.1]]), np.full((2, 1), 0.02), 0.03)
    none = assess_creep(np.array([5.0]), np.zeros((0, 1)), np.zeros((0, 1)), 0.03)

    assert one.verdict == ("too few readings", "too few readings")
    assert none.verdict == ()
