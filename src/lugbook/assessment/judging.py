"""From the readings of one build to a verdict on each span."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date
from functools import cached_property, partial

import numpy as np

from lugbook.assessment.bracketing import Bracket
from lugbook.assessment.evidence import CHECK_STANDARD, BuildEvidence, Flags, Floats, WatchedSpan
from lugbook.assessment.explaining import explain_span, explain_unread
from lugbook.assessment.findings import Findings, examine, percent
from lugbook.assessment.reasons import MAYBE_FROM, Reason, word_creep
from lugbook.assessment.scheduling import CODES, DayFacts, interval_of, word_next_test
from lugbook.assessment.standing import (
    NOT_JUDGED,
    TOO_FEW,
    VERDICT_WORDS,
    Policy,
    Standing,
    surely_creeps,
    take_stand,
)
from lugbook.inference.creep import CREEPING_FROM

EPOCH = date(1970, 1, 1).toordinal()


@dataclass(frozen=True)
class RoundShift:
    """What one round and instrument pair did to all its readings."""

    round: str
    percent: float  # estimated shift of all readings, + reads high; already taken out of the verdicts
    u_percent: float  # standard uncertainty of that estimate
    spans_read: int
    check_standards_read: int
    lapsed_readings: int  # taken with a meter whose calibration was past its day
    bracket: Bracket | None  # how it lies between check standards; None where none was read


@dataclass(frozen=True)
class SpanVerdict:
    """What is concluded of one span; None where nothing can be said."""

    span: str
    kind: str
    place: str
    verdict: str  # one of VERDICT_WORDS
    creep_probability: float | None  # None with fewer than 3 readings in the series
    rate_percent_per_year: float | None  # None unless creep is as likely as its verdict asks
    rate_low: float | None  # 5 % point, percent a year
    rate_high: float | None  # 95 % point
    microohm_20c: (
        float | None
    )  # latest reading of the current series, at 20 degC, as read (round's shift left in)
    u_microohm: float | None  # its standard uncertainty, all in
    as_made_microohm: float | None  # first reading of the current series, at 20 degC, as read
    limit_microohm: float | None
    next_test: date | None  # in the past: overdue. None only for a check standard, read in every round
    next_test_reason: str  # one sentence
    explain: Callable[[], tuple[Reason, ...]] = field(repr=False, compare=False)

    @cached_property
    def reasons(self) -> tuple[Reason, ...]:
        """Weightiest first; found when first asked for, since verdicts are made faster than they are read."""
        return self.explain()


@dataclass(frozen=True)
class BuildJudgement:
    """The verdicts, in the order of the evidence, and the shifts of the rounds in order of time."""

    verdicts: tuple[SpanVerdict, ...]
    round_shifts: tuple[RoundShift, ...]


def judge_build(day: date, evidence: BuildEvidence, policy: Policy | None = None) -> BuildJudgement:
    """Judge every span of a build as of `day`, from all its readings in force."""
    return judge_findings(day, evidence, examine(evidence), policy or Policy())


def judge_findings(
    day: date, evidence: BuildEvidence, found: Findings | None, policy: Policy
) -> BuildJudgement:
    """The same, from findings already made; None: the build has no usable reading."""
    if found is None:
        return BuildJudgement(tuple(_unread(span, day, policy) for span in evidence.spans), ())
    standing = take_stand(float(day.toordinal() - EPOCH), found, policy)
    return BuildJudgement(_span_verdicts(found, standing, policy), round_shifts(found))


def _unread(span: WatchedSpan, day: date, policy: Policy) -> SpanVerdict:
    check = span.kind == CHECK_STANDARD
    code = "check standard" if check else "unread"
    interval = interval_of(span.place, policy.intervals)
    why = word_next_test(
        DayFacts(
            code,
            span.place,
            span.duty,
            interval.longest_day,
            interval.longest_day,
            0.0,
            "its limit",
            "",
            0,
            0,
        )
    )
    nothing = (None,) * 7
    return SpanVerdict(
        span.tag,
        span.kind,
        span.place,
        VERDICT_WORDS[NOT_JUDGED],
        *nothing,
        span.limit_microohm,
        None if check else day,
        why,
        explain_unread,
    )


def _span_verdicts(found: Findings, standing: Standing, policy: Policy) -> tuple[SpanVerdict, ...]:
    """One loop over the spans, over plain lists: the arrays are finished."""
    creep, row, creeps = found.creep, found.row, surely_creeps(found)
    judged = (standing.verdict != NOT_JUDGED) & (standing.verdict != TOO_FEW) & (found.count >= 3)
    columns = zip(
        found.evidence.spans,
        standing.verdict.tolist(),
        _or_none(creep.creep_probability[row], judged),
        _or_none(percent(creep.rate_per_year[row]), creeps),
        _or_none(percent(creep.rate_low[row]), creeps),
        _or_none(percent(creep.rate_high[row]), creeps),
        _or_none(standing.latest_microohm),
        _or_none(standing.latest_u_microohm),
        _or_none(standing.as_made_microohm),
        _or_none(standing.due.day),
        _words_of_days(found, standing, policy),
        range(len(row)),
        strict=True,
    )
    return tuple(
        SpanVerdict(
            span.tag,
            span.kind,
            span.place,
            VERDICT_WORDS[verdict],
            probability,
            rate,
            low,
            high,
            latest,
            u_latest,
            as_made,
            span.limit_microohm,
            None if due is None else date.fromordinal(EPOCH + int(due)),
            why,
            partial(explain_span, found, standing, index),
        )
        for (
            span,
            verdict,
            probability,
            rate,
            low,
            high,
            latest,
            u_latest,
            as_made,
            due,
            why,
            index,
        ) in columns
    )


def _words_of_days(found: Findings, standing: Standing, policy: Policy) -> list[str]:
    """Why each span is to be tested on its day."""
    due, creep, row = standing.due, found.creep, found.row
    moved = np.nan_to_num(due.day - due.own_day).astype(int)
    likely = np.where(found.count >= 3, np.nan_to_num(creep.creep_probability[row]), 0.0)
    rates = zip(
        *(percent(part[row]).tolist() for part in (creep.rate_per_year, creep.rate_low, creep.rate_high)),
        strict=True,
    )
    columns = zip(
        found.evidence.spans, due.code.tolist(), due.longest_day.astype(int).tolist(),
        due.chance.tolist(), likely.tolist(),
        rates, moved.tolist(), due.companions.tolist(), strict=True,
    )  # fmt: skip
    no_limit = f"{policy.working_limit_ratio:g} times its first level (no limit is stated)"
    return [
        word_next_test(
            DayFacts(
                CODES[code],
                span.place,
                span.duty,
                longest,
                interval_of(span.place, policy.intervals).longest_day,
                chance,
                "its limit" if span.limit_microohm is not None else no_limit,
                word_creep(creeps, *rate, is_called=creeps >= CREEPING_FROM) if creeps >= MAYBE_FROM else "",
                days,
                companions,
            )
        )
        for span, code, longest, chance, creeps, rate, days, companions in columns
    ]


def round_shifts(found: Findings) -> tuple[RoundShift, ...]:
    """What each round and pair of instruments did, in order of time; nothing of what was read at a service alone."""
    creep, layout, marked = found.creep, found.layout, found.evidence.readings.calibration_lapsed
    columns = len(layout.day)
    past = np.zeros(columns, int) if marked is None else np.bincount(layout.column[marked], minlength=columns)
    return tuple(
        RoundShift(found.evidence.rounds[which], shift, sd, spans, checks, lapsed, bracket)
        for which, shift, sd, spans, checks, lapsed, bracket in zip(
            layout.column_round.tolist(),
            percent(creep.round_shift).tolist(),
            (100 * creep.round_shift_sd).tolist(),
            (found.read_count - found.check_count).tolist(),
            found.check_count.tolist(),
            past.tolist(),
            found.brackets,
            strict=True,
        )
        if spans + checks
    )


def _or_none(values: Floats, known: Flags | None = None) -> list[float | None]:
    """A list of floats with None where a value is NaN or not `known`."""
    certain = ~np.isnan(values) if known is None else known & ~np.isnan(values)
    return [value if sure else None for value, sure in zip(values.tolist(), certain.tolist(), strict=True)]
