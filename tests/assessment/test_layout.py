"""Readings become one table without a reading lost, counted twice or put in the wrong place."""

from dataclasses import replace

import numpy as np
import pytest
from invented_build import YEAR, build_of, read_spans, watch

from lugbook.assessment.evidence import BuildEvidence
from lugbook.assessment.layout import Layout, lay_out
from lugbook.assessment.weighing import THERMAL, weigh_readings


def laid_out(evidence: BuildEvidence) -> Layout:
    return lay_out(evidence, weigh_readings(evidence.readings))


def test_each_span_and_round_gets_its_cell_and_holes_stay_holes() -> None:
    table = laid_out(build_of(np.array([[50.0, np.nan, 52.0], [80.0, 81.0, np.nan]])))

    np.testing.assert_allclose(table.microohm_20c, [[50, np.nan, 52], [80, 81, np.nan]])
    assert np.diff(table.day) == pytest.approx(YEAR)


def test_a_service_starts_a_row_of_its_own_within_the_same_round() -> None:
    evidence = build_of(np.array([[50.0, 70.0, 45.0]]), [watch("C01A/crimp", series_count=2)])
    readings = replace(evidence.readings, round=np.array([0, 1, 1]), series=np.array([0, 0, 1]))

    table = laid_out(replace(evidence, readings=readings))

    np.testing.assert_allclose(table.microohm_20c, [[50, 70], [np.nan, 45]])
    assert table.first_row.tolist() == [0, 2]


def test_repeats_are_averaged_and_their_own_noise_shrinks_but_not_what_the_temperature_adds() -> None:
    evidence = build_of(np.array([[50.0, 51.0]]))
    once = laid_out(build_of(np.array([[50.5]])))
    worth = weigh_readings(evidence.readings)

    table = laid_out(replace(evidence, readings=replace(evidence.readings, round=np.zeros(2, np.int64))))

    assert table.microohm_20c[0, 0] == pytest.approx(50.5)
    thermal = worth.sd_of(THERMAL)[0] ** 2
    once_own, twice_own = once.own_sd[0, 0] ** 2 - thermal, table.own_sd[0, 0] ** 2 - thermal
    assert twice_own == pytest.approx(once_own / 2, rel=0.02)


def test_two_forward_readings_and_one_reversed_weigh_half_for_each_direction() -> None:
    evidence = build_of(np.array([[50.0, 52.0, 49.0]]))
    readings = replace(evidence.readings, round=np.zeros(3, np.int64), polarity=np.array([1, 1, -1]))

    table = laid_out(replace(evidence, readings=readings))

    assert table.microohm_20c[0, 0] == pytest.approx((51.0 + 49.0) / 2)


def test_thermal_voltage_is_not_lessened_by_repeats_but_taken_away_by_the_other_way() -> None:
    evidence = build_of(np.array([[50.0, 50.0]]))
    nothing = np.zeros(2)
    alone = replace(
        evidence.readings,
        round=np.zeros(2, np.int64),
        zero_millivolt=np.full(2, np.nan),
        voltage_own_millivolt=nothing,
        current_own_ampere=nothing,
        thermometer_sd_kelvin=nothing,
    )

    repeated = laid_out(replace(evidence, readings=alone))
    turned = laid_out(replace(evidence, readings=replace(alone, polarity=np.array([1, -1]))))

    # 5 uV / sqrt 3 of 5 mV, whether read once or twice.
    assert repeated.own_sd[0, 0] == pytest.approx(0.005 / 3**0.5 / 5)
    assert turned.own_sd[0, 0] == pytest.approx(0, abs=1e-12)


@pytest.mark.parametrize("named", [True, False], ids=["by its number", "by its accuracy"])
def test_a_round_read_with_two_clamps_is_two_columns(named: bool) -> None:
    evidence = build_of(np.array([[50.0, 51.0], [60.0, 62.0]]))
    readings = replace(evidence.readings, round=np.zeros(4, np.int64))
    if named:
        readings = replace(readings, instrument_set=np.array([7, 9, 7, 9]))
    else:
        readings = replace(readings, current_gain_sd=np.array([0.01, 0.02, 0.01, 0.02]))

    table = laid_out(replace(evidence, readings=readings))

    np.testing.assert_allclose(table.microohm_20c, [[50, 51], [60, 62]])
    assert table.column_round.tolist() == [0, 0]


def test_columns_are_in_order_of_time_whatever_the_numbers_of_the_rounds() -> None:
    evidence = build_of(np.array([[50.0, 51.0, 52.0]]))
    readings = replace(evidence.readings, round=np.array([2, 0, 1]))

    table = laid_out(replace(evidence, readings=readings))

    assert table.column_round.tolist() == [2, 0, 1]
    np.testing.assert_allclose(table.microohm_20c, [[50, 51, 52]])


def test_readings_at_zero_are_left_out_and_counted() -> None:
    readings = read_spans(np.array([[50.0, 51.0]]))
    evidence = build_of(np.array([[50.0, 51.0]]))

    table = laid_out(replace(evidence, readings=replace(readings, drop_millivolt=np.array([0.0, 5.1]))))

    np.testing.assert_allclose(table.microohm_20c, [[np.nan, 51]])
    assert (table.unusable.tolist(), table.counted.tolist()) == ([1], [1])
