"""A budget adds up, and its interval has the shape of what went into it."""

from dataclasses import replace
from math import inf, sqrt

import numpy as np
import pytest
from invented_build import read_spans

from lugbook.assessment.budget import Budget, budget_of
from lugbook.assessment.evidence import ReadingColumns
from lugbook.assessment.weighing import COEFFICIENT, REPEATS, THERMAL_EMF, VOLTAGE_COUNTS, weigh_readings

ONE = read_spans(np.array([[50.0]]))
NONE = np.zeros(1)
COUNTS_ALONE = replace(
    ONE,
    voltage_gain_sd=NONE,
    current_gain_sd=NONE,
    current_own_ampere=NONE,
    thermometer_sd_kelvin=NONE,
)
"""5 mV with 0.02 mV of counts, its zero read too."""


def of(readings: ReadingColumns, row: int = 0) -> Budget:
    return budget_of(readings, weigh_readings(readings), row)


def test_the_shares_add_up_and_the_two_parts_make_the_whole() -> None:
    budget = of(replace(ONE, joint_celsius=np.array([35.0])))

    assert sum(one.variance_share for one in budget.components) == pytest.approx(1)
    assert budget.u_microohm == pytest.approx(sqrt(budget.own_u_microohm**2 + budget.shared_u_microohm**2))
    assert [one.variance_share for one in budget.components] == sorted(
        (one.variance_share for one in budget.components), reverse=True
    )


def test_one_rectangle_is_covered_by_nineteen_twentieths_of_its_width() -> None:
    emf_alone = replace(COUNTS_ALONE, zero_millivolt=np.array([np.nan]), voltage_own_millivolt=NONE)

    # Half width 5 uV, sd 5/sqrt 3: 0.95 x sqrt 3 = 1.645 of them.
    budget = of(emf_alone)
    assert budget.coverage_factor == pytest.approx(0.95 * sqrt(3), abs=0.003)
    assert budget.high_microohm - budget.microohm_20c == pytest.approx(0.95 * 0.005 / 100 * 1000, rel=0.002)


def test_two_equal_rectangles_make_a_triangle() -> None:
    # Half width a = sqrt 6 sd; 5 % outside leaves a (1 - sqrt 0.05) = 1.902 sd.
    assert of(COUNTS_ALONE).coverage_factor == pytest.approx(sqrt(6) * (1 - sqrt(0.05)), abs=0.003)


def test_a_normal_part_alone_has_the_factor_of_every_table() -> None:
    unread = replace(COUNTS_ALONE, voltage_own_millivolt=NONE, joint_celsius=np.array([np.nan]))

    assert of(unread).coverage_factor == pytest.approx(1.960, abs=0.003)


@pytest.mark.parametrize(("celsius", "side"), [(40.0, 1), (0.0, -1)], ids=["warm", "cold"])
def test_a_film_would_put_the_value_on_one_side_only(celsius: float, side: int) -> None:
    readings = replace(COUNTS_ALONE, voltage_own_millivolt=NONE, joint_celsius=np.array([celsius]))

    budget = of(readings)

    # 20 degC away a film without any coefficient reads 7.86 % on that side; 2.5 % of that is left out at each end.
    far = budget.high_microohm if side > 0 else budget.low_microohm
    near = budget.low_microohm if side > 0 else budget.high_microohm
    assert [one.part for one in budget.components] == [COEFFICIENT]
    assert (far / budget.microohm_20c - 1) * side == pytest.approx(0.975 * 0.0786, rel=0.01)
    assert (near / budget.microohm_20c - 1) * side == pytest.approx(0.025 * 0.0786, rel=0.05)


def repeated(*drops_millivolt: float) -> ReadingColumns:
    """So many readings of one span on the spot, with a finer meter than their scatter."""
    count = len(drops_millivolt)
    many = read_spans(np.full((count, 1), 50.0))
    return replace(
        many,
        span=np.zeros(count, np.int64),
        drop_millivolt=np.array(drops_millivolt),
        voltage_own_millivolt=np.full(count, 1e-4),
        current_own_ampere=np.full(count, 1e-3),
    )


