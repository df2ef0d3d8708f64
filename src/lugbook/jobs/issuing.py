"""The issues of reports: numbering and recording them, and telling whether a file is one of them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from hashlib import sha256

from sqlalchemy import Connection

from lugbook.errors import BookMovedOn, IssueTaken, NothingCalled, UnsoundIssue
from lugbook.jobs.amending import why_of
from lugbook.jobs.desk import Desk, Entry
from lugbook.jobs.directory import Directory, Row
from lugbook.jobs.entering import operator_of
from lugbook.jobs.recording import open_desk
from lugbook.records.logbook import Logbook, read_head
from lugbook.records.questions import all_rows
from lugbook.records.store import Book
from lugbook.records.tables import Build, Operator, ReportIssue
from lugbook.reports.workmanship import Seal
from lugbook.units.wording import word_time


@dataclass(frozen=True)
class IssueView:
    """One issue as the book holds it."""

    identity: int
    build: str
    number: str
    issued_at: str
    """On the build's own clocks."""
    as_of: str
    subject: str
    """The one cable or span it is on; '' for the whole build."""
    issued_to: str
    by: str
    is_private: bool
    html_digest: str
    pdf_digest: str
    replaces: str
    """Numbers of issues; '' for none."""
    replaced_by: str
    is_withdrawn: bool


@dataclass(frozen=True)
class Checked:
    """What the book says of a file."""

    digest: str
    """SHA-256 of the file, 64 hex digits."""
    kind: str
    """HTML or PDF; '' where it is no file of an issue."""
    issue: IssueView | None


@dataclass(frozen=True)
class Issued:
    """What is to be recorded of a report just made."""

    build: str
    number: str
    issued_at: str
    """UTC, as the book writes it."""
    as_of: str
    subject: str
    is_private: bool
    replaces: str
    issued_to: str
    by: str | None


def issue_number(connection: Connection, directory: Directory, build: Row, asked: str | None) -> str:
    """The number of a new issue of a build: the one asked for, else the next whole number. Raises IssueTaken."""
    current = directory.history.current
    taken = [
        str(row["number"])
        for row in all_rows(connection, ReportIssue)
        if current(row["build_id"]) == build["id"]
    ]
    if asked is None:
        return str(1 + max((int(number) for number in taken if number.isdecimal()), default=0))
    if asked in taken:
        raise IssueTaken(asked, build["name"])
    return asked


def issue_replaced(
    directory: Directory, build: Row, subject: str, asked: str, *, is_private: bool
) -> str:
    """The number of the issue that a new one replaces: the one asked for, else the last on the same thing; '' for none.

    A private issue replaces a private one, a full one a full one. Raises NothingCalled.
    """
    mine = [row for row in directory.rows(ReportIssue).values() if _is_of(directory, row, build)]
    if asked:
        _numbered(mine, asked)
        return asked
    alike = (subject or None, int(is_private))
    same = [str(row["number"]) for row in mine if (row["subject"], row["is_private"]) == alike]
    return same[-1] if same else ""


def record_issue(desk: Desk, issued: Issued, seal: Seal, html: bytes, pdf: bytes) -> int:
    """Enter an issue within a transaction that goes on; returns its entry number.

    `seal` is where the chain stood when the report was gathered, so that its number and what it replaces still hold.
    Raises BookMovedOn, UnsoundIssue.
    """
    if seal.findings:
        raise UnsoundIssue
    if read_head(desk.logbook.connection).hash.hex() != seal.head:
        raise BookMovedOn
    directory = desk.directory
    build = directory.named_build(issued.build)
    mine = [row for row in directory.rows(ReportIssue).values() if _is_of(directory, row, build)]
    fact = {
        "build_id": build["id"], "number": issued.number, "issued_at": issued.issued_at,
        "as_of": issued.as_of, "subject": issued.subject or None, "is_private": int(issued.is_private),
        "html_digest": sha256(html).hexdigest(), "pdf_digest": sha256(pdf).hexdigest(),
        "replaces_id": _numbered(mine, issued.replaces)["id"] if issued.replaces else None,
        "issued_to": issued.issued_to or None, "operator_id": operator_of(desk, issued.by, Entry({})),
    }  # fmt: skip
    return desk.enter(ReportIssue, fact, Entry({}))


def list_issues(book: Book, build: str | None = None) -> list[IssueView]:
    """Every issue, withdrawn or not, in the order of the book; of one build or of all. Raises NothingCalled."""
    with book.reading() as connection:
        directory = Directory(connection)
        of = None if build is None else directory.named_build(build)
        return [view for view in issue_views(connection, directory) if of is None or view.build == of["name"]]


def check_file(book: Book, content: bytes) -> Checked:
    """Whether a file is one of the two files of an issue, byte for byte."""
    digest = sha256(content).hexdigest()
    for view in list_issues(book):
        for kind, known in (("HTML", view.html_digest), ("PDF", view.pdf_digest)):
            if digest == known:
                return Checked(digest, kind, view)
    return Checked(digest, "", None)


def withdraw_issue(
    book: Book, number: str, now: datetime, *, reason: str, by: str | None, build: str | None
) -> int:
    """Say that an issue no longer counts and return its entry number; it stays. Raises NothingCalled, LineRefused."""
    with book.writing() as connection:
        desk = open_desk(Logbook(connection, now), now)
        of = desk.directory.named_build(build) if build else desk.directory.only_build()
        rows = desk.directory.rows(ReportIssue).values()
        row = _numbered([row for row in rows if of is None or _is_of(desk.directory, row, of)], number)
        desk.logbook.withdraw(row["id"], *why_of(desk, reason, by))
        return int(row["id"])


def issue_views(connection: Connection, directory: Directory) -> list[IssueView]:
    """Every issue in the order of the book, each with what replaced it."""
    rows = all_rows(connection, ReportIssue)
    in_force = directory.rows(ReportIssue)
    numbers = {row["id"]: str(row["number"]) for row in rows}
    successor = {row["replaces_id"]: numbers[row["id"]] for row in in_force.values()}
    views = []
    for row in rows:
        build = directory.row(Build, row["build_id"])
        views.append(
            IssueView(
                identity=row["id"],
                build=build["name"],
                number=str(row["number"]),
                issued_at=word_time(row["issued_at"], build["zone"]),
                as_of=row["as_of"],
                subject=row["subject"] or "",
                issued_to=row["issued_to"] or "",
                by=directory.name(Operator, row["operator_id"]),
                is_private=bool(row["is_private"]),
                html_digest=row["html_digest"],
                pdf_digest=row["pdf_digest"],
                replaces=numbers.get(row["replaces_id"], ""),
                replaced_by=successor.get(row["id"], ""),
                is_withdrawn=row["id"] not in in_force,
            )
        )
    return views


def _is_of(directory: Directory, row: Row, build: Row) -> bool:
    return directory.history.current(row["build_id"]) == int(build["id"])


def _numbered(rows: list[Row], number: str) -> Row:
    found = [row for row in rows if row["number"] == number]
    if not found:
        raise NothingCalled("issue", number, "issue", [str(row["number"]) for row in rows])
    return found[-1]
