"""Where spans stand, and what their place and duty make of the day of the next test."""

from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from invented_build import EPOCH, build_of, noisy, watch

from lugbook.assessment.findings import examine
from lugbook.assessment.judging import judge_build
from lugbook.assessment.scheduling import ACCEPTED_BY_DUTY
from lugbook.assessment.standing import Policy, take_stand

DAY = date(2033, 6, 1)
ROUNDS = 8  # yearly: watched for seven years


def onsets_per_year(microohm: np.ndarray, places: list[str]) -> list[float]:
    """How often a steady span like each of these is believed to begin to creep."""
    spans = [watch(f"C{number:02d}/crimp", place=place) for number, place in enumerate(places)]
    found = examine(build_of(microohm, spans))
    assert found is not None
    standing = take_stand(float(DAY.toordinal() - EPOCH), found, Policy())
    return list(standing.outlook.onsets_per_year.tolist())


def test_where_nothing_crept_for_years_less_creep_is_expected_than_was_assumed() -> None:
    """Bilge: 3 % a year assumed, worth 50 span-years, so 1.5 onsets; 20 spans watched for 7 years without one.

    1.5 / (50 + 140) = 0.79 % a year, and a little for what the readings cannot exclude.
    """
    microohm = noisy(np.random.default_rng(1), 30, ROUNDS)

    onsets = onsets_per_year(microohm, ["bilge"] * 20 + ["dry"] * 10)

    assert onsets[0] == pytest.approx(1.5 / 190, rel=0.25)
    # Dry: 0.5 % a year assumed, 0.25 onsets in 50 span-years; 10 spans watched for 7 years.
    assert onsets[-1] == pytest.approx(0.25 / 120, rel=0.5)


def test_where_many_crept_more_creep_is_expected_in_that_place_alone() -> None:
    """Six of 20 bilge spans creep: (1.5 + 6) / (50 + 140) = 3.9 % a year."""
    microohm = noisy(np.random.default_rng(1), 30, ROUNDS)
    microohm[:6] *= np.exp(0.09 * np.maximum(np.arange(ROUNDS) - 3, 0))

    onsets = onsets_per_year(microohm, ["bilge"] * 20 + ["dry"] * 10)

    assert onsets[0] == pytest.approx(7.5 / 190, rel=0.1)
    assert onsets[-1] < 0.005


@pytest.mark.parametrize("duty", sorted(ACCEPTED_BY_DUTY))
def test_what_must_not_fail_is_read_sooner_than_the_same_span_without_a_duty(duty: str) -> None:
    microohm = noisy(np.random.default_rng(1), 12, ROUNDS)
    plain = [watch(f"C{n:02d}/crimp", limit_microohm=microohm[n].max() * 1.25) for n in range(12)]
    on_duty = [replace(span, duty=duty) for span in plain]

    without = judge_build(DAY, build_of(microohm, plain)).verdicts
    with_it = judge_build(DAY, build_of(microohm, on_duty)).verdicts

    days = [(v.next_test, w.next_test) for v, w in zip(without, with_it, strict=True)]
    assert all(its <= plain_day for plain_day, its in days if plain_day and its)
    assert any(its < plain_day for plain_day, its in days if plain_day and its)
    assert any(f"what is accepted of a {duty} span" in v.next_test_reason for v in with_it)


def test_another_accepted_risk_changes_that_of_each_duty_in_proportion() -> None:
    policy = Policy().accepting(0.01)

    # A fifth of 5 %, and a fifth of 2 %.
    assert policy.accepted_risk == 0.01
    assert dict(policy.accepted_by_duty) == pytest.approx(dict.fromkeys(ACCEPTED_BY_DUTY, 0.004))