def test_repeats_that_scatter_more_than_the_meter_explains_add_a_part_of_type_a() -> None:
    budget = of(repeated(4.9, 5.0, 5.1))

    # s = 0.1 mV of 5 mV = 2 %, by n - 1 = 2 degrees of freedom; the meters explain almost nothing of it.
    (scatter,) = [one for one in budget.components if one.part == REPEATS]
    assert scatter.kind == "A"
    assert scatter.relative_sd == pytest.approx(0.02, rel=0.001)
    assert scatter.degrees_of_freedom == 2
    # Alone it would have Student's 4.30; with the clamp's share beside it something between that and 1.96.
    assert 2 <= budget.degrees_of_freedom < inf
    assert 2.0 < budget.coverage_factor < 4.31


def test_two_repeats_are_too_few_to_say_how_they_scatter() -> None:
    assert REPEATS not in [one.part for one in of(repeated(4.9, 5.1)).components]


def test_what_a_zero_reading_costs_is_in_the_counts() -> None:
    (zeroed,) = of(COUNTS_ALONE).components
    counts = {one.part: one for one in of(replace(COUNTS_ALONE, zero_millivolt=np.array([np.nan]))).components}

    assert zeroed.part == VOLTAGE_COUNTS
    assert zeroed.relative_sd == pytest.approx(sqrt(2) * counts[VOLTAGE_COUNTS].relative_sd)


def both_ways(**changed: object) -> ReadingColumns:
    """5.1 mV one way and 4.9 mV the other at 100 A, no zero read, a meter with 0.02 mV of counts alone."""
    two = read_spans(np.full((2, 1), 50.0))
    nothing = np.zeros(2)
    plain = replace(
        two,
        span=np.zeros(2, np.int64),
        drop_millivolt=np.array([5.1, -4.9]),
        polarity=np.array([1, -1]),
        zero_millivolt=np.full(2, np.nan),
        voltage_gain_sd=nothing,
        current_gain_sd=nothing,
        current_own_ampere=nothing,
        thermometer_sd_kelvin=nothing,
    )
    return replace(plain, **changed)  # type: ignore[arg-type]


@pytest.mark.parametrize("row", [0, 1], ids=["the forward one", "the reversed one"])
def test_both_ways_have_one_budget_of_their_mean_whichever_is_asked_for(row: int) -> None:
    budget = of(both_ways(), row)

    # (5.1 + 4.9) mV / 200 A; counts of 0.02 mV, twice and halved: 0.02 / sqrt 2 of 5 mV, a triangle.
    assert budget.rows == (0, 1)
    assert budget.microohm_20c == pytest.approx(50.0)
    assert [one.part for one in budget.components] == [VOLTAGE_COUNTS]
    assert budget.u_microohm == pytest.approx(0.02 / sqrt(2) / 5 * 50, rel=1e-3)
    assert budget.coverage_factor == pytest.approx(sqrt(6) * (1 - sqrt(0.05)), abs=0.01)


def test_a_zero_of_one_way_only_leaves_half_the_thermal_voltage_of_the_other() -> None:
    budget = of(both_ways(zero_millivolt=np.array([0.1, np.nan])))

    # (5.0 + 4.9) / 200: the reversed 4.9 still has its +/- 5 uV, 2.89 uV s.d., of which the mean takes half.
    (thermal,) = [one for one in budget.components if one.part == THERMAL_EMF]
    assert budget.microohm_20c == pytest.approx(49.5)
    assert thermal.u_microohm == pytest.approx(0.005 / sqrt(3) / 2 / 100 * 1000, rel=1e-3)


def test_what_both_ways_share_is_not_lessened() -> None:
    budget = of(both_ways(voltage_own_millivolt=np.zeros(2), current_gain_sd=np.full(2, 0.01)))

    assert budget.shared_u_microohm == pytest.approx(0.5)
