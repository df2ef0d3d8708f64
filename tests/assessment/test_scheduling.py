"""The day of the next test: both sides of every seam."""

import numpy as np
import pytest

from lugbook.assessment.scheduling import (
    CHECK_STANDARD,
    CODES,
    FEW,
    INTERVALS,
    LONGEST,
    LOOK_AGAIN,
    NEAR_LIMIT,
    NOW,
    RATE,
    UNREAD,
    Interval,
    interval_of,
    plan_days,
    word_next_test,
)

TODAY, LAST = 21000.0, 20900.0


def planned(code: int, *, days_under_limit: float = 0.0, last_day: float = LAST) -> float:
    plan = plan_days(
        TODAY,
        np.array([last_day]),
        np.array([code]),
        np.array([days_under_limit]),
        np.array([360.0]),
        np.array([30.0]),
    )
    return float(plan.day[0])


@pytest.mark.parametrize(
    ("code", "wait"),
    [
        pytest.param(LONGEST, 360, id="steady: the longest"),
        pytest.param(FEW, 180, id="too few: half the longest"),
        pytest.param(NEAR_LIMIT, 30, id="near its limit: the shortest"),
    ],
)
def test_the_wait_runs_from_the_last_reading(code: int, wait: float) -> None:
    assert planned(code) == LAST + wait


@pytest.mark.parametrize(
    ("days_under_limit", "wait"),
    [(29.0, 30), (30.0, 30), (31.0, 31), (179.0, 179), (181.0, 180), (-50.0, 30)],
)
def test_a_creeping_span_waits_as_long_as_its_rate_allows_up_to_half_the_longest(
    days_under_limit: float, wait: float
) -> None:
    assert planned(RATE, days_under_limit=days_under_limit) == LAST + wait


@pytest.mark.parametrize("code", [NOW, LOOK_AGAIN, UNREAD])
def test_what_cannot_wait_is_due_today(code: int) -> None:
    assert planned(code) == TODAY


def test_a_span_never_read_is_due_today_and_a_check_standard_has_no_day() -> None:
    assert planned(LONGEST, last_day=np.nan) == TODAY
    assert np.isnan(planned(CHECK_STANDARD))


def test_every_place_has_bounds_and_an_unknown_place_those_of_the_bilge() -> None:
    assert set(INTERVALS) == {"dry", "engine", "bilge", "exposed"}
    assert all(bounds.shortest_day < bounds.longest_day for bounds in INTERVALS.values())
    assert interval_of("crow's nest") == INTERVALS["bilge"]


@pytest.mark.parametrize("code", CODES)
def test_every_reason_for_a_day_has_its_sentence(code: str) -> None:
    assert word_next_test(code, "engine", Interval(365, 30)).endswith(".")


def test_the_sentence_names_place_interval_and_that_it_has_no_source() -> None:
    sentence = word_next_test("longest", "engine", Interval(365, 30))

    assert sentence == "Longest interval: 12 months for an engine place (common practice, no source)."
