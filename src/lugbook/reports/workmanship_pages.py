"""In which order and in which words a workmanship report says what it was told."""

from __future__ import annotations

from lugbook.reports.blocks import (
    Block,
    Bullets,
    Document,
    Facts,
    Notice,
    Section,
    Text,
    table_or_words,
)
from lugbook.reports.entry_pages import entry_of, lone_entry, picture_of
from lugbook.reports.recipe_pages import recipe_sections
from lugbook.reports.standing_words import (
    CAUTION,
    HOW_TO_CHECK,
    HOW_TO_READ,
    LIMITS,
    NOT_RECORDED,
    PRIVATE,
    RECORDED,
)
from lugbook.reports.summary_page import seal_block, summary_blocks, time_axis, unsound_notice
from lugbook.reports.workmanship import StagedValue, WorkmanshipReport

NOTHING_SAID = "not recorded"
PART_OF = "the workmanship report on the whole build says what was not tested, with which meters, and by what criteria."


def workmanship_document(report: WorkmanshipReport) -> Document:
    """The whole report on a build."""
    sections = (
        _how_to_read(report),
        _method(report),
        *recipe_sections(report),
        _cables(report),
        *_pictures(report),
        *_terminals(report),
        _services(report),
        _untested(report),
        _criteria(report),
        _superseded(report),
        _limits(),
        _seal(report),
    )
    return _document("Workmanship report", report, sections, summary_blocks(report))


def extract_document(report: WorkmanshipReport, kicker: str) -> Document:
    """A page on a cable or a span: the same entries, without what is said of the whole build."""
    axis = time_axis(report)
    entries = [entry_of(terminal, axis) for terminal in report.terminals]
    entries += [lone_entry(span, axis) for span in report.other_spans]
    plots = [picture_of(span, 125.0) for span in report.spans if span.picture]
    seal: tuple[Block, ...] = (seal_block(report.seal, 24), Text(HOW_TO_CHECK[1]))
    parts = [Section("measured", "As measured", (*plots, *entries, *seal))]
    if report.services:
        parts.append(_services(report))
    if report.superseded:
        parts.append(_superseded(report))
    carried = [
        Facts((("from, to", line.ends), ("carries", line.carries or NOTHING_SAID))) for line in report.cables
    ]
    words = Text(f"From the record of {report.subject.build}; {PART_OF}")
    return _document(kicker, report, tuple(parts), (*unsound_notice(report.seal), words, *carried))


def _document(
    kicker: str, report: WorkmanshipReport, sections: tuple[Section, ...], first_page: tuple[Block, ...]
) -> Document:
    issue = report.issue
    strip = (
        ("Issue", issue.number if issue.is_recorded else f"{issue.number}, not recorded"),
        ("Date", issue.on),
        ("Replaces", f"issue {issue.replaces}" if issue.replaces else "none named"),
        *((("Issued to", issue.issued_to),) if issue.issued_to else ()),
        ("Book", f"{report.seal.book}, {report.seal.lines} lines"),
    )
    return Document(
        kicker=kicker,
        title=report.subject.title,
        subtitle=report.subject.description,
        running=f"Book {report.seal.book}",
        issue=f"{report.subject.build} · {issue.called} · {issue.on}",
        strip=strip,
        first_page=first_page,
        sections=sections,
        day=issue.on,
    )


def _how_to_read(report: WorkmanshipReport) -> Section:
    words = (*HOW_TO_READ, PRIVATE) if report.issue.is_private else HOW_TO_READ
    return Section("read", "How to read this report", (Bullets(words),))


def _method(report: WorkmanshipReport) -> Section:
    blocks: list[Block] = [
        Text(
            "Each reading is the drop in millivolts between two fixed probe places while a known current flows: "
            "R = V / I, brought to 20 °C with the coefficient of copper, 0.00393 per kelvin (IEC 60028). What the "
            "meters did to all readings of a round together is estimated from all spans of that round and taken out "
            "before anything is judged; what each reading may be out comes from the meters' stated accuracy."
        ),
        table_or_words(
            "Meters and their calibration",
            (
                ("instrument", 1.1),
                ("kind", 1.2),
                ("stated accuracy", 2.0),
                ("calibration", 2.3),
                ("used", 1.8),
            ),
            [
                (
                    one.name,
                    one.kind,
                    one.accuracy,
                    _calibration(one.calibrated, one.lapsed_readings),
                    one.used,
                )
                for one in report.instruments
            ],
            "No instrument is recorded for this build.",
        ),
        table_or_words(
            "Rounds of readings",
            (
                ("round", 1.0),
                ("days", 1.7),
                ("spans", 0.6),
                ("by", 1.4),
                ("meters read", 1.5),
                ("check standard", 2.2),
            ),
            [
                (one.name, one.days, str(one.spans_read), one.by or NOTHING_SAID, one.shift, one.check)
                for one in report.rounds
            ],
            "No round of readings is recorded for this build.",
        ),
    ]
    return Section("method", "Method and instruments", tuple(blocks))


