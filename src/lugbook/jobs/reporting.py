"""Making the reports that others are shown: a whole build, one cable, one span, as HTML and PDF."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from lugbook.errors import FileUnwritable, NothingCalled, NothingToShow, OneAtATime
from lugbook.jobs.directory import Directory, Mismatch, Row
from lugbook.jobs.evidence import gather_evidence
from lugbook.jobs.exchanging import write_file
from lugbook.jobs.issuing import Issued, IssueView, issue_number, issue_replaced, issue_views, record_issue
from lugbook.jobs.recording import open_desk
from lugbook.jobs.report_acceptance import acceptance_lines, acceptances_of
from lugbook.jobs.report_gaps import gaps_of
from lugbook.jobs.report_history import instrument_lines, round_lines
from lugbook.jobs.report_photos import begin_prints, finished_prints
from lugbook.jobs.report_scope import Scope
from lugbook.jobs.report_services import service_lines
from lugbook.jobs.report_spans import criterion_lines, span_entries
from lugbook.jobs.report_superseded import superseded_lines
from lugbook.jobs.report_terminals import cable_lines, recipe_entries, terminal_entries
from lugbook.jobs.report_trials import trial_entries
from lugbook.jobs.rounds import utc_text
from lugbook.records.logbook import Logbook, read_head
from lugbook.records.store import Book
from lugbook.records.tables import Photo
from lugbook.records.verification import verify
from lugbook.reports.blocks import Document
from lugbook.reports.workmanship import (
    DRAFT,
    CableLine,
    EarlierIssue,
    Issue,
    Seal,
    SpanEntry,
    Subject,
    TerminalEntry,
    WorkmanshipReport,
)

if TYPE_CHECKING:
    from lugbook.assessment.story import BuildStory

MOST_SIDE_BY_SIDE = 4


@dataclass(frozen=True)
class Wanted:
    """What a person asked for."""

    build: str | None = None
    span: str | None = None
    cable: str | None = None
    is_private: bool = False
    paper: str = "a4"
    issue: str | None = None
    """None: the next number of the build where it is recorded, else a draft at the book's last line."""
    replaces: str = ""
    photo_folders: tuple[Path, ...] = ()
    with_photos: bool = True
    is_recorded: bool = False
    """The issue is entered in the book."""
    issued_to: str = ""
    by: str | None = None


@dataclass(frozen=True)
class Reported:
    """What was written, and what has to be said of it."""

    html: Path
    pdf: Path
    issue: str
    called: str
    replaces: str
    declares_archive: bool
    remarks: tuple[str, ...]


def make_report(book: Book, on: date, wanted: Wanted, folder: Path, now: datetime) -> Reported:
    """Write the report on a build, or on one cable or span of it, as HTML and as PDF.

    Where asked, the issue is entered in the book too: both files and the entry, or none of them.
    Raises NothingCalled, NothingToShow, PhotosAmiss, PhotoUnusable, PaperUnknown, OneAtATime, FileUnwritable;
    where recorded also IssueTaken, BookMovedOn, UnsoundIssue, BookUnwritable.
    """
    from lugbook.reports.html import html_document
    from lugbook.reports.pdf import check_paper, pdf_document

    check_paper(wanted.paper)
    if wanted.span is not None and wanted.cable is not None:
        raise OneAtATime
    report = gather_report(book, on, wanted)
    document = compose_report(report, wanted)
    with ThreadPoolExecutor(max_workers=1) as beside:
        page = beside.submit(html_document, document)
        paper = pdf_document(document, wanted.paper)
    stem = file_stem(report, wanted)
    html, pdf = folder / f"{stem}.html", folder / f"{stem}.pdf"
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise FileUnwritable(folder) from error
    if wanted.is_recorded:
        with book.writing() as connection:
            desk = open_desk(Logbook(connection, now), now)
            record_issue(desk, _issued(report, wanted, now), report.seal, page.result(), paper.content)
            _write_both(html, page.result(), pdf, paper.content)
    else:
        _write_both(html, page.result(), pdf, paper.content)
    unsound = ("This book does not verify; the report says so in red on its first page.",)
    remarks = (*(unsound if report.seal.findings else ()), *((paper.remark,) if paper.remark else ()))
    return Reported(
        html,
        pdf,
        report.issue.number,
        report.issue.called,
        report.issue.replaces,
        paper.declares_archive,
        remarks,
    )


