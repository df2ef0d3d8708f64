"""The shift of a round is found from its spans, as far as the instruments allow it."""

import numpy as np
import pytest
from invented_series import YEAR, invent_rounds, ramp

from lugbook.inference.rounds import estimate_rounds
from lugbook.inference.scatter import trust


def test_a_round_that_reads_high_is_found_and_its_uncertainty_is_that_of_forty_spans() -> None:
    rng = np.random.default_rng(11)
    made = invent_rounds(rng, gain_sd=0.0)
    y = made.log_resistance.copy()
    y[:, 4] += 0.05
    gain = np.full(10, 0.03)

    found = estimate_rounds(made.day, y, made.own_sd, gain)

    # Shifts have mean zero: +5 % in one of ten rounds is +4.5 % there and -0.5 % in the others.
    assert found.shift[4] == pytest.approx(0.045, abs=3 * found.shift_sd[4])
    assert np.delete(found.shift, 4) == pytest.approx(-0.005, abs=0.01)
    assert found.shift_sd[4] == pytest.approx(0.02 / np.sqrt(40), rel=0.3)


def test_one_span_alone_has_no_others_so_the_whole_gain_stays_as_its_doubt() -> None:
    y, own = np.array([[4.0, 4.1, 4.05]]), np.full((1, 3), 0.02)

    found = estimate_rounds(np.array([0.0, YEAR, 2 * YEAR]), y, own, np.full(3, 0.03))

    assert found.others_shift.tolist() == [[0.0, 0.0, 0.0]]
    assert found.others_variance == pytest.approx(0.03**2, rel=0.01)


def test_one_wild_reading_does_not_move_its_round() -> None:
    rng = np.random.default_rng(3)
    made = invent_rounds(rng, spans=6)
    before = estimate_rounds(made.day, made.log_resistance, made.own_sd, np.full(10, 0.03))
    wild = made.log_resistance.copy()
    wild[0, 5] += np.log(10)  # a slipped decimal point

    after = estimate_rounds(made.day, wild, made.own_sd, np.full(10, 0.03))

    assert after.shift[5] == pytest.approx(before.shift[5], abs=before.shift_sd[5])


@pytest.mark.parametrize(
    "truth", [pytest.param(0.7, id="overstated"), 1.0, pytest.param(2.0, id="understated")]
)
def test_noise_that_was_stated_wrongly_is_rescaled_to_what_is_seen(truth: float) -> None:
    made = invent_rounds(np.random.default_rng(5), spans=200)

    found = estimate_rounds(made.day, made.log_resistance, made.own_sd / truth, np.full(10, 0.03))

    assert found.own_scale == pytest.approx(truth, rel=0.12)


def test_creep_is_not_mistaken_for_noise() -> None:
    made = invent_rounds(np.random.default_rng(6))
    creeping = (
        made.log_resistance + ramp(made.day, rate=0.1, onset_day=0.0) * (np.arange(40) % 4 == 0)[:, None]
    )

    found = estimate_rounds(made.day, creeping, made.own_sd, np.full(10, 0.03))

    assert found.own_scale == pytest.approx(1.0, abs=0.15)


def test_readings_of_no_voter_say_nothing_of_the_shift() -> None:
    made = invent_rounds(np.random.default_rng(7), spans=4)
    voters = np.array([True, True, False, False])
    moved = made.log_resistance.copy()
    moved[2:, 3] += 0.5

    before = estimate_rounds(made.day, made.log_resistance, made.own_sd, np.full(10, 0.03), voters=voters)
    after = estimate_rounds(made.day, moved, made.own_sd, np.full(10, 0.03), voters=voters)

    np.testing.assert_array_equal(before.shift, after.shift)


def test_trust_falls_from_one_to_a_sixty_fourth() -> None:
    assert trust(np.array([0.0]))[0] == pytest.approx(1.0, abs=0.01)
    assert trust(np.array([1e4]))[0] == pytest.approx(1 / 64, rel=1e-6)


def test_spans_that_creep_do_not_drag_their_rounds_along() -> None:
    rng = np.random.default_rng(8)
    drags = []
    for _ in range(30):
        made = invent_rounds(rng, spans=20, gain_sd=0.0, rounds=6)
        y = made.log_resistance + ramp(made.day, rate=0.04, onset_day=0.0) * (np.arange(20) < 5)[:, None]
        shift = estimate_rounds(made.day, y, made.own_sd, np.full(6, 0.03)).shift
        drags.append(np.polyfit(made.day / YEAR, shift, 1)[0])

    # Five in twenty that rise by 4 % a year raise the plain mean of the rounds by 1 % a year.
    assert np.mean(drags) < 0.003


def test_a_large_table_is_judged_by_some_of_its_rows_wherever_they_were_read() -> None:
    rng = np.random.default_rng(9)
    made = invent_rounds(rng, spans=4000, gain_sd=0.0)
    y = made.log_resistance.copy()
    y[:, 4] += 0.05
    y[np.arange(4000) % 2 == 0, 4] = np.nan
    y[np.arange(4000) % 2 == 1, 5] = np.nan

    found = estimate_rounds(made.day, y, made.own_sd, np.full(10, 0.03))

    assert found.shift[4] - found.shift[5] == pytest.approx(0.05, abs=0.004)
    assert found.others_shift.shape == y.shape


YEARLY = np.arange(4) * 365.25


def shifts_of(*rows: list[float]) -> tuple[np.ndarray, np.ndarray]:
    """Shifts of four yearly rounds and what each series may use of them; own noise 2 %, shared 2 %."""
    y = np.array(rows)
    found = estimate_rounds(YEARLY, y, np.full(y.shape, 0.02), np.full(4, 0.02))
    return found.shift, found.others_shift


def test_a_lone_reading_far_off_does_not_say_that_its_round_is() -> None:
    shift, _ = shifts_of([3.0, 3.0, 3.0, 3.6], [3.5, 3.5, 3.5, np.nan], [4.0, 4.0, 4.0, np.nan])

    assert abs(shift[3]) < 0.02  # what the meters may be out by, not what the joint jumped by


def test_of_two_readings_that_disagree_the_one_that_stayed_is_believed() -> None:
    shift, others = shifts_of([3.0, 3.0, 3.0, 3.6], [3.5, 3.5, 3.5, 3.5])

    assert abs(shift[3]) < 0.01
    assert abs(others[1, 3]) < 0.02


def test_two_readings_that_moved_together_say_that_the_round_did() -> None:
    shift, _ = shifts_of([3.0, 3.0, 3.0, 3.2], [3.5, 3.5, 3.5, 3.7])

    assert shift[3] == pytest.approx(0.2, abs=0.03)