def _calibration(calibrated: str, lapsed: int) -> str:
    if not lapsed:
        return calibrated
    readings = "1 reading was" if lapsed == 1 else f"{lapsed} readings were"
    return f"{calibrated}; {readings} taken after it had lapsed"


def _cables(report: WorkmanshipReport) -> Section:
    table = table_or_words(
        "Cables of this build",
        (("cable", 0.7), ("conductor", 2.1), ("length", 1.2), ("from, to", 1.4), ("carries", 2.8)),
        [(one.tag, one.conductor, one.length, one.ends, one.carries) for one in report.cables],
        "No cable is recorded for this build.",
    )
    return Section("cables", "Cable schedule", (table,))


def _pictures(report: WorkmanshipReport) -> tuple[Section, ...]:
    told = [span for span in report.spans if span.picture]
    if not told:
        return ()
    blocks = tuple(picture_of(span, 160.0) for span in told)
    return (Section("pictures", "The spans that need a person", blocks),)


def _terminals(report: WorkmanshipReport) -> tuple[Section, ...]:
    axis = time_axis(report)
    entries = tuple(entry_of(terminal, axis) for terminal in report.terminals)
    others = tuple(lone_entry(span, axis) for span in report.other_spans)
    nothing = (Text("No terminal is recorded for this build."),)
    terminals = Section("terminals", "Terminals, one by one", entries or nothing)
    if not others:
        return (terminals,)
    return (terminals, Section("spans", "Spans that belong to no single terminal", others))


def _services(report: WorkmanshipReport) -> Section:
    table = table_or_words(
        "Work done on spans",
        (("day", 0.9), ("span", 1.1), ("done", 0.8), ("by", 0.8), ("as found", 1.3), ("as left", 1.3), ("limit", 0.6),
         ("torque", 0.9), ("note", 1.1)),
        [
            (one.on, one.span, one.action, one.by or NOTHING_SAID, _staged(one.found), _staged(one.left),
             one.limit or "none set", one.torque, one.note)
            for one in report.services
        ],
        "No service is recorded: every joint is as it was made, or work on it was not written down.",
    )  # fmt: skip
    return Section("services", "Service history", (table,))


def _staged(value: StagedValue | None) -> str:
    if value is None:
        return "not read"
    return "\n".join(filter(None, (value.value, "over its limit" if value.is_over else "", value.seen)))


def _untested(report: WorkmanshipReport) -> Section:
    lines = [
        f"{gap.words}: {gap.missing} of {gap.of}{_which(gap.which)}." for gap in report.gaps if gap.missing
    ]
    words = Text(
        "Each line is one thing this report looks for, and where it is missing. What it does not look for stands "
        "under the limits of this record."
    )
    blocks = (
        (words, Bullets(tuple(lines))) if lines else (Text("Nothing of what is looked at here is missing."),)
    )
    return Section("untested", "What was not tested", blocks)


def _which(tags: tuple[str, ...]) -> str:
    return f" ({', '.join(tags)})" if tags else ""


def _criteria(report: WorkmanshipReport) -> Section:
    table = table_or_words(
        "Criteria and where they come from",
        (("what", 1.2), ("asks", 2.4), ("source", 2.2), ("how it is known", 1.5), ("used for", 1.2)),
        [(one.what, one.asks, one.source, one.provenance, one.used_for) for one in report.criteria],
        "No criterion was used.",
    )
    return Section("criteria", "Criteria, their source and how they are known", (table,))


def _superseded(report: WorkmanshipReport) -> Section:
    table = table_or_words(
        "Entries corrected or withdrawn",
        (("entry", 0.7), ("what", 1.3), ("said", 1.7), ("now says", 1.7), ("why", 1.9), ("who, when", 1.4)),
        [
            (one.entry, one.what, one.said, one.now_says, one.why, f"{one.who or 'not said'}, {one.on}")
            for one in report.superseded
        ],
        "No entry of this build was corrected or withdrawn.",
    )
    lead = Text("Nothing in the book is erased. These values no longer count; they stay and can be read.")
    return Section("superseded", "Superseded values", (lead, table) if report.superseded else (table,))


def _limits() -> Section:
    blocks: tuple[Block, ...] = (
        Bullets(LIMITS),
        Notice("Before hands go near a battery", (CAUTION,), is_alarm=False),
    )
    return Section("limits", "Cautions, and the limits of this record", blocks)


def _seal(report: WorkmanshipReport) -> Section:
    how = (*HOW_TO_CHECK, RECORDED if report.issue.is_recorded else NOT_RECORDED)
    blocks: list[Block] = [seal_block(report.seal, 30), Bullets(how)]
    if report.issue.earlier:
        rows = tuple((one.number, one.on, one.about, one.issued_to, one.fate) for one in report.issue.earlier)
        columns = (("issue", 0.6), ("of", 0.9), ("about", 1.5), ("issued to", 2.0), ("since then", 1.4))
        blocks.append(table_or_words("Issues recorded before this one", columns, list(rows), ""))
    return Section("seal", "The seal of the book", tuple(blocks))
