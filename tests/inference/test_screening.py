"""In a large table the quick look spares work, and changes no verdict."""

import numpy as np
import pytest
from invented_series import YEAR, invent_rounds, ramp

from lugbook.inference import causes
from lugbook.inference.creep import assess_creep


def large_table() -> tuple[np.ndarray, np.ndarray, np.ndarray, float]:
    """2500 spans; some creep, some jump, 2 % of the readings are bad."""
    made = invent_rounds(np.random.default_rng(71), spans=2500, rounds=8, bad_share=0.02)
    y = made.log_resistance.copy()
    y[:100] += ramp(made.day, rate=0.06, onset_day=3 * YEAR)
    y[100:150] += ramp(made.day, rate=0.25, onset_day=6.5 * YEAR)
    y[150:200, 4:] += 0.2
    return made.day, y, made.own_sd, made.gain_sd


def test_the_quick_look_changes_no_verdict(monkeypatch: pytest.MonkeyPatch) -> None:
    quick = assess_creep(*large_table())
    monkeypatch.setattr(causes, "FEWEST_TO_SCREEN", 10_000)

    full = assess_creep(*large_table())

    assert np.mean(quick.creep_probability != full.creep_probability) > 0.5
    assert quick.verdict == full.verdict
    assert np.abs(quick.creep_probability - full.creep_probability).max() < 0.06
    assert np.abs(quick.last_alone_probability - full.last_alone_probability).max() < 0.06


def test_holes_and_the_order_of_the_columns_change_no_verdict_of_a_large_table() -> None:
    day, y, own_sd, gain_sd = large_table()
    shuffled = np.random.default_rng(72).permutation(8)

    straight = assess_creep(day, y, own_sd, gain_sd)
    other = assess_creep(day[shuffled], y[:, shuffled], own_sd[:, shuffled], gain_sd)

    assert other.verdict == straight.verdict
    np.testing.assert_allclose(other.score, straight.score, atol=0.01)


def test_of_a_large_table_a_thousand_readings_tell_what_a_round_did() -> None:
    day, y, own_sd, gain_sd = large_table()
    y[:, 5] += 0.05
    wanted = np.zeros(8)
    wanted[5] = 0.05

    before = assess_creep(*large_table())
    after = assess_creep(day, y, own_sd, gain_sd)

    # 2 % of 1000 readings: 0.06 % each.
    moved = after.round_shift - before.round_shift
    assert moved - moved.mean() == pytest.approx(wanted - wanted.mean(), abs=0.003)
