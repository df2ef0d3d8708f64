"""Spans due close together are one visit."""

from datetime import date, timedelta
from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from lugbook.assessment.visiting import TOGETHER_DAYS, visit_days

TODAY = date(2027, 4, 10)
days_due = st.lists(st.dates(date(2026, 1, 1), date(2031, 1, 1)), max_size=30)


def after(*days: int) -> list[date]:
    """Days counted from today."""
    return [TODAY + timedelta(days=one) for one in days]


def test_what_falls_due_within_45_days_of_the_first_is_read_with_it() -> None:
    assert visit_days(after(10, 30, 55, 56), TODAY) == after(10, 10, 10, 56)


def test_what_is_overdue_is_read_today_and_takes_the_next_weeks_with_it() -> None:
    assert visit_days(after(-300, -1, 0, 45, 46), TODAY) == after(0, 0, 0, 0, 46)


def test_a_leap_day_is_a_day() -> None:
    assert visit_days([date(2028, 2, 29)], TODAY) == [date(2028, 2, 29)]


def test_nothing_due_is_no_visit() -> None:
    assert visit_days([], TODAY) == []


@given(days_due)
def test_nothing_is_read_late_and_nothing_much_too_early(due: list[date]) -> None:
    for one, visit in zip(due, visit_days(due, TODAY), strict=True):
        assert visit <= max(one, TODAY)
        assert (max(one, TODAY) - visit).days <= TOGETHER_DAYS
        assert visit >= TODAY


@given(days_due)
def test_two_visits_are_further_apart_than_what_is_read_together(due: list[date]) -> None:
    visits = sorted(set(visit_days(due, TODAY)))

    assert all((b - a).days > TOGETHER_DAYS for a, b in pairwise(visits))
