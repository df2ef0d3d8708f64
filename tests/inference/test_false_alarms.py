"""The threshold of the verdict was set by such simulations: false alarms over ten yearly looks, and what is caught."""

from collections.abc import Callable

import numpy as np
import pytest
from invented_series import YEAR, invent_rounds, ramp

from looks_over_time import look_at_each_round
from lugbook.inference.creep import FALSE_ALARM_RATE
from lugbook.inference.looks import Looks


def looked_at(
    rng: np.random.Generator,
    builds: int,
    *,
    spans: int = 40,
    bad_share: float = 0.0,
    stated: Callable[[np.ndarray], np.ndarray] = np.copy,
    creep: Callable[[np.ndarray], np.ndarray] = np.zeros_like,
) -> Looks:
    """What is said at each of ten yearly looks; creep: what the first tenth of the spans gains by each day."""
    made = [invent_rounds(rng, spans=spans, bad_share=bad_share) for _ in range(builds)]
    y = np.stack([one.log_resistance for one in made])
    y[:, : spans // 10] += creep(made[0].day)
    return look_at_each_round(made[0].day, y, stated(np.stack([one.own_sd for one in made])), made[0].gain_sd)


@pytest.mark.parametrize(
    ("spans", "bad_share", "factor"),
    [
        pytest.param(40, 0.0, 1.0, id="forty spans, clean"),
        pytest.param(40, 0.03, 1.0, id="3 % bad readings"),
        pytest.param(40, 0.03, 0.7, id="noise stated 30 % too small"),
        pytest.param(40, 0.03, 1.3, id="noise stated 30 % too large"),
        pytest.param(6, 0.0, 1.0, id="six spans"),
    ],
)
def test_fewer_than_two_percent_of_steady_spans_are_ever_called_creeping(
    spans: int, bad_share: float, factor: float
) -> None:
    # 1200 spans; two standard errors of a share of 1.2 % are 0.6 %, so a true rate of 1.2 % passes.
    rng = np.random.default_rng(20260101)

    looks = looked_at(
        rng, 1200 // spans, spans=spans, bad_share=bad_share, stated=lambda own_sd: own_sd * factor
    )

    assert FALSE_ALARM_RATE == 0.02
    assert np.mean(looks.creeping.max(axis=1) > 0) < FALSE_ALARM_RATE


def test_noise_that_is_stated_alike_for_unlike_spans_raises_no_more_alarms() -> None:
    rng = np.random.default_rng(20260104)

    looks = looked_at(rng, 50, stated=lambda own_sd: np.full_like(own_sd, 0.02))

    assert np.mean(looks.creeping.max(axis=1) > 0) < FALSE_ALARM_RATE


def test_a_creep_of_eight_percent_a_year_is_called_before_it_has_added_a_quarter() -> None:
    rng = np.random.default_rng(20260102)
    rise = ramp(np.arange(10) * YEAR, rate=0.08, onset_day=2 * YEAR)

    looks = looked_at(rng, 30, bad_share=0.03, creep=lambda day: rise)

    called = looks.creeping[:, :, :4] > 0
    called &= (rise > 0)[None, :, None]
    assert called.any(axis=1).all()
    # A rise of 8 % a year against a noise of 2 % on the span and on its level cannot be seen in its first year;
    # in the second it stands six standard deviations off: about 16 to 20 % on average.
    assert np.mean(rise[np.argmax(called, axis=1)]) < 0.20


def test_of_the_spans_given_more_than_nine_tenths_nine_in_ten_creep() -> None:
    rng = np.random.default_rng(20260105)
    rise = ramp(np.arange(10) * YEAR, rate=0.05, onset_day=2 * YEAR)

    looks = looked_at(rng, 30, bad_share=0.03, creep=lambda day: rise)

    sure = looks.creep_probability > 0.9
    creeps = (rise > 0)[None, :, None] & (np.arange(40) < 4)
    assert sure.sum() > 100
    assert (sure & creeps).sum() / sure.sum() > 0.9


@pytest.mark.parametrize("rate", [0.04, 0.08, 0.16])
def test_the_ninety_percent_interval_of_the_rate_holds_the_true_rate_about_that_often(rate: float) -> None:
    # 400 spans: the standard error of a share of 90 % is 1.5 %.
    rng = np.random.default_rng(20260103)
    onset_day = rng.uniform(0, 6) * YEAR

    looks = looked_at(rng, 100, creep=lambda day: ramp(day, rate=rate, onset_day=onset_day))

    held = (looks.rate_low[:, 9, :4] < rate) & (rate < looks.rate_high[:, 9, :4])
    assert 0.86 < np.mean(held) < 0.95
