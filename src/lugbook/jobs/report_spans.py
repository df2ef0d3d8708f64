"""The spans of a build as a report tells them, and the criteria they were judged by."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping
from datetime import date
from typing import TYPE_CHECKING

from lugbook.assessment.criteria import MEMORY, PRACTICE
from lugbook.jobs.joinings import not_crimped
from lugbook.jobs.report_scope import Scope
from lugbook.records.tables import Span
from lugbook.reports.sparklines import Trend
from lugbook.reports.summary_page import is_told
from lugbook.reports.workmanship import CriterionLine, SpanEntry
from lugbook.units.wording import word_with_uncertainty

if TYPE_CHECKING:
    from lugbook.assessment.judging import SpanVerdict
    from lugbook.assessment.story import BuildStory, SpanStory

EPOCH = date(1970, 1, 1).toordinal()
MOST_PICTURES = 8
"""Large plots, of the spans that need a person most; the small trend of every span is in its entry."""
OWN_ASSUMPTION = "our assumption"


def span_entries(scope: Scope, told: BuildStory | None) -> dict[str, SpanEntry]:
    """Every span of the build by its tag; None where the build has none."""
    if told is None:
        return {}
    drawn = _drawn(told)
    joined = {scope.directory.name(Span, identity): how for identity, how in not_crimped(scope.directory).items()
              if scope.directory.build_of(Span, scope.directory.row(Span, identity)) == scope.build["id"]}  # fmt: skip
    return {
        story.span: _entry(scope, story, story.span in drawn, joined.get(story.span, ""))
        for story in told.spans
    }


def _drawn(told: BuildStory) -> frozenset[str]:
    order = ("over limit", "creeping", "stepped")
    serious = sorted(
        (story for story in told.spans if is_told(story.verdict.verdict)),
        key=lambda story: order.index(story.verdict.verdict),
    )
    return frozenset(story.span for story in serious[:MOST_PICTURES])


def _entry(scope: Scope, story: SpanStory, has_picture: bool, joining: str) -> SpanEntry:
    from lugbook.assessment.reasons import word_reason

    verdict = story.verdict
    next_test = verdict.next_test
    return SpanEntry(
        tag=story.span,
        kind=story.kind,
        place=story.place,
        verdict=verdict.verdict,
        reasons=tuple(word_reason(reason) for reason in verdict.reasons),
        source="; ".join(dict.fromkeys(reason.source for reason in verdict.reasons[:2])),
        first=_first(story),
        first_on=_day(story.days[0]) if len(story.days) else "",
        now=_now(verdict),
        now_on=_day(story.days[-1]) if len(story.days) and verdict.microohm_20c is not None else "",
        joining=joining,
        limit="" if verdict.limit_microohm is None else f"{verdict.limit_microohm:g} µΩ",
        rate=_rate(verdict),
        readings=len(story.days),
        next_test="" if next_test is None else next_test.isoformat(),
        why_now=verdict.next_test_reason if next_test is not None and next_test <= scope.on else "",
        is_overdue=next_test is not None and next_test < scope.on,
        trend=_trend(story),
        picture=_picture(story, joining) if has_picture else "",
    )


def _first(story: SpanStory) -> str:
    if not len(story.days):
        return ""
    return word_with_uncertainty(
        float(story.raw_microohm[0]), float(story.expanded_microohm[0]) / 2, "microohm"
    )


def _now(verdict: SpanVerdict) -> str:
    if verdict.microohm_20c is None or verdict.u_microohm is None:
        return ""
    return word_with_uncertainty(verdict.microohm_20c, verdict.u_microohm, "microohm")


def _rate(verdict: SpanVerdict) -> str:
    if verdict.rate_percent_per_year is None or verdict.rate_low is None or verdict.rate_high is None:
        return ""
    return f"{verdict.rate_percent_per_year:.0f} % a year ({verdict.rate_low:.0f} to {verdict.rate_high:.0f})"


def _trend(story: SpanStory) -> Trend | None:
    if not len(story.days):
        return None
    return Trend(
        tuple(story.days.tolist()),
        tuple(story.corrected_microohm.tolist()),
        tuple(story.series_number.tolist()),
        story.limit_microohm,
    )


def _picture(story: SpanStory, joining: str) -> str:
    from lugbook.reports.plots import draw_span

    return draw_span(story, "svg", joined=joining).decode()


def _day(days: float) -> str:
    return date.fromordinal(EPOCH + math.floor(days)).isoformat()


def criterion_lines(scope: Scope, told: BuildStory | None) -> tuple[CriterionLine, ...]:
    """What the spans were judged by, with where it comes from and how it is known."""
    if told is None:
        return ()
    limits = Counter(str(row["kind"]) for row in scope.rows(Span) if row["limit_microohm"] is not None)
    lines = [_limit_line(limits)] if limits else []
    lines += [
        CriterionLine(
            "change over the years",
            "a creep or step more likely than not, told from noise, bad readings and what the meters share",
            "the readings and the meters' stated accuracy, through the model this program publishes",
            "worked out by us; GUM (JCGM 100:2008) for uncertainty",
            f"{len(told.spans)} spans",
        ),
        CriterionLine(
            "enough readings", "three or more in a series before a trend is judged", "Lugbook", OWN_ASSUMPTION,
            f"{len(told.spans)} spans",
        ),
        CriterionLine(
            "time to the next test", "the longest interval for its place, sooner where a limit comes near",
            "Lugbook, after the trade's habit of a look each season", PRACTICE, f"{len(told.spans)} spans",
        ),
    ]  # fmt: skip
    without = sum(1 for s in told.spans if any(r.code == "no limit" for r in s.verdict.reasons))
    if without:
        words = "a multiple of the first level, used only to plan the next test"
        lines.append(
            CriterionLine(
                "level to plan by", words, "IEEE 837, older editions",
                f"from {MEMORY}, to be checked", f"{without} spans",
            )
        )  # fmt: skip
    return tuple(lines)


def _limit_line(limits: Mapping[str, int]) -> CriterionLine:
    count = sum(limits.values())
    kinds = ", ".join(f"{number} {kind}" for kind, number in limits.items())
    return CriterionLine(
        "limit of a span",
        "the resistance at 20 °C that its owner stated for it",
        "the owner, in the book; shown in each entry",
        "stated without source",
        f"{count} spans ({kinds})",
    )
