"""Ten simulated seasons by our dates: few spans go over their limit unseen, with little more than half the readings."""

import pytest
from seasons import fleet, forecasts

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
def test_of_spans_given_twenty_percent_fifteen_to_twenty_five_go_over() -> None:
    found = forecasts(600, 20262, factor=1.0, **COMMON)

    assert found["forecasts"] > 400
    assert 15 <= found["came_true_percent"] <= 25
