"""Ten simulated seasons by our dates: few spans go over their limit unseen, with little more than half the readings."""

import pytest
from seasons import fleet

from lugbook.assessment.standing import Policy

COMMON = {"spans": 40, "policy": Policy()}


def test_two_builds_take_fewer_readings_than_yearly_rounds() -> None:
    ours, yearly = (fleet(2, 20262, fixed_years=years, factor=1.0, **COMMON) for years in (None, 1.0))

    assert ours["readings_per_span"] <= 0.6 * yearly["readings_per_span"]


@pytest.mark.slow
def test_at_most_five_percent_go_over_between_tests() -> None:
    ours, yearly = (fleet(20, 20262, fixed_years=years, factor=1.0, **COMMON) for years in (None, 1.0))

    assert ours["crossed_percent"] <= 5 + 1
    assert ours["readings_per_span"] <= 0.6 * yearly["readings_per_span"]


@pytest.mark.slow
def test_of_spans_given_twenty_percent_about_that_many_go_over() -> None:
    """As often as creeps begin as was assumed. Three times as often, 29 % of those given 23 % do (seasons.py)."""
    found = fleet(40, 20262, fixed_years=None, factor=1.0, **COMMON)

    assert 0.75 * found["given_percent"] <= found["came_true_percent"] <= 1.25 * found["given_percent"]
