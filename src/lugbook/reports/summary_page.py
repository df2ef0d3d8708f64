"""The first page: what was tested and what was not, with equal weight, and what is open."""

from __future__ import annotations

from collections import Counter

from lugbook.reports.blocks import (
    Block,
    Column,
    Count,
    Notice,
    Panel,
    Panels,
    SealBlock,
    Table,
    Text,
)
from lugbook.reports.codes import draw_code
from lugbook.reports.entry_pages import MARK_OF, TimeAxis
from lugbook.reports.workmanship import Seal, SpanEntry, WorkmanshipReport

MOST_OPEN_POINTS = 6
"""So many fit on the first page; the rest is counted, and stands in its entry."""
MOST_GAPS = 7
MOST_FINDINGS = 3
ACCEPTANCES = ("accepted", "not accepted", "in doubt", "not judged")
MEANINGS = {
    "over limit": "over the limit stated for it",
    "creeping": "creeping: rising for some time",
    "stepped": "stepped: jumped and stayed",
    "too few readings": "too few readings for a trend",
    "not judged": "not judged: nothing was read",
    "steady": "steady",
}


def summary_blocks(report: WorkmanshipReport) -> tuple[Block, ...]:
    """Notice if the book is not sound, what this is in words, found and not tested side by side, open points."""
    blocks: list[Block] = [*unsound_notice(report.seal)]
    blocks.append(Text(_in_words(report)))
    blocks.append(Panels(_found(report), _not_tested(report)))
    blocks += _open_points(report)
    if report.issue.photos_left_out:
        photos = _count(report.issue.photos_left_out, "photo")
        blocks.append(Text(f"Left out of this issue on request: {photos} noted in the book."))
    blocks.append(seal_block(report.seal, 20))
    return tuple(blocks)


def seal_block(seal: Seal, millimetre: float) -> SealBlock:
    """The last seal of the book as text and as a code."""
    words = "Code to scan: name of the book, number of lines, last seal."
    code = draw_code(f"lugbook {seal.book} line {seal.lines} seal {seal.head}", words, millimetre=millimetre)
    return SealBlock((("book", seal.book), ("lines", str(seal.lines))), seal.head, code)


def time_axis(report: WorkmanshipReport) -> TimeAxis:
    """From the first value of all to the last, with a little room."""
    days = [day for span in report.spans if span.trend is not None for day in span.trend.days]
    if not days:
        return TimeAxis(0.0, 1.0)
    return TimeAxis(min(days), max(max(days), min(days) + 1.0))


def is_told(verdict: str) -> bool:
    """Whether a verdict needs a person."""
    return MARK_OF.get(verdict) in ("bad", "watch")


def unsound_notice(seal: Seal) -> tuple[Block, ...]:
    """The red notice of a book that does not verify; nothing for a sound one."""
    if not seal.findings:
        return ()
    shown = seal.findings[:MOST_FINDINGS]
    more = len(seal.findings) - MOST_FINDINGS
    rest = (f"And {more} more.",) if more > 0 else ()
    lead = (
        "Verifying it found what is listed here. Do not rely on anything in this report until that is explained. "
        "“lugbook book verify” lists everything."
    )
    return (Notice("This book does not verify", (lead, *shown, *rest)),)


def _in_words(report: WorkmanshipReport) -> str:
    cables, terminals, spans = len(report.cables), len(report.terminals), report.spans
    read = sum(1 for span in spans if span.first)
    has = (
        f"{report.subject.title} has {_count(cables, 'cable')} with {_count(terminals, 'terminal')} on record"
    )
    if not spans:
        return f"{has}. No span of it is watched, so nothing was measured."
    if not read:
        return f"{has}. {_count(len(spans), 'span')} {'is' if len(spans) == 1 else 'are'} watched; none was read yet."
    when = " to ".join(dict.fromkeys((report.tested_from, report.tested_to)))
    by = f" by {_listed(report.tested_by)}" if report.tested_by else "; by whom is not recorded"
    return (
        f"{has}. Of {_count(len(spans), 'watched span')} {read} {'was' if read == 1 else 'were'} read in "
        f"{_count(len(report.rounds), 'round')}, {when}{by}."
    )


