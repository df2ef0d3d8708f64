"""Laws that hold of every table of readings, whatever its numbers."""

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from lugbook.inference.creep import (
    CHANGED_FROM,
    CREEPING_FROM,
    LAST_ALONE_FROM,
    CreepAssessment,
    assess_creep,
)

YEAR = 365.25


@st.composite
def tables(draw: st.DrawFn) -> tuple[np.ndarray, np.ndarray, np.ndarray, float]:
    """Few spans, few rounds, some holes, any creep, step or slip among them."""
    spans, rounds = draw(st.integers(1, 6)), draw(st.integers(2, 8))
    rng = np.random.default_rng(draw(st.integers(0, 2**32 - 1)))
    day = np.cumsum(rng.uniform(20, 700, rounds))
    own_sd = rng.uniform(0.003, 0.1, (spans, rounds))
    y = (
        rng.normal(4, 0.5, (spans, 1))
        + rng.normal(0, 0.03, rounds)
        + rng.normal(size=y_shape(own_sd)) * own_sd
    )
    y = y + rng.choice([0.0, 0.0, 0.1], (spans, 1)) * day / YEAR
    y = np.where(rng.random(y.shape) < draw(st.sampled_from([0.0, 0.3])), np.nan, y)
    return day, y, own_sd, draw(st.sampled_from([0.001, 0.03]))


def y_shape(own_sd: np.ndarray) -> tuple[int, ...]:
    return own_sd.shape


def close(one: CreepAssessment, other: CreepAssessment) -> None:
    np.testing.assert_allclose(one.creep_probability, other.creep_probability, atol=2e-3)
    np.testing.assert_allclose(one.step_probability, other.step_probability, atol=2e-3)


@settings(max_examples=40, deadline=None)
@given(tables())
def test_chances_are_chances_and_never_add_up_to_more_than_one(table: tuple[np.ndarray, ...]) -> None:
    found = assess_creep(*table)

    for chance in (found.creep_probability, found.step_probability, found.last_alone_probability):
        assert ((chance >= 0) & (chance <= 1 + 1e-6)).all()
    assert (found.creep_probability + found.step_probability <= 1 + 1e-6).all()
    assert (found.rate_low <= found.rate_high).all()
    assert np.isfinite(found.score).all()


@settings(max_examples=25, deadline=None)
@given(tables(), st.floats(-5, 5))
def test_the_size_of_a_joint_says_nothing_of_its_creep(table: tuple[np.ndarray, ...], offset: float) -> None:
    day, y, own_sd, gain_sd = table
    bigger = y + offset * np.arange(1, len(y) + 1)[:, None]

    close(assess_creep(day, y, own_sd, gain_sd), assess_creep(day, bigger, own_sd, gain_sd))


@settings(max_examples=25, deadline=None)
@given(tables(), st.floats(-20000, 20000))
def test_the_calendar_says_nothing_of_creep(table: tuple[np.ndarray, ...], later: float) -> None:
    day, y, own_sd, gain_sd = table

    close(assess_creep(day, y, own_sd, gain_sd), assess_creep(day + later, y, own_sd, gain_sd))


@settings(max_examples=25, deadline=None)
@given(tables(), st.randoms(use_true_random=False))
def test_the_order_in_which_spans_and_rounds_are_given_changes_nothing(table, random) -> None:  # type: ignore[no-untyped-def]
    day, y, own_sd, gain_sd = table
    rows, columns = list(range(len(y))), list(range(len(day)))
    random.shuffle(rows)
    random.shuffle(columns)

    straight = assess_creep(day, y, own_sd, gain_sd)
    shuffled = assess_creep(day[columns], y[rows][:, columns], own_sd[rows][:, columns], gain_sd)

    np.testing.assert_allclose(shuffled.creep_probability, straight.creep_probability[rows], atol=2e-3)
    np.testing.assert_allclose(shuffled.round_shift, straight.round_shift[columns], atol=1e-6)


@settings(max_examples=25, deadline=None)
@given(tables())
def test_a_round_in_which_nothing_was_read_changes_nothing(table: tuple[np.ndarray, ...]) -> None:
    day, y, own_sd, gain_sd = table
    hole = np.full((len(y), 1), np.nan)

    with_hole = assess_creep(
        np.append(day, day[-1] + 100), np.hstack([y, hole]), np.hstack([own_sd, hole]), gain_sd
    )

    close(assess_creep(day, y, own_sd, gain_sd), with_hole)


