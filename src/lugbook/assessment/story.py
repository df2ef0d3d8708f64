"""The life of one span as finished arrays for a picture."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

import numpy as np

from lugbook.assessment.evidence import BuildEvidence, Floats, Whole
from lugbook.assessment.findings import Findings, examine
from lugbook.assessment.judging import EPOCH, BuildJudgement, SpanVerdict, judge_findings
from lugbook.assessment.reasons import word_reason
from lugbook.assessment.standing import Policy
from lugbook.errors import UnknownSpan
from lugbook.inference.creep import NORMAL_95
from lugbook.inference.rounds import DAYS_PER_YEAR

COVERAGE = 2.0  # expanded uncertainty, JCGM 100:2008 6.3.3: about 95 %
BAND_POINTS = 61
BAND_BEYOND_DAY = 365.0  # how far beyond the last reading the band goes where the next test comes sooner


@dataclass(frozen=True)
class SpanStory:
    """Everything a trend picture shows of one span; days are days since 1970-01-01 UTC."""

    build: str
    span: str
    kind: str
    place: str
    title: str  # "C07B/crimp: creeping"
    subtitle: str  # the first reason, in words
    days: Floats  # (n,) one point per round, in order of time
    rounds: tuple[str, ...]  # (n,) the round of each point
    raw_microohm: Floats  # (n,) at 20 degC, as read
    expanded_microohm: Floats  # (n,) expanded uncertainty (k = 2), all in
    corrected_microohm: Floats  # (n,) the shift of the round taken out
    corrected_expanded_microohm: Floats  # (n,) k = 2, own noise and what is left of the shift
    series_number: Whole  # (n,) 0 = as made
    # (s,) days on which a new series started; an unknown one is placed at the first reading of its series.
    service_days: Floats
    limit_microohm: float | None
    # (b,) from the start of the current series to beyond the next test; empty with fewer than 3 readings.
    band_days: Floats
    band_mid_microohm: Floats
    band_low_microohm: Floats  # 5 % point
    band_high_microohm: Floats  # 95 % point
    verdict: SpanVerdict


def tell_story(day: date, evidence: BuildEvidence, tag: str, policy: Policy | None = None) -> SpanStory:
    """The story of one span as of `day`. Raises UnknownSpan where the build has no span of that tag."""
    tags = [span.tag for span in evidence.spans]
    if tag not in tags:
        raise UnknownSpan(tag, f"one of the {len(tags)} spans of build {evidence.build}")
    span = tags.index(tag)
    found = examine(evidence)
    verdict = judge_findings(day, evidence, found, policy or Policy()).verdicts[span]
    if found is None:
        return _empty_story(evidence, span, verdict)
    return _story(found, span, verdict)


@dataclass(frozen=True)
class BuildStory:
    """The verdicts on a build, and the life of each span, in the order of the evidence."""

    judgement: BuildJudgement
    spans: tuple[SpanStory, ...]


def tell_build(day: date, evidence: BuildEvidence, policy: Policy | None = None) -> BuildStory:
    """The story of every span of a build as of `day`, from one examination of its readings."""
    found = examine(evidence)
    judgement = judge_findings(day, evidence, found, policy or Policy())
    numbered = enumerate(judgement.verdicts)
    if found is None:
        return BuildStory(judgement, tuple(_empty_story(evidence, span, v) for span, v in numbered))
    return BuildStory(judgement, tuple(_story(found, span, v) for span, v in numbered))


def _story(found: Findings, span: int, verdict: SpanVerdict) -> SpanStory:
    layout, creep, watched = found.layout, found.creep, found.evidence.spans[span]
    rows = slice(int(layout.first_row[span]), int(layout.first_row[span + 1]))
    raw = layout.microohm_20c[rows]
    series, column = np.nonzero(~np.isnan(raw))
    order = np.lexsort((series, layout.day[column]))
    series, column = series[order], column[order]
    raw = raw[series, column]
    row = rows.start + series
    corrected = np.exp(creep.corrected[row, column])
    u_raw = raw * np.hypot(layout.own_sd[row, column], layout.gain_sd[column])
    band = _band(found, span, verdict)
    return SpanStory(
        build=found.evidence.build,
        span=watched.tag,
        kind=watched.kind,
        place=watched.place,
        title=f"{watched.tag}: {verdict.verdict}",
        subtitle=word_reason(verdict.reasons[0]),
        days=layout.day[column],
        rounds=tuple(found.evidence.rounds[which] for which in layout.column_round[column].tolist()),
        raw_microohm=raw,
        expanded_microohm=COVERAGE * u_raw,
        corrected_microohm=corrected,
        corrected_expanded_microohm=COVERAGE * corrected * creep.corrected_sd[row, column],
        series_number=series.astype(np.int64),
        service_days=_service_days(found, span, series, layout.day[column]),
        limit_microohm=watched.limit_microohm,
        band_days=band[0],
        band_mid_microohm=band[1],
        band_low_microohm=band[2],
        band_high_microohm=band[3],
        verdict=verdict,
    )


def _service_days(found: Findings, span: int, series: Whole, days: Floats) -> Floats:
    """First reading of each later series; the last service has its own day where it is known."""
    watched = found.evidence.spans[span]
    starts = [
        float(days[series == number].min())
        for number in range(1, watched.series_count)
        if (series == number).any()
    ]
    if watched.series_started_day is not None and watched.series_count > 1:
        current_read = bool((series == watched.series_count - 1).any())
        starts = [*(starts[:-1] if current_read else starts), watched.series_started_day]
    return np.array(starts, float)


def _band(found: Findings, span: int, verdict: SpanVerdict) -> Floats:
    """Days, middle, 5 % and 95 % point of the level: flat, or flat and then rising; (4, b)."""
    creep, row = found.creep, int(found.row[span])
    if found.count[span] < 3:
        return np.zeros((4, 0))
    start, last = found.layout.day[found.first_column[span]], found.layout.day[found.last_column[span]]
    next_test = -np.inf if verdict.next_test is None else float(verdict.next_test.toordinal() - EPOCH)
    stepped = creep.verdict[row] == "stepped"
    days = np.linspace(
        creep.step_day[row] if stepped else start, max(next_test, last + BAND_BEYOND_DAY), BAND_POINTS
    )
    if creep.verdict[row] == "creeping":
        return np.vstack([days, np.exp(_creep_band(found, row, days))])
    level, half = creep.level_start[row], NORMAL_95 * creep.level_sd[row]
    return np.vstack([days, *(np.full(BAND_POINTS, np.exp(level + side * half)) for side in (0, -1, 1))])


def _creep_band(found: Findings, row: int, days: Floats) -> Floats:
    """Middle, 5 % and 95 % point of the ln level: that of the early readings until the line through the later ones
    is above it; (3, b).

    The creep begins somewhere between two looks; where both meet is what the readings say of it.
    """
    creep = found.creep
    columns = np.flatnonzero(~np.isnan(creep.corrected[row]))
    day, value = found.layout.day[columns], creep.corrected[row, columns]
    weight = (1 - creep.bad_reading_probability[row, columns]) / creep.corrected_sd[row, columns] ** 2
    is_later = day > creep.onset_day[row]
    early, later = weight * ~is_later, weight * is_later
    flat, middle_day = (early @ value) / early.sum(), (later @ day) / later.sum()
    years = (days - middle_day) / DAYS_PER_YEAR
    rate, slowest, fastest = creep.rate_per_year[row], creep.rate_low[row], creep.rate_high[row]
    later_years = (day - middle_day) / DAYS_PER_YEAR
    rising = (later @ (value - rate * later_years)) / later.sum() + rate * years
    # The rate turns the line about the middle of its readings: faster is lower before, and higher after.
    to_slow, to_fast = (rate - slowest) * years, (fastest - rate) * years
    below = np.hypot(NORMAL_95 / np.sqrt(later.sum()), np.where(years > 0, to_slow, to_fast))
    above = np.hypot(NORMAL_95 / np.sqrt(later.sum()), np.where(years > 0, to_fast, to_slow))
    half = NORMAL_95 / np.sqrt(early.sum())
    return np.maximum([[flat], [flat - half], [flat + half]], [rising, rising - below, rising + above])


def _empty_story(evidence: BuildEvidence, span: int, verdict: SpanVerdict) -> SpanStory:
    watched, none = evidence.spans[span], np.zeros(0)
    started = watched.series_started_day
    return SpanStory(
        build=evidence.build,
        span=watched.tag,
        kind=watched.kind,
        place=watched.place,
        title=f"{watched.tag}: {verdict.verdict}",
        subtitle=word_reason(verdict.reasons[0]),
        days=none,
        rounds=(),
        raw_microohm=none,
        expanded_microohm=none,
        corrected_microohm=none,
        corrected_expanded_microohm=none,
        series_number=np.zeros(0, np.int64),
        service_days=none if started is None else np.array([started]),
        limit_microohm=watched.limit_microohm,
        band_days=none,
        band_mid_microohm=none,
        band_low_microohm=none,
        band_high_microohm=none,
        verdict=verdict,
    )
