"""How one terminal and its spans are told."""

from __future__ import annotations

from dataclasses import dataclass
from hashlib import sha256

from lugbook.reports.blocks import Drawing, Entry, Figure, Measure
from lugbook.reports.sparklines import Trend, draw_trend
from lugbook.reports.workmanship import SpanEntry, TerminalEntry

MARK_OF = {
    "over limit": "bad",
    "creeping": "watch",
    "stepped": "watch",
    "too few readings": "open",
    "not judged": "none",
    "steady": "good",
}
"""Verdict -> how it is marked; the worst first."""

PICTURE_HEIGHT_SHARE = 4.5 / 7.2
"""Height of a plot beside its width, as plots.py draws it."""


@dataclass(frozen=True)
class TimeAxis:
    """First and last day that every trend of a report shows; days since 1970-01-01."""

    first: float
    last: float


def entry_of(terminal: TerminalEntry, axis: TimeAxis) -> Entry:
    """A terminal with all that was measured on it."""
    made = f"made {terminal.made_on}" + (
        f" by {terminal.made_by}" if terminal.made_by else ", by whom not recorded"
    )
    about = [made, f"recipe {terminal.recipe}" if terminal.recipe else "recipe not recorded"]
    about += [f"{terminal.joining}, not crimped"] if terminal.joining else []
    about += [f"on {terminal.landing}" if terminal.landing else "landing not recorded"]
    about += [f"place: {terminal.place}"] if terminal.place else []
    about += [] if terminal.look else ["workmanship not judged"]
    remarks = [terminal.look] if terminal.look else []
    remarks += [said for said in (terminal.acceptance, terminal.proof, terminal.earlier) if said]
    remarks += [f"Note: {terminal.note}"] if terminal.note else []
    if not terminal.spans:
        remarks.insert(0, "Not judged: no span of this terminal is watched, and nothing was measured.")
    measures = tuple(measure_of(span, axis) for span in terminal.spans)
    return Entry(
        anchor_of("end", terminal.end), terminal.end, tuple(about), measures, tuple(remarks), terminal.photos
    )


def lone_entry(span: SpanEntry, axis: TimeAxis) -> Entry:
    """A span that belongs to no single terminal."""
    about = (f"place: {span.place}", *((f"{span.joining}, not crimped",) if span.joining else ()))
    return Entry(anchor_of("span", span.tag), span.tag, about, (measure_of(span, axis),), ())


def measure_of(span: SpanEntry, axis: TimeAxis) -> Measure:
    """One span of an entry: first, now, limit, trend, verdict, and why where it is not steady."""
    details = (
        ("first", span.first or "not read", span.first_on),
        ("now", span.now or "not read", span.now_on),
        ("limit", span.limit or "none set", ""),
        ("test again", span.next_test or "every round", "overdue" if span.is_overdue else ""),
    )
    return Measure(
        span=span.kind if span.tag.endswith(f"/{span.kind}") else f"{span.tag} · {span.kind}",
        mark=MARK_OF.get(span.verdict, "none"),
        verdict=span.verdict,
        details=details,
        trend=_trend_of(span, axis),
        remarks=_remarks_on(span),
    )


def _remarks_on(span: SpanEntry) -> tuple[str, ...]:
    """Why, and what that rests on, one sentence for a steady span; then why a span once read is to be tested again."""
    due = (f"To be tested again: {span.why_now}",) if span.why_now and span.first else ()
    kept = span.reasons[:1] if MARK_OF.get(span.verdict) == "good" else span.reasons
    if not kept or not span.source:
        return (*kept, *due)
    return (*kept[:-1], f"{kept[-1]} Source: {span.source}.", *due)


def picture_of(span: SpanEntry, wide: float) -> Figure:
    """The large plot of a span, which carries its verdict and why; captioned with its numbers; `wide` in millimetre."""
    high = PICTURE_HEIGHT_SHARE * wide
    why = span.reasons[0] if span.reasons else ""
    words = f"Plot of the readings of {span.tag} over the years: {span.verdict}. {why}"
    said = (
        f"first {span.first}, {span.first_on}" if span.first else "",
        f"now {span.now}, {span.now_on}" if span.now else "",
        f"limit {span.limit or 'none set'}",
        span.rate,
        f"test again {span.next_test}" + (", overdue" if span.is_overdue else ""),
    )
    return Figure(
        Drawing(span.picture, words, wide, high), f"{span.tag}: {' · '.join(one for one in said if one)}"
    )


def anchor_of(kind: str, tag: str) -> str:
    """A name for links that no text of a person can bend: "end-" or "span-" and 16 hex digits."""
    return f"{kind}-{sha256(tag.encode('utf-8', 'surrogatepass')).hexdigest()[:16]}"


def _trend_of(span: SpanEntry, axis: TimeAxis) -> Drawing | None:
    trend: Trend | None = span.trend
    if trend is None:
        return None
    words = f"Trend of {span.tag}: {span.readings} readings, first {span.first}, now {span.now}."
    return draw_trend(trend, axis.first, axis.last, words)
