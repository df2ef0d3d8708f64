"""What a reading is worth: hand arithmetic for every part of its uncertainty."""

from dataclasses import replace
from math import sqrt

import numpy as np
import pytest
from invented_build import read_spans

from lugbook.assessment.weighing import THERMAL, THERMAL_EMF, weigh_readings

ONE = np.array([[50.0]])


def test_a_warm_reading_is_taken_to_twenty_degrees() -> None:
    worth = weigh_readings(read_spans(ONE, celsius=40.0))

    assert worth.microohm[0] == pytest.approx(50 * 1.0786)
    assert worth.microohm_20c[0] == pytest.approx(50.0)


def test_own_noise_is_the_root_of_the_squares_of_its_parts() -> None:
    worth = weigh_readings(read_spans(ONE))

    # 5 mV at 100 A, zero read: 0.02 mV twice = 0.02 sqrt 2 / 5; 0.1 A of 100 A; a kelvin of thermometer
    # 0.393 %.
    assert worth.own_sd[0] == pytest.approx(sqrt((0.02 * sqrt(2) / 5) ** 2 + 0.001**2 + 0.00393**2), rel=1e-3)
    assert worth.gain_sd[0] == pytest.approx(sqrt(0.0029**2 + 0.0087**2))
    assert worth.u_microohm[0] == pytest.approx(50 * sqrt(worth.own_sd[0] ** 2 + worth.gain_sd[0] ** 2))


def test_away_from_twenty_degrees_the_doubt_about_the_coefficient_is_added() -> None:
    worth = weigh_readings(read_spans(ONE, celsius=40.0))

    # One-sided 0 .. 0.0786, rectangular: 0.0786 / sqrt 12 = 2.27 %; a kelvin at 40 degC: 0.00393 / 1.0786.
    assert worth.sd_of(THERMAL)[0] == pytest.approx(
        sqrt((0.0786 / sqrt(12)) ** 2 + (0.00393 / 1.0786) ** 2), rel=1e-3
    )


def test_a_reading_without_temperature_is_taken_at_twenty_give_or_take_eight_kelvin() -> None:
    readings = replace(read_spans(ONE), joint_celsius=np.array([np.nan]))

    worth = weigh_readings(readings)

    assert worth.microohm_20c[0] == pytest.approx(50.0)
    assert worth.sd_of(THERMAL)[0] == pytest.approx(8 * 0.00393, rel=1e-3)
    assert not worth.temperature_read[0]


def test_neither_zero_nor_reversed_reading_costs_five_microvolt_of_thermal_voltage() -> None:
    readings = replace(read_spans(ONE), zero_millivolt=np.array([np.nan]))

    worth = weigh_readings(readings)

    # 5 uV / sqrt 3 = 2.89 uV on 5 mV, beside 0.02 mV once.
    reading_sd = sqrt(worth.own_sd[0] ** 2 - worth.sd_of(THERMAL)[0] ** 2 - 0.001**2)
    assert reading_sd == pytest.approx(sqrt(0.02**2 + (0.005 / sqrt(3)) ** 2) / 5, rel=1e-3)
    assert not worth.emf_cancelled[0]


@pytest.mark.parametrize(
    "typed", [pytest.param(-4.9, id="as the meter showed it"), pytest.param(4.9, id="without sign")]
)
def test_a_reversed_reading_counts_by_its_size_however_it_was_typed(typed: float) -> None:
    two = read_spans(np.array([[50.0], [50.0]]))
    readings = replace(
        two,
        span=np.array([0, 0]),
        polarity=np.array([1, -1]),
        drop_millivolt=np.array([5.1, typed]),
        zero_millivolt=np.full(2, np.nan),
    )

    worth = weigh_readings(readings)

    assert worth.microohm_20c.mean() == pytest.approx(50.0)  # (5.1 + 4.9) mV / (2 x 100 A)
    assert worth.emf_cancelled.all()
    # Each by itself still has 5 uV of it: 2.89 uV of 5.1 and of 4.9 mV.
    assert worth.parts[THERMAL_EMF] == pytest.approx(0.005 / sqrt(3) / np.array([5.1, 4.9]))


@pytest.mark.parametrize("why", ["another round", "another clamp", "nothing read"])
def test_a_reversed_reading_of_another_outing_or_clamp_or_of_nothing_cancels_nothing(why: str) -> None:
    pair = replace(
        read_spans(np.array([[50.0], [50.0]])),
        span=np.array([0, 0]),
        polarity=np.array([1, -1]),
        zero_millivolt=np.full(2, np.nan),
    )
    readings = {
        "another round": replace(pair, round=np.array([0, 1])),
        "another clamp": replace(pair, instrument_set=np.array([3, 4])),
        "nothing read": replace(pair, drop_millivolt=np.array([5.0, 0.0])),
    }[why]

    assert not weigh_readings(readings).emf_cancelled.any()


@pytest.mark.parametrize(
    "typed", [pytest.param(-4.9, id="as the meter showed it"), pytest.param(4.9, id="without sign")]
)
@pytest.mark.parametrize(("zero", "microohm"), [(0.1, 50.0), (-0.1, 48.0)])
def test_the_zero_of_a_reversed_reading_has_the_sign_that_the_meter_showed(
    typed: float, zero: float, microohm: float
) -> None:
    # The meter showed -4.9 mV: less 0.1 mV that is -5.0, 50 microohm at 100 A; less -0.1 mV it is -4.8, 48.
    readings = replace(
        read_spans(ONE),
        polarity=np.array([-1]),
        drop_millivolt=np.array([typed]),
        zero_millivolt=np.array([zero]),
    )

    assert weigh_readings(readings).microohm_20c[0] == pytest.approx(microohm)


@pytest.mark.parametrize("drop", [0.0, -0.3])
def test_a_drop_of_nothing_or_the_wrong_sign_is_no_resistance(drop: float) -> None:
    worth = weigh_readings(replace(read_spans(ONE), drop_millivolt=np.array([drop])))

    assert not worth.usable[0]
