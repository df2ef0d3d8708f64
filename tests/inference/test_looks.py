"""Many builds looked at at once are told what each would be told by itself."""

import numpy as np
import pytest
from invented_series import YEAR, invent_rounds, ramp

from looks_over_time import look_at_each_round
from lugbook.inference.creep import assess_creep


def test_every_build_is_told_at_every_look_what_it_would_be_told_alone() -> None:
    rng = np.random.default_rng(61)
    made = [invent_rounds(rng, spans=9, rounds=7, bad_share=0.05) for _ in range(6)]
    day = made[0].day
    y = np.stack([one.log_resistance for one in made])
    y[:, 0] += ramp(day, rate=0.1, onset_day=2 * YEAR)
    own_sd = np.stack([one.own_sd for one in made])

    looks = look_at_each_round(day, y, own_sd, 0.03)

    for build in range(6):
        for n in range(3, 8):
            alone = assess_creep(day[:n], y[build, :, :n], own_sd[build, :, :n], 0.03)
            assert looks.score[build, n - 1] == pytest.approx(alone.score, abs=1e-3)
            assert looks.creep_probability[build, n - 1] == pytest.approx(alone.creep_probability, abs=1e-3)
            assert [flag > 0 for flag in looks.creeping[build, n - 1]] == [
                verdict == "creeping" for verdict in alone.verdict
            ]
    assert looks.creeping[:, 6, 0].mean() > 0.5


def test_the_first_two_looks_say_nothing() -> None:
    made = invent_rounds(np.random.default_rng(62), spans=3, rounds=4)

    looks = look_at_each_round(made.day, made.log_resistance[None], made.own_sd[None], made.gain_sd)

    assert (looks.score[0, :2] == -np.inf).all()
    assert np.isfinite(looks.score[0, 2:]).all()
    assert looks.creeping[0, :2].sum() == 0


def test_only_the_spans_asked_about_are_told() -> None:
    made = invent_rounds(np.random.default_rng(63), spans=5, rounds=5)
    table = made.day, made.log_resistance[None], made.own_sd[None], made.gain_sd

    some = look_at_each_round(*table, spans=slice(1, 3))

    np.testing.assert_allclose(some.score, look_at_each_round(*table).score[:, :, 1:3], atol=1e-6)
