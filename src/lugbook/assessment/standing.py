"""Where each span stands: verdict, chance of being over its limit, day of the next test, as arrays."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from math import erf

import numpy as np

from lugbook.assessment.evidence import Flags, Floats, Whole
from lugbook.assessment.findings import Findings
from lugbook.assessment.scheduling import (
    ACCEPTED_BY_DUTY,
    ACCEPTED_RISK,
    CHECK_STANDARD,
    FIRST_UP_TO_DAY,
    INTERVALS,
    LONGEST_OF_CREEPING,
    LONGEST_OF_FIRST_DAY,
    LOOK_AGAIN,
    NOW,
    ONSET_YEARS,
    ONSETS_PER_YEAR,
    RISK,
    TOGETHER,
    UNKNOWN_PLACE,
    UNREAD,
    DuePlan,
    Interval,
    interval_of,
    plan_tests,
)
from lugbook.inference.creep import CREEPING_FROM, FEWEST_READINGS, LAST_ALONE_FROM, VERDICTS
from lugbook.inference.forecast import NEW_RATES, Outlook, learned_onsets_per_year
from lugbook.inference.rounds import DAYS_PER_YEAR

VERDICT_WORDS = (*VERDICTS, "over limit", "not judged")
STEADY, CREEPING, STEPPED, TOO_FEW, OVER_LIMIT, NOT_JUDGED = range(len(VERDICT_WORDS))
# A limit is compared with the level corrected by what the instruments can differ, this many standard
# uncertainties; a larger shift of the round may be the joints themselves, and is left in: our assumption,
# on the safe side.
CORRECTED_TO_SDS = 3.0
# Rates of spans looked at because they creep scatter so many times wider than their interval says: measured in
# tests/benchmarks/seasons.py, with few readings and years between them.
RATE_WIDER = 1.2


@dataclass(frozen=True)
class Policy:
    """The choices of judging that are not facts."""

    # Over limit where that is more likely than not: simple acceptance, no guard band (JCGM 106:2012 8.2;
    # memory). Smaller is more cautious.
    over_limit_from: float = 0.5
    accepted_risk: float = ACCEPTED_RISK  # chance of being over its limit before the next test
    accepted_by_duty: Mapping[str, float] = field(default_factory=lambda: ACCEPTED_BY_DUTY)
    rising_from_sds: float = (
        3.0  # trend of the shifts of all rounds, against what unrelated shifts would give
    )
    # Where no limit is stated, a creeping span is planned as if half as much again as at first were its limit
    # (IEEE 837, older editions: 1.5 times the first reading; memory). It never makes a span "over limit".
    working_limit_ratio: float = 1.5
    intervals: Mapping[str, Interval] = field(default_factory=lambda: INTERVALS)

    def accepting(self, risk: float) -> Policy:
        """The same with another accepted risk; that of each duty changes in proportion."""
        share = risk / self.accepted_risk
        by_duty = {duty: share * accepted for duty, accepted in self.accepted_by_duty.items()}
        return replace(self, accepted_risk=risk, accepted_by_duty=by_duty)


@dataclass(frozen=True)
class Standing:
    """One entry per span; NaN where nothing can be said. Resistances in microohm at 20 degC."""

    verdict: Whole  # index into VERDICT_WORDS
    latest_microohm: Floats  # last reading of the current series, as read
    latest_u_microohm: Floats  # standard uncertainty, all in
    as_made_microohm: Floats  # first reading of the current series, as read
    level_microohm: Floats  # where it is now by all its readings, shifts of the rounds taken out
    # the level compared with the limit: larger shifts than CORRECTED_TO_SDS left in
    limit_side_microohm: Floats
    level_sd: Floats  # relative standard uncertainty of the level, what the instruments share included
    over_chance: Floats  # that the level is above the limit; NaN without a limit
    look_again: Flags  # only the last reading is out of line
    outlook: Outlook  # what is believed of it at its last reading
    due: DuePlan
    rounds_rise: bool  # all spans rise together, and no check standard says whether it is the meter
    working_limit_ratio: float  # the policy's


def take_stand(today: float, found: Findings, policy: Policy) -> Standing:
    """Decide every span from what was computed; today in days since 1970-01-01."""
    layout, creep, row, last = found.layout, found.creep, found.row, found.last_column
    read = found.count > 0
    latest = layout.microohm_20c[row, last]
    gain = layout.gain_sd[last]
    own = layout.own_sd[row, last]
    enough = found.count >= FEWEST_READINGS
    corrected = creep.corrected[row, last]
    level = np.where(enough, creep.level_now[row], corrected)
    level_sd = np.hypot(np.where(enough, _sd_of_level(found, own), own), gain)
    look_again = enough & (creep.last_alone_probability[row] >= LAST_ALONE_FROM)
    # A last reading that stands alone counts against a limit, although the level leaves it out: safe side.
    limit_side = np.where(look_again, np.fmax(level, corrected), level) + _beyond_instruments(found)
    over_chance = chance_over_now(limit_side, level_sd, found.limit_microohm)
    verdict = _verdicts(found, over_chance >= policy.over_limit_from)
    outlook = outlook_of(found, limit_side, level_sd, policy)
    return Standing(
        verdict=verdict,
        latest_microohm=latest,
        latest_u_microohm=latest * np.hypot(own, gain),
        as_made_microohm=np.where(read, layout.microohm_20c[row, found.first_column], np.nan),
        level_microohm=np.exp(level),
        limit_side_microohm=np.exp(limit_side),
        level_sd=level_sd,
        over_chance=over_chance,
        look_again=look_again,
        outlook=outlook,
        due=_plan(today, found, _forced(found, verdict, look_again, policy), outlook, policy),
        rounds_rise=rounds_rise(found, policy),
        working_limit_ratio=policy.working_limit_ratio,
    )


def _sd_of_level(found: Findings, own: Floats) -> Floats:
    """Relative standard uncertainty of the level at the last reading, own noise alone.

    The end of a line through equally spaced points is known half as well as their mean (2 s / sqrt n, textbook), and
    never worse than the last reading itself.
    """
    flat = found.creep.level_sd[found.row]
    creeps = found.creep.creep_probability[found.row] >= CREEPING_FROM
    return np.where(creeps, np.minimum(2 * flat, own), flat)


def _beyond_instruments(found: Findings) -> Floats:
    """What the instruments' statement does not cover of the last round's shift, ln units, per span."""
    shift, bound = found.creep.round_shift, CORRECTED_TO_SDS * found.layout.gain_sd
    return np.asarray((shift - np.clip(shift, -bound, bound))[found.last_column])


def chance_over_now(log_level: Floats, relative_sd: Floats, limit_microohm: Floats) -> Floats:
    """Chance that a level is above a limit, normal in ln resistance; NaN without a limit or a level."""
    with np.errstate(invalid="ignore", divide="ignore"):
        sds = (log_level - np.log(limit_microohm)) / relative_sd / np.sqrt(2)
    return np.array([0.5 * (1 + erf(value)) for value in sds.tolist()], float)


def _verdicts(found: Findings, over_limit: Flags) -> Whole:
    by_numbers = {word: code for code, word in enumerate(VERDICTS)}
    verdict = np.array([by_numbers[word] for word in found.creep.verdict], np.int64)[found.row]
    verdict = np.where(over_limit, OVER_LIMIT, verdict)
    return np.where(found.ever_read, verdict, NOT_JUDGED)


def _forced(found: Findings, verdict: Whole, look_again: Flags, policy: Policy) -> Whole:
    """The first of these that applies decides the day by itself."""
    cases = [
        (found.is_check, CHECK_STANDARD),
        (found.count == 0, UNREAD),
        ((verdict == OVER_LIMIT) | (verdict == STEPPED), NOW),
        (look_again, LOOK_AGAIN),
        ((verdict == STEADY) & rounds_rise(found, policy), TOGETHER),
    ]
    return np.select([case for case, _ in cases], [code for _, code in cases], RISK)


def outlook_of(found: Findings, log_level: Floats, level_sd: Floats, policy: Policy) -> Outlook:
    """What is believed of each span at its last reading; where no limit is stated, a working one is taken."""
    creep, row = found.creep, found.row
    few = found.count < FEWEST_READINGS
    working = np.exp(np.where(few, log_level, creep.level_start[row])) * policy.working_limit_ratio
    limit = np.where(np.isnan(found.limit_microohm), working, found.limit_microohm)
    low, high = (
        np.where(few | np.isnan(rate), quantile, rate)
        for rate, quantile in zip((creep.rate_low[row], creep.rate_high[row]), NEW_RATES, strict=True)
    )
    middle, half = np.sqrt(low * high), np.sqrt(high / low) ** RATE_WIDER
    low, high = middle / half, middle * half
    creeping = np.where(few, 0.0, np.nan_to_num(creep.creep_probability[row]))
    return Outlook(
        log_margin=np.where(found.count > 0, np.log(limit) - log_level, 1.0),
        level_sd=np.nan_to_num(level_sd, nan=1.0),
        creep_probability=creeping,
        rate_low=low,
        rate_high=high,
        onsets_per_year=_onsets_per_year(found, creeping),
    )


def _plan(today: float, found: Findings, forced: Whole, outlook: Outlook, policy: Policy) -> DuePlan:
    spans = found.evidence.spans
    bounds = [interval_of(span.place, policy.intervals) for span in spans]
    accepted = [policy.accepted_by_duty.get(span.duty or "", policy.accepted_risk) for span in spans]
    return plan_tests(
        today,
        np.where(found.count > 0, found.layout.day[found.last_column], np.nan),
        forced,
        surely_creeps(found),
        outlook,
        np.array(accepted, float),
        np.array([bound.shortest_day for bound in bounds], float),
        _longest_day(found, np.array([bound.longest_day for bound in bounds], float)),
    )


def _longest_day(found: Findings, by_place: Floats) -> Floats:
    """The longest interval of each span: shorter where it creeps, and at the beginning of a series."""
    day = found.layout.day
    watched = np.where(found.count > 0, day[found.last_column] - day[found.first_column], 0.0)
    longest = np.where(watched < FIRST_UP_TO_DAY, np.minimum(by_place, LONGEST_OF_FIRST_DAY), by_place)
    return np.where(surely_creeps(found), longest * LONGEST_OF_CREEPING, longest)


def _onsets_per_year(found: Findings, creep_probability: Floats) -> Floats:
    """How often a steady span begins to creep, by its place, learned from all the build's spans of that place."""
    day = found.layout.day
    watched = np.where(found.count > 0, day[found.last_column] - day[found.first_column], 0.0) / DAYS_PER_YEAR
    places = np.array([span.place for span in found.evidence.spans])
    onsets = np.empty(len(places))
    for place in np.unique(places).tolist():
        mine = (places == place) & ~found.is_check
        prior = ONSETS_PER_YEAR.get(place, ONSETS_PER_YEAR[UNKNOWN_PLACE])
        onsets[places == place] = learned_onsets_per_year(
            prior, ONSET_YEARS, creep_probability[mine], watched[mine]
        )
    return onsets


def rounds_rise(found: Findings, policy: Policy) -> bool:
    """All spans rise together and no check standard says whether it is the meter."""
    return found.creep.round_trend_sds > policy.rising_from_sds and not found.check_count.any()


def surely_creeps(found: Findings) -> Flags:
    """Creep as likely as the verdict asks, in a series long enough to say so and by more than its last reading."""
    creep = found.creep.creep_probability[found.row] >= CREEPING_FROM
    by_last = found.creep.last_alone_probability[found.row] >= LAST_ALONE_FROM
    return creep & ~by_last & (found.count >= FEWEST_READINGS)