def _write_both(html: Path, page: bytes, pdf: Path, paper: bytes) -> None:
    write_file(html, page)
    write_file(pdf, paper)


def _issued(report: WorkmanshipReport, wanted: Wanted, now: datetime) -> Issued:
    return Issued(
        build=report.subject.build,
        number=report.issue.number,
        issued_at=utc_text(now),
        as_of=report.issue.on,
        subject=wanted.span or wanted.cable or "",
        is_private=wanted.is_private,
        replaces=report.issue.replaces,
        issued_to=wanted.issued_to,
        by=wanted.by,
    )


def compose_report(report: WorkmanshipReport, wanted: Wanted) -> Document:
    """The document of a report: the whole build, or the page on one cable or span. Raises NothingToShow."""
    from lugbook.reports.workmanship_pages import extract_document, workmanship_document

    if wanted.span is not None:
        return extract_document(_of_span(report, wanted.span), "Report on one span")
    if wanted.cable is not None:
        return extract_document(_of_cable(report, wanted.cable), "Report on one cable")
    return workmanship_document(report)


def file_stem(report: WorkmanshipReport, wanted: Wanted) -> str:
    """A name for the files, with day and issue: letters, digits and hyphens alone, whatever the build is called."""
    title = f"{report.subject.build} {wanted.span or wanted.cable or ''}"
    issue = f"{report.issue.on}-{_slug(report.issue.called, 40)}"
    kind = ("-private" if report.issue.is_private else "") + ("" if wanted.with_photos else "-without-photos")
    return f"report-{_slug(title, 60) or 'build'}-{issue}{kind}"


def _slug(text: str, longest: int) -> str:
    hyphened = "".join(sign.lower() if sign.isalnum() else "-" for sign in text)
    return "-".join(part for part in hyphened.split("-") if part)[:longest]


def gather_report(book: Book, on: date, wanted: Wanted) -> WorkmanshipReport:
    """Everything the book says of a build up to a day. Raises NothingCalled, NothingToShow, PhotosAmiss."""
    with book.reading() as connection:
        findings = tuple(finding.what for finding in verify(connection))
        head = read_head(connection)
        directory = Directory(connection)
        scope = Scope(connection, directory, _build(directory, wanted.build), on, wanted.is_private)
        with ThreadPoolExecutor(max_workers=MOST_SIDE_BY_SIDE) as side_by_side:
            noted = [row for row in scope.rows(Photo) if row["terminal_id"] is not None]
            shown = noted if wanted.with_photos else []
            pending = begin_prints(side_by_side, scope, shown, book.path, wanted.photo_folders)
            told = _told(scope)
            spans = span_entries(scope, told)
            photos = finished_prints(scope, pending)
        acceptances = acceptances_of(scope)
        terminals = terminal_entries(scope, spans, photos, acceptances)
        mine = {span.tag for terminal in terminals for span in terminal.spans}
        cables, trials, rounds = cable_lines(scope), trial_entries(scope), round_lines(scope, told)
        recipes = recipe_entries(scope, {name for trial in trials for name in trial.recipes})
        instruments = instrument_lines(scope)
        people = dict.fromkeys(scope.person(row["operator_id"]) for row in scope.readings())
        days = sorted({scope.day(row["taken_at"]) for row in scope.readings()}) or [""]
        return WorkmanshipReport(
            issue=_issue(scope, wanted, head.seq, len(noted) - len(shown)),
            seal=Seal(head.book, head.seq, head.hash.hex(), findings),
            subject=Subject(
                scope.build["name"], "" if wanted.is_private else scope.build["description"] or "",
                scope.build["name"], scope.build["zone"],
            ),
            terminals=terminals,
            other_spans=tuple(span for tag, span in spans.items() if tag not in mine),
            gaps=gaps_of(scope, terminals, spans, cables, recipes, rounds, instruments),
            instruments=instruments,
            rounds=rounds,
            recipes=recipes,
            trials=trials,
            cables=cables,
            services=service_lines(scope),
            criteria=(*criterion_lines(scope, told), *acceptance_lines(acceptances)),
            superseded=superseded_lines(scope),
            tested_by=tuple(person for person in people if person),
            tested_from=days[0],
            tested_to=days[-1],
        )  # fmt: skip