def _found(report: WorkmanshipReport) -> Panel:
    counted = Counter(span.verdict for span in report.spans)
    counts = tuple(
        Count(mark, str(counted[verdict]), MEANINGS[verdict])
        for verdict, mark in MARK_OF.items()
        if counted[verdict]
    )
    words = "The verdict on each watched span, on the day of issue."
    if report.rounds:
        last = report.rounds[-1]
        by = f", by {last.by}" if last.by else ""
        words += f"\nLast round: {last.name}, {_count(last.spans_read, 'span')}, {last.days}{by}."
    made = Counter(terminal.as_made for terminal in report.terminals)
    if made:
        words += f"\nTerminals as made: {', '.join(f'{made[word]} {word}' for word in ACCEPTANCES if made[word])}."
    return Panel("What was found", counts, words)


def _not_tested(report: WorkmanshipReport) -> Panel:
    gaps = [gap for gap in report.gaps if gap.missing]
    counts = tuple(
        Count("none", f"{gap.missing} of {gap.of}", gap.words, "untested") for gap in gaps[:MOST_GAPS]
    )
    more = len(gaps) - MOST_GAPS
    rest = f"{more} more, and the names of up to a hundred each," if more > 0 else "The names, up to a hundred each,"
    words = (
        f"{rest} are listed under “What was not tested”."
        if counts
        else "Nothing of what is looked at is missing."
    )
    return Panel("What was not tested", counts, words)


def _open_points(report: WorkmanshipReport) -> list[Block]:
    order = list(MARK_OF)
    told = sorted((s for s in report.spans if is_told(s.verdict)), key=lambda s: order.index(s.verdict))
    overdue = [span.tag for span in report.spans if span.is_overdue and not is_told(span.verdict)]
    rows = [(span.tag, span.verdict, _why(span)) for span in told]
    rows += [(s.tag, f"{s.verdict}, read again now", s.why_now) for s in report.spans if _is_due_now(s)]
    blocks: list[Block] = []
    if rows:
        columns = (Column("span", 1.1), Column("verdict", 0.9), Column("why", 4.6))
        blocks.append(Table("Open points", columns, tuple(rows[:MOST_OPEN_POINTS])))
    sentences = []
    if len(rows) > MOST_OPEN_POINTS:
        sentences.append(f"{len(rows) - MOST_OPEN_POINTS} more need a person; each is in its entry.")
    if overdue:
        sentences.append(
            f"The day to test again has passed for {_count(len(overdue), 'span')}: {_shown(overdue)}."
        )
    if refused := [terminal.end for terminal in report.terminals if terminal.as_made == "not accepted"]:
        sentences.append(f"Not accepted as made: {_count(len(refused), 'terminal')}, {_shown(refused)}.")
    if sentences:
        blocks.append(Text(" ".join(sentences)))
    nothing = "Open points: none. No span needs a person, none is overdue, and no terminal was refused as made."
    return [*(blocks or [Text(nothing)]), *_mended(report)]


def _is_due_now(span: SpanEntry) -> bool:
    """Whether a span whose verdict asks for nobody is to be read again all the same; unread ones are told as such."""
    return bool(span.why_now) and not span.is_overdue and bool(span.first) and not is_told(span.verdict)


def _mended(report: WorkmanshipReport) -> list[Block]:
    """Joints that work found over their limit, and what was left of them."""
    mended, unread = [], []
    for one in report.services:
        if one.found is None or not one.found.is_over:
            continue
        if one.left is None:
            unread.append(f"{one.span}, {one.on} ({one.found.short} µΩ, limit {one.limit})")
        elif not one.left.is_over:
            values = f"{one.found.short} to {one.left.short} µΩ, limit {one.limit}"
            mended.append(f"{one.span}, {one.on} ({values})")
    sentences = []
    if mended:
        sentences.append(f"Found over its limit and mended: {_shown(mended, '; ')}.")
    if unread:
        sentences.append(f"Found over its limit, worked on, and not read as left: {_shown(unread, '; ')}.")
    return [Text(" ".join(sentences))] if sentences else []


def _shown(tags: list[str], between: str = ", ") -> str:
    return between.join(tags[:6]) + (f" and {len(tags) - 6} more" if len(tags) > 6 else "")


def _why(span: SpanEntry) -> str:
    return span.reasons[0] if span.reasons else ""


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}{'' if number == 1 else 's'}"


def _listed(words: tuple[str, ...]) -> str:
    return f"{', '.join(words[:-1])} and {words[-1]}" if len(words) > 1 else "".join(words)
