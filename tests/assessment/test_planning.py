"""Which current shows a change, by hand arithmetic and by simulation."""

from dataclasses import replace
from math import inf, sqrt

import numpy as np
import pytest

from lugbook.assessment.planning import (
    BOTH_WAYS,
    ONE_WAY,
    WITH_ZERO,
    Setup,
    Way,
    foremost_part,
    needed_ampere,
    needed_resolution_millivolt,
    parts_of,
    usable_ampere,
    visible_change,
)
from lugbook.physics.instruments import Accuracy, Meter, MeterRange, meter

COARSE = Meter((MeterRange(Accuracy(0.5, 2, 0.1), inf),))  # mV, a common handheld
FINE = Meter((MeterRange(Accuracy(0.15, 10, 0.001), inf),))
CLAMP = Meter((MeterRange(Accuracy(2, 3, 0.1), 400.0),), least=2.0)
HOME = Setup(20.0, COARSE, CLAMP, others=40, thermometer_sd_kelvin=0.0)


def test_a_common_meter_is_out_by_six_percent_at_a_hundred_ampere() -> None:
    # 2 mV; counts 0.2 mV / sqrt 3 = 0.1155, half a digit 0.05 / sqrt 3 = 0.0289: 0.1190 mV is 5.95 %; the probes'
    # thermal voltage 5 uV / sqrt 3 = 0.0029 mV adds nothing to speak of.
    assert parts_of(HOME, Way(100)).voltmeter == pytest.approx(0.0595, abs=0.0001)


def test_a_change_shows_from_both_errors_of_one_in_twenty_on() -> None:
    own = parts_of(HOME, Way(100)).own

    # (1.645 + 1.645) sqrt 2 u, with 1/40 more variance for what the others know of the round.
    assert visible_change(HOME, Way(100)) == pytest.approx(2 * 1.645 * sqrt(2) * own * sqrt(1 + 1 / 40), rel=0.001)


def test_what_shows_is_claimed_wrongly_and_missed_once_in_twenty() -> None:
    rng = np.random.default_rng(7)
    others, change = 12, visible_change(replace(HOME, others=12), Way(100))
    own = parts_of(HOME, Way(100)).own

    def differences(true_change: float) -> np.ndarray:
        first, second = rng.normal(0, own, (2, 20_000, others + 1))
        moved = second - first
        return true_change + moved[:, 0] - moved[:, 1:].mean(axis=1)

    cut = change / 2
    assert np.mean(differences(0.0) > cut) == pytest.approx(0.05, abs=0.005)
    assert np.mean(differences(change) < cut) == pytest.approx(0.05, abs=0.005)


def test_more_current_or_more_repeats_show_less_change() -> None:
    by_current = [visible_change(HOME, Way(ampere)) for ampere in (20, 50, 100, 200)]
    by_repeats = [visible_change(HOME, Way(100, ONE_WAY, repeats)) for repeats in (1, 2, 5)]

    assert by_current == sorted(by_current, reverse=True)
    assert by_repeats == sorted(by_repeats, reverse=True)


def test_both_ways_are_worth_two_repeats_and_take_the_thermal_voltage_away() -> None:
    both = parts_of(HOME, Way(100, BOTH_WAYS)).voltmeter

    # 0.1190 mV / sqrt 2 of 2 mV, and no 0.0029 mV beside it.
    assert both == pytest.approx(0.1190 / sqrt(2) / 2, abs=0.0001)
    assert parts_of(HOME, Way(100, WITH_ZERO)).voltmeter == pytest.approx(0.1190 * sqrt(2) / 2, abs=0.0001)


def test_a_reading_alone_has_the_whole_doubt_of_its_clamp() -> None:
    alone = visible_change(replace(HOME, voltmeter=FINE, others=0), Way(200))

    # 2 % / sqrt 3 = 1.15 % and 0.087 % of the meter: sqrt 2 x 3.29 times them and the rest.
    assert alone > 2 * 1.645 * sqrt(2) * 0.0115


def test_the_least_current_is_one_that_the_clamp_can_show() -> None:
    needed = needed_ampere(replace(HOME, voltmeter=FINE), 0.10, ONE_WAY, 1)

    assert needed in usable_ampere(HOME)
    assert visible_change(replace(HOME, voltmeter=FINE), Way(needed)) <= 0.10
    smaller = [ampere for ampere in usable_ampere(HOME) if ampere < needed]
    assert visible_change(replace(HOME, voltmeter=FINE), Way(smaller[-1])) > 0.10
    assert usable_ampere(HOME)[0] == 2
    assert usable_ampere(HOME)[-1] == 200
    assert usable_ampere(replace(HOME, most_ampere=1000))[-1] == 400


def test_a_change_that_no_current_of_the_clamp_shows_is_said_with_what_would() -> None:
    assert needed_ampere(HOME, 0.02, ONE_WAY, 1) is None
    assert foremost_part(HOME, Way(100)) == "the last digits and the zero of the voltmeter"
    # Of 2 mV: 2 counts of 0.01 mV 0.6 %, thermal voltage 0.14 %, the clamp's counts 0.18 %: 0.64 %, shows 3.0 %.
    assert needed_resolution_millivolt(HOME, 0.035, Way(100)) == 0.01
    assert needed_resolution_millivolt(HOME, 1e-4, Way(100)) is None


def test_the_range_that_holds_the_drop_is_the_one_that_counts() -> None:
    two = meter([MeterRange(Accuracy(0.5, 2, 0.1), 400.0), MeterRange(Accuracy(0.5, 2, 0.01), 40.0)])

    low, high = (parts_of(replace(HOME, voltmeter=two, expected_microohm=each), Way(100)) for each in (300, 500))

    # 30 mV on the 40 mV range: 0.0119 mV; 50 mV on the other: 0.119 mV.
    assert low.voltmeter == pytest.approx(sqrt(0.0119**2 + 0.0029**2) / 30, rel=0.01)
    assert high.voltmeter == pytest.approx(0.119 / 50, rel=0.01)
