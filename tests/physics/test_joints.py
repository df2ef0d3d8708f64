"""A drop and a current give a resistance; a temperature takes it to 20 degC."""

import numpy as np
import pytest

from lugbook.physics.joints import (
    coefficient_doubt,
    drop_of_joint,
    joint_microohm,
    microohm_at_20_celsius,
)


def test_a_millivolt_at_an_ampere_is_a_milliohm() -> None:
    assert joint_microohm(1.0, 1.0) == 1000.0


def test_the_reading_at_zero_current_is_taken_off() -> None:
    # (0.86 - 0.02) mV / 100 A = 8.4 microohm.
    assert joint_microohm(0.86, 100.0, 0.02) == pytest.approx(8.4)


def test_a_warm_joint_reads_high_and_a_cold_one_low() -> None:
    assert microohm_at_20_celsius(8.4, 40.0) < 8.4 < microohm_at_20_celsius(8.4, 0.0)


def test_nothing_changes_at_20_degrees() -> None:
    assert microohm_at_20_celsius(8.4, 20.0) == 8.4
    assert coefficient_doubt(20.0) == 0.0


@pytest.mark.parametrize("celsius", [0.0, 40.0], ids=["20 below", "20 above"])
def test_not_knowing_the_coefficient_is_a_doubt_on_either_side_of_20_degrees(celsius: float) -> None:
    # 0.00393 x 20 = 7.86 %; over sqrt 12 = 3.4641 that is 2.27 %.
    assert coefficient_doubt(celsius) == pytest.approx(0.0227, abs=0.00005)


def test_columns_of_readings_go_through_the_same_formulas() -> None:
    drop, current, celsius = np.array([0.84, 0.89]), np.array([100.0, 50.0]), np.array([20.0, 30.0])

    microohm = microohm_at_20_celsius(joint_microohm(drop, current), celsius)

    # 0.89 mV / 50 A = 17.8 microohm; / (1 + 0.00393 x 10) = 17.127.
    assert microohm == pytest.approx([8.4, 17.127], abs=0.0005)
    assert coefficient_doubt(celsius) == pytest.approx([0.0, 0.01134], abs=0.00001)
    assert microohm_at_20_celsius(microohm, 20.0) == pytest.approx(microohm)


def test_the_drop_of_a_known_joint_is_that_of_the_published_example_turned_round() -> None:
    assert drop_of_joint(174.0, 43.0, 20.0) == pytest.approx(7.5, abs=0.02)
    # IEC 60228 prints 0.820 for 75 degC: a joint of 82.0 microohm at 20 degC shows 100 there.
    assert drop_of_joint(82.0, 1000.0, 75.0) == pytest.approx(100.0, rel=0.004)
