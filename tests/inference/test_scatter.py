"""What the residuals of a whole table say: how well the noise was stated, and how many readings are bad."""

import numpy as np
import pytest
from invented_series import YEAR, invent_rounds, ramp

from lugbook.inference.rounds import estimate_rounds

GAIN = np.full(10, 0.03)


@pytest.mark.parametrize("share", [pytest.param(0.0, id="none"), 0.03, 0.1])
def test_the_share_of_bad_readings_is_found_and_does_not_swell_the_noise(share: float) -> None:
    made = invent_rounds(np.random.default_rng(51), spans=100, bad_share=share)

    found = estimate_rounds(made.day, made.log_resistance, made.own_sd, GAIN)

    # 1000 readings: the standard error of a share of 10 % is 1 %; bad ones of less than two sd are not to be told.
    assert found.bad_share == pytest.approx(share, abs=0.025)
    assert found.own_scale == pytest.approx(1.0, abs=0.06)


def test_creep_that_has_shown_in_one_reading_only_is_not_counted_as_bad() -> None:
    made = invent_rounds(np.random.default_rng(52))
    fresh = made.log_resistance + ramp(made.day, rate=0.3, onset_day=8 * YEAR) * (np.arange(40) < 8)[:, None]

    found = estimate_rounds(made.day, fresh, made.own_sd, GAIN)

    assert found.bad_share < 0.01


def test_few_readings_leave_noise_and_share_where_they_were_held() -> None:
    y = np.array([[4.0, 4.0, 4.3]])

    found = estimate_rounds(np.arange(3) * YEAR, y, np.full((1, 3), 0.02), np.full(3, 1e-6))

    # One degree of freedom against the ten that the statement is worth, though the third is 15 sd off.
    assert found.bad_share < 0.1
    assert 0.5 < found.own_scale < 4.0