@settings(max_examples=25, deadline=None)
@given(tables(), st.floats(0.5, 3.0))
def test_time_and_rate_stretch_together_for_the_round_shifts(
    table: tuple[np.ndarray, ...], factor: float
) -> None:
    # The shifts and the scatter know of order only, not of years: stretching the calendar leaves them alone.
    day, y, own_sd, gain_sd = table

    straight = assess_creep(day, y, own_sd, gain_sd)
    stretched = assess_creep(day * factor, y, own_sd, gain_sd)

    np.testing.assert_allclose(stretched.round_shift, straight.round_shift, atol=1e-6)
    np.testing.assert_allclose(stretched.own_scale, straight.own_scale, rtol=1e-6)


@settings(max_examples=40, deadline=None)
@given(tables(), st.floats(1, 6))
def test_a_constant_series_never_creeps(table: tuple[np.ndarray, ...], level: float) -> None:
    day, y, own_sd, gain_sd = table
    constant = np.where(np.isnan(y), np.nan, level * np.arange(1, len(y) + 1)[:, None])

    found = assess_creep(day, constant, own_sd, gain_sd)

    assert set(found.verdict) <= {"steady", "too few readings"}
    assert (found.creep_probability < 0.5).all()


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 2**32 - 1), st.integers(0, 7), st.floats(-0.09, 0.09))
def test_a_shift_of_a_whole_round_changes_no_verdict(seed: int, moved: int, shift: float) -> None:
    # Up to three standard uncertainties of what the instruments share, among thirty spans of which three creep.
    rng = np.random.default_rng(seed)
    day = np.arange(8) * YEAR
    y = rng.uniform(3, 4, (30, 1)) + rng.normal(0, 0.02, (30, 8)) + rng.normal(0, 0.03, 8)
    y[:3] += 0.1 * np.maximum(day / YEAR - 3, 0)
    shifted = y.copy()
    shifted[:, moved] += shift

    before = assess_creep(day, y, np.full(y.shape, 0.02), 0.03)
    after = assess_creep(day, shifted, np.full(y.shape, 0.02), 0.03)

    # What stands on a threshold may fall to either side: a shift is known to a fifth of the noise only.
    changed = before.creep_probability + before.step_probability
    clear = np.abs(before.creep_probability - CREEPING_FROM) > 0.05
    clear &= (np.abs(changed - CHANGED_FROM) > 0.03) | (before.creep_probability > CREEPING_FROM)
    clear &= np.abs(before.last_alone_probability - LAST_ALONE_FROM) > 0.1
    assert clear.sum() > 20
    assert [v for v, sure in zip(before.verdict, clear, strict=True) if sure] == [
        v for v, sure in zip(after.verdict, clear, strict=True) if sure
    ]


@settings(max_examples=25, deadline=None)
@given(tables(), st.floats(-20000, 20000))
def test_the_calendar_says_nothing_of_the_rate(table: tuple[np.ndarray, ...], later: float) -> None:
    day, y, own_sd, gain_sd = table

    straight, moved = assess_creep(day, y, own_sd, gain_sd), assess_creep(day + later, y, own_sd, gain_sd)

    np.testing.assert_allclose(moved.rate_per_year, straight.rate_per_year, rtol=1e-3)
    np.testing.assert_allclose(moved.rate_low, straight.rate_low, rtol=5e-3)
    np.testing.assert_allclose(moved.rate_high, straight.rate_high, rtol=5e-3)


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 2**32 - 1), st.floats(0.0, 1.5), st.integers(4, 9))
def test_a_worse_last_reading_never_improves_a_verdict(seed: int, worse: float, rounds: int) -> None:
    rng = np.random.default_rng(seed)
    day = np.arange(rounds) * YEAR
    y = rng.uniform(3, 4, (10, 1)) + rng.normal(0, 0.02, (10, rounds)) + rng.normal(0, 0.03, rounds)
    y[0] += rng.uniform(0, 0.15) * np.maximum(day / YEAR - rng.integers(0, rounds), 0)
    raised = y.copy()
    raised[0, -1] += worse

    before = assess_creep(day, y, np.full(y.shape, 0.02), 0.03)
    after = assess_creep(day, raised, np.full(y.shape, 0.02), 0.03)

    # A span that was called changed is called so still, or its last reading is pointed at.
    changed = before.verdict[0] in ("creeping", "stepped")
    assert (
        not changed
        or after.verdict[0] in ("creeping", "stepped")
        or after.last_alone_probability[0] >= LAST_ALONE_FROM
    )
