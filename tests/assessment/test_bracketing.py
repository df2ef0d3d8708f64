"""A check standard read first and last tells whether something drifted on the way."""

from dataclasses import replace

import numpy as np
import pytest
from invented_build import build_of, read_spans, watch

from lugbook.assessment.bracketing import Bracket, brackets_of
from lugbook.assessment.evidence import BuildEvidence
from lugbook.assessment.weighing import weigh_readings

SPANS = [watch("SH/check", kind="check standard"), watch("C1A/crimp"), watch("C2A/crimp")]


def bracket_of(order: list[int], microohm: list[float]) -> Bracket | None:
    """Spans read one after another in one round: 0 is the check standard."""
    plain = read_spans(np.array(microohm)[:, None])
    count = len(order)
    readings = replace(plain, span=np.array(order), round=np.zeros(count, np.int64), day=np.arange(count) / 1000)
    evidence = BuildEvidence("Kittiwake", tuple(SPANS), ("2031",), readings)
    (found,) = brackets_of(evidence, weigh_readings(readings), np.zeros(count, np.int64), 1)
    return found


def test_a_round_that_begins_and_ends_with_the_check_standard_shows_its_drift() -> None:
    found = bracket_of([0, 1, 2, 0], [100.0, 50.0, 60.0, 102.0])

    assert found is not None
    assert (found.begun, found.ended) == (True, True)
    assert found.drift_percent == pytest.approx(2.0)
    # Counts alone: 0.02 mV sqrt 2 (zero) of 10 mV and 0.1 A of 100 A, twice: sqrt 2 x sqrt(0.283^2 + 0.1^2) %.
    assert found.u_percent == pytest.approx(np.sqrt(2) * np.hypot(0.283, 0.1), abs=0.01)


@pytest.mark.parametrize(
    ("order", "begun", "ended"),
    [([0, 1, 2], True, False), ([1, 2, 0], False, True), ([1, 0, 2], False, False)],
    ids=["first only", "last only", "between"],
)
def test_a_round_with_one_reading_of_it_has_no_drift(order: list[int], begun: bool, ended: bool) -> None:
    assert bracket_of(order, [50.0] * len(order)) == Bracket(begun, ended, None, None)


@pytest.mark.parametrize(
    ("order", "microohm", "expected"),
    [
        pytest.param([0, 1, 0], [0.0, 50.0, 100.0], Bracket(False, True, None, None), id="only the last one counts"),
        pytest.param([0, 1, 0], [100.0, 50.0, 0.0], Bracket(True, False, None, None), id="only the first one counts"),
        pytest.param([0, 1, 0], [0.0, 50.0, 0.0], None, id="neither counts"),
    ],
)
def test_a_check_standard_that_read_nothing_says_nothing_of_drift(
    order: list[int], microohm: list[float], expected: Bracket | None
) -> None:
    assert bracket_of(order, microohm) == expected


def test_a_check_standard_that_read_nothing_and_was_read_again_begins_the_round() -> None:
    found = bracket_of([0, 0, 1, 0], [0.0, 100.0, 50.0, 103.0])

    assert found is not None
    assert (found.begun, found.ended) == (True, True)
    assert found.drift_percent == pytest.approx(3.0)


def test_a_round_without_a_check_standard_has_no_bracket() -> None:
    evidence = build_of(np.array([[50.0], [60.0]]))

    found = brackets_of(evidence, weigh_readings(evidence.readings), np.zeros(2, np.int64), 1)

    assert found == (None,)
