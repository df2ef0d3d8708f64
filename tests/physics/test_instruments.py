"""An accuracy line is split into what a round shares and what each reading has alone."""

from math import inf, sqrt

import pytest

from lugbook.physics.instruments import Accuracy, MeterRange, digits_share, gain_sd, meter, own_sd

METER = Accuracy(percent_of_reading=0.5, counts=2, resolution=0.01)  # of mV


def test_the_percentage_is_shared() -> None:
    # 0.5 % as bounds: 0.005 / sqrt 3 = 0.002887.
    assert gain_sd(METER) == pytest.approx(0.002887, abs=5e-7)


def test_the_counts_and_the_last_digit_are_each_readings_own() -> None:
    # Counts: 0.02 mV / sqrt 3 = 0.011547. Half a digit: 0.005 / sqrt 3 = 0.002887. Together 0.011902.
    assert own_sd(METER) == pytest.approx(0.011902, abs=5e-7)


def test_a_display_without_counts_still_rounds() -> None:
    # GUM F.2.2.1: a display of step d has u = 0.29 d.
    assert own_sd(Accuracy(0.5, 0, 1.0)) == pytest.approx(0.29, abs=0.002)


def test_the_parts_together_stay_within_what_the_data_sheet_allows() -> None:
    reading_millivolt = 4.0

    together = sqrt((gain_sd(METER) * reading_millivolt) ** 2 + own_sd(METER) ** 2)

    # 0.5 % of 4 mV and two counts of 0.01 mV: 0.04 mV at most.
    assert together < 0.04


def test_last_digits_and_zero_are_a_larger_share_of_a_smaller_reading() -> None:
    clamp = meter([MeterRange(Accuracy(2.0, 3, 0.1), inf)], zero_offset=0.2)

    # 0.3 A of counts and 0.2 A of zero, either way the current runs.
    assert digits_share(clamp, 5.0) == pytest.approx(0.10)
    assert digits_share(clamp, -100.0) == pytest.approx(0.005)
