"""The day of the next test: by chance, within bounds, and on as few visits as possible."""

from dataclasses import replace

import numpy as np
import pytest

from lugbook.assessment.scheduling import (
    ACCEPTED_YEARS,
    CHECK_STANDARD,
    CODES,
    INTERVALS,
    LONGEST,
    LOOK_AGAIN,
    MEND,
    NOW,
    ONSETS_PER_YEAR,
    RISK,
    UNREAD,
    DayFacts,
    DuePlan,
    group_visits,
    interval_of,
    plan_tests,
    word_next_test,
)
from lugbook.inference.forecast import Outlook, chance_over

TODAY, LAST, YEAR = 21000.0, 20900.0, 365.25
STEADY = Outlook(*(np.array([value]) for value in (0.7, 0.01, 0.0, 0.02, 0.2, 0.01)))
CREEPING = replace(STEADY, log_margin=np.array([0.2]), creep_probability=np.array([1.0]),
                   rate_low=np.array([0.08]), rate_high=np.array([0.12]))  # fmt: skip


def planned(outlook: Outlook, *, forced: int = RISK, creeps: bool = False, last_day: float = LAST) -> DuePlan:
    return plan_tests(
        TODAY,
        np.array([last_day]),
        np.array([forced]),
        np.array([creeps]),
        outlook,
        np.array([0.05]),
        np.array([30.0]),
        np.array([730.0]),
    )


def test_a_span_far_from_its_limit_waits_its_longest_interval() -> None:
    plan = planned(STEADY)

    assert plan.code[0] == LONGEST
    assert plan.own_day[0] == LAST + 730


def test_a_span_near_its_limit_waits_until_its_chance_costs_what_the_wait_may() -> None:
    near = replace(STEADY, log_margin=np.array([0.3]), creep_probability=np.array([0.05]))

    plan = planned(near)

    wait = (plan.own_day - LAST) / YEAR
    assert plan.code[0] == RISK
    assert 30 < plan.own_day[0] - LAST < 730
    # One day less is fine, some days more is not: 5 % in fifty years, a thousandth a year.
    assert chance_over(near, wait - 1 / YEAR)[0] <= 0.001 * wait[0]
    assert chance_over(near, wait + 3 / YEAR)[0] > 0.001 * wait[0]
    assert ACCEPTED_YEARS == 50


def test_a_creeping_span_that_cannot_wait_is_to_be_mended_by_then() -> None:
    plan = planned(CREEPING, creeps=True)

    # 0.2 at 8 to 12 % a year: over in about two years, hardly before one and a half.
    assert plan.code[0] == MEND
    assert 0.9 * YEAR < plan.own_day[0] - LAST < 1.8 * YEAR


def test_a_span_that_may_be_over_already_is_to_be_mended_at_the_shortest_interval() -> None:
    plan = planned(replace(STEADY, log_margin=np.array([0.005])))

    assert plan.code[0] == MEND
    assert plan.own_day[0] == LAST + 30


def test_less_accepted_risk_never_waits_longer() -> None:
    margins = np.linspace(0.05, 1.0, 40)
    many = Outlook(margins, *(np.full(40, value) for value in (0.01, 0.1, 0.02, 0.2, 0.02)))

    days = [
        plan_tests(TODAY, np.full(40, LAST), np.full(40, RISK), np.zeros(40, bool), many, np.full(40, accepted),
                   np.full(40, 30.0), np.full(40, 730.0)).own_day
        for accepted in (0.02, 0.05)
    ]  # fmt: skip

    assert (days[0] <= days[1]).all()
    assert (np.diff(days[1]) >= 0).all(), "more room to the limit never brings the test forward"


def test_spans_due_close_together_are_planned_on_one_day() -> None:
    many = Outlook(*(np.full(3, value) for value in (0.7, 0.01, 0.0, 0.02, 0.2, 0.01)))
    longest = np.array([700.0, 730.0, 1461.0])

    plan = plan_tests(TODAY, np.full(3, LAST), np.full(3, RISK), np.zeros(3, bool), many, np.full(3, 0.05),
                      np.full(3, 30.0), longest)  # fmt: skip

    # Each waits its own longest; the second may be read from three quarters of its wait on, the third from 1096 days.
    assert (plan.own_day - LAST).tolist() == [700, 730, 1461]
    assert (plan.day - LAST).tolist() == [700, 700, 1461]
    assert plan.companions.tolist() == [1, 1, 0]