def _issue(scope: Scope, wanted: Wanted, lines: int, left_out: int) -> Issue:
    """Which issue this is; an unrecorded one is a draft at the book's last line, or has the number given."""
    number, replaces = wanted.issue or f"{DRAFT} {lines}", wanted.replaces
    if wanted.is_recorded:
        number = issue_number(scope.connection, scope.directory, scope.build, wanted.issue)
        subject = wanted.span or wanted.cable or ""
        replaces = issue_replaced(
            scope.directory, scope.build, subject, wanted.replaces, is_private=wanted.is_private
        )
    earlier = tuple(
        EarlierIssue(
            number=view.number,
            on=view.as_of,
            about=view.subject or view.build,
            issued_to=scope.free(view.issued_to),
            fate=_fate(view, replaces),
        )
        for view in issue_views(scope.connection, scope.directory)
        if view.build == scope.build["name"]
    )
    return Issue(
        number, scope.on.isoformat(), replaces, wanted.is_private, left_out,
        wanted.is_recorded, scope.free(wanted.issued_to), earlier,
    )  # fmt: skip


def _fate(view: IssueView, replaced: str) -> str:
    if view.is_withdrawn:
        return "withdrawn"
    if view.number == replaced:
        return "replaced by this one"
    return f"replaced by issue {view.replaced_by}" if view.replaced_by else ""


def _build(directory: Directory, name: str | None) -> Row:
    try:
        return directory.named_build(name) if name else directory.build(None)
    except Mismatch as wrong:
        raise NothingToShow(f"say {wrong.expected}") from wrong


def _told(scope: Scope) -> BuildStory | None:
    gathered = gather_evidence(scope.connection, scope.on, scope.build["name"])
    if not gathered:
        return None
    from lugbook.assessment.story import tell_build

    return tell_build(scope.on, gathered[0])


def _of_span(report: WorkmanshipReport, tag: str) -> WorkmanshipReport:
    found = [span for span in report.spans if span.tag == tag]
    if not found:
        raise NothingCalled("span", tag, "span", [span.tag for span in report.spans])
    subject = Subject(tag, f"A span of {report.subject.build}", report.subject.build, report.subject.zone)
    return _part(report, subject, (), (), tuple(found))


def _of_cable(report: WorkmanshipReport, tag: str) -> WorkmanshipReport:
    cables = tuple(line for line in report.cables if line.tag == tag)
    if not cables:
        raise NothingCalled("cable", tag, "cable", [line.tag for line in report.cables])
    terminals = tuple(one for one in report.terminals if one.end in (f"{tag}A", f"{tag}B"))
    spans = tuple(one for one in report.other_spans if one.tag.split("/")[0] == tag)
    words = f"A cable of {report.subject.build}: {cables[0].conductor}, {cables[0].length}"
    subject = Subject(tag, words, report.subject.build, report.subject.zone)
    return _part(report, subject, cables, terminals, spans)


def _part(
    report: WorkmanshipReport,
    subject: Subject,
    cables: tuple[CableLine, ...],
    terminals: tuple[TerminalEntry, ...],
    spans: tuple[SpanEntry, ...],
) -> WorkmanshipReport:
    """The report with what belongs to these spans alone; the seal stays that of the whole book."""
    tags = {span.tag for span in (*spans, *(span for terminal in terminals for span in terminal.spans))}
    return replace(
        report,
        subject=subject,
        cables=cables,
        terminals=terminals,
        other_spans=spans,
        recipes=(),
        trials=(),
        services=tuple(line for line in report.services if line.span in tags),
        superseded=tuple(
            line for line in report.superseded if any(line.what.endswith(f" {tag}") for tag in tags)
        ),
    )