def test_an_assumed_rate_three_times_too_low_costs_at_most_three_times_the_accepted_chance() -> None:
    margins = np.linspace(0.05, 1.0, 40)
    assumed = Outlook(margins, *(np.full(40, value) for value in (0.01, 0.0, 0.02, 0.2, 0.01)))
    truly = replace(assumed, onsets_per_year=np.full(40, 0.03))

    plan = plan_tests(TODAY, np.full(40, LAST), np.full(40, RISK), np.zeros(40, bool), assumed, np.full(40, 0.05),
                      np.full(40, 30.0), np.full(40, 730.0))  # fmt: skip

    # Above what the shortest interval costs already, whatever is assumed.
    free = plan.own_day - LAST > 30
    wait = (plan.own_day - LAST) / YEAR
    assert free.sum() > 20
    assert (chance_over(truly, wait) <= 3 * 0.001 * wait)[free].all()


@pytest.mark.parametrize("code", [NOW, LOOK_AGAIN, UNREAD])
def test_what_cannot_wait_is_due_today(code: int) -> None:
    assert planned(STEADY, forced=code).day[0] == TODAY


def test_a_span_never_read_is_due_today_and_a_check_standard_has_no_day() -> None:
    assert planned(STEADY, forced=UNREAD, last_day=np.nan).day[0] == TODAY
    assert np.isnan(planned(STEADY, forced=CHECK_STANDARD).day[0])


def test_windows_that_overlap_are_one_visit_on_the_last_day_of_the_most_urgent() -> None:
    early = np.array([10.0, 90.0, 80.0, 200.0, np.nan])
    late = np.array([100.0, 150.0, 120.0, 260.0, np.nan])

    # On day 100 the first three windows are open.
    assert group_visits(early, late) == pytest.approx([100, 100, 100, 260, np.nan], nan_ok=True)


def test_windows_that_do_not_overlap_stay_apart() -> None:
    assert group_visits(np.array([50.0, 10.0]), np.array([60.0, 20.0])) == pytest.approx([60, 20])


def test_a_visit_lies_within_the_window_of_everyone_it_takes_along() -> None:
    rng = np.random.default_rng(4)
    early = rng.uniform(0, 1000, 60)
    late = early + rng.uniform(1, 200, 60)

    day = group_visits(early, late)

    assert ((early <= day) & (day <= late)).all()
    # As few as possible: the visits' own windows, each the most urgent of its group, do not overlap.
    urgent = [np.flatnonzero((day == visit) & (late == visit))[0] for visit in np.unique(day)]
    assert (early[urgent][1:] > late[urgent][:-1]).all()


def test_every_place_has_bounds_and_an_unknown_place_those_of_the_bilge() -> None:
    assert set(INTERVALS) == set(ONSETS_PER_YEAR) == {"dry", "engine", "bilge", "exposed"}
    assert all(bounds.shortest_day < bounds.longest_day for bounds in INTERVALS.values())
    assert interval_of("crow's nest") == INTERVALS["bilge"]


FACTS = DayFacts("longest", "engine", None, 731, 731, 0.004, "its limit", "", 0, 0)


@pytest.mark.parametrize("code", CODES)
def test_every_reason_for_a_day_has_its_sentence(code: str) -> None:
    assert word_next_test(replace(FACTS, code=code)).endswith(".")


@pytest.mark.parametrize(
    ("facts", "sentence"),
    [
        (
            FACTS,
            "Longest interval, 24 months for an engine place (common practice, no source); the chance of being over "
            "its limit by then is under 1 %.",
        ),
        (
            replace(FACTS, longest_day=365),
            "Longest interval, 12 months as it was first read lately, in an engine place (common practice, no source); "
            "the chance of being over its limit by then is under 1 %.",
        ),
        (
            replace(FACTS, code="risk", duty="starting", chance=0.013),
            "The chance of being over its limit by then is 1 %, what is accepted of a starting span.",
        ),
        (
            replace(FACTS, code="mend", chance=0.013, creep=", as it creeps by 9.0 % a year (6.0 to 13)"),
            "Mend it by then: the chance of being over its limit by then is 1 %, what is accepted, as it creeps by "
            "9.0 % a year (6.0 to 13).",
        ),
        (
            replace(FACTS, moved_days=-40, companions=12),
            "Longest interval, 24 months for an engine place (common practice, no source); the chance of being over "
            "its limit by then is under 1 %. On one visit with 12 other spans.",
        ),
    ],
)
def test_the_reason_is_said_with_its_chance(facts: DayFacts, sentence: str) -> None:
    assert word_next_test(facts) == sentence
