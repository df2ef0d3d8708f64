"""All that ever happened to one span, in the order of time: terminals, readings, skips, services, corrections."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import Any

from sqlalchemy import Connection

from lugbook.jobs.assessing import SpanReading, SpanView, view_span
from lugbook.jobs.directory import Directory, Row
from lugbook.jobs.evidence import end_of
from lugbook.jobs.joinings import joining_of_terminal
from lugbook.jobs.listing import KINDS, text_of
from lugbook.records.facts import Fact
from lugbook.records.questions import all_rows, row_by_id
from lugbook.records.store import Book
from lugbook.records.tables import (
    Correction,
    Landing,
    Operator,
    Photo,
    Pull,
    Reading,
    Recipe,
    Round,
    RoundSkip,
    Service,
    Span,
    Terminal,
    Withdrawal,
)  # fmt: skip

CORRECTED: tuple[tuple[type[Fact], str], ...] = (
    (Reading, "readings"), (Service, "services"), (Span, "spans"), (Terminal, "terminals"),
)  # fmt: skip


@dataclass(frozen=True)
class Event:
    """One thing that happened, in words."""

    at: str
    """UTC; of a correction the time of what was corrected, since the book dates no line that a person reads."""
    what: str
    """terminal, photo, proof pull, reading, skipped, service, corrected or withdrawn."""
    entry: int
    says: str
    by: str
    reading: SpanReading | None = None


@dataclass(frozen=True)
class History:
    """One span: what it is and what is concluded of it, and everything that happened."""

    view: SpanView
    events: tuple[Event, ...]


def tell_history(book: Book, on: date, tag: str, *, build: str | None = None) -> History:
    """The history of a span until a day. Raises UnknownSpan, NothingCalled."""
    view = view_span(book, on, tag, build=build)
    with book.reading() as connection:
        directory = Directory(connection)
        span = directory.need(Span, "span", tag, directory.named_build(view.build)["id"])
        events = [
            *_terminals(directory, span), *_readings(view), *_skips(directory, span),
            *_services(directory, span), *_put_right(connection, directory, span),
        ]  # fmt: skip
    kept = [event for event in events if event.at <= end_of(on)]
    return History(view, tuple(sorted(kept, key=lambda event: (event.at, _order(event), event.entry))))


_ORDER = (
    "reading",
    "skipped",
    "service",
    "terminal",
    "photo",
    "proof pull",
    "as left",
    "corrected",
    "withdrawn",
)
"""Of what happened at one moment: found, done, left."""


def _order(event: Event) -> int:
    left = event.reading is not None and event.reading.stage == "as left"
    return _ORDER.index("as left" if left else event.what)


def _terminals(directory: Directory, span: Row) -> Iterator[Event]:
    """What was crimped on the end of the span, with its pictures and proof pulls."""
    if span["cable_end_id"] is None:
        return
    current = directory.history.current
    for row in directory.rows(Terminal).values():
        if current(row["cable_end_id"]) != current(span["cable_end_id"]):
            continue
        landing = directory.name(Landing, row["landing_id"])
        says = f"made by recipe {directory.name(Recipe, row['recipe_id'])}"
        joining = joining_of_terminal(directory, row)
        says += f", {joining}" if joining else ""
        says += f", on {landing}" if landing else ""
        yield Event(
            row["made_at"],
            "terminal",
            row["id"],
            _noted(says, row),
            directory.name(Operator, row["operator_id"]),
        )
        for photo in directory.rows(Photo).values():
            if current(photo["terminal_id"]) == row["id"]:
                yield Event(row["made_at"], "photo", photo["id"], _noted(photo["file_name"], photo), "")
        for pull in directory.rows(Pull).values():
            if pull["terminal_id"] is not None and current(pull["terminal_id"]) == row["id"]:
                by = directory.name(Operator, pull["operator_id"])
                yield Event(
                    pull["pulled_at"], "proof pull", pull["id"], f"{text_of(pull['pull_newton'])} N", by
                )


def _readings(view: SpanView) -> Iterator[Event]:
    for reading in view.readings:
        yield Event(
            reading.taken_at, "reading", reading.identity, reading.note or "", reading.operator, reading
        )


def _skips(directory: Directory, span: Row) -> Iterator[Event]:
    for row in directory.rows(RoundSkip).values():
        if directory.history.current(row["span_id"]) == span["id"]:
            says = f"not read in round {directory.name(Round, row['round_id'])}: {row['reason']}"
            yield Event(
                row["skipped_at"], "skipped", row["id"], says, directory.name(Operator, row["operator_id"])
            )


def _services(directory: Directory, span: Row) -> Iterator[Event]:
    for row in directory.rows(Service).values():
        if directory.history.current(row["span_id"]) == span["id"]:
            yield Event(row["serviced_at"], "service", row["id"], _noted(_work(row), row),
                        directory.name(Operator, row["operator_id"]))  # fmt: skip


def _work(service: Row) -> str:
    """What was done: "re-torqued to 12 N m", "cleaned, torqued to 12 N m"."""
    action, torque = str(service["action"]), service["torque_newton_metre"]
    if torque is None:
        return action
    return f"{action}{'' if action == 're-torqued' else ', torqued'} to {torque:g} N m"


def _put_right(connection: Connection, directory: Directory, span: Row) -> Iterator[Event]:
    """Corrections and withdrawals of the span and of what belongs to it, at the time of what they replace."""
    for table, kind in CORRECTED:
        for said in all_rows(connection, Correction):
            old, new = (
                row_by_id(connection, table, said[name]) for name in ("replaced_id", "replacement_id")
            )
            if old is not None and new is not None and _belongs(directory, table, old, span):
                says = f"{_changed(directory, kind, old, new)}: {said['reason']}"
                yield Event(_time_of(old), "corrected", said["replaced_id"], says,
                            directory.name(Operator, said["operator_id"]))  # fmt: skip
        for said in all_rows(connection, Withdrawal):
            old = row_by_id(connection, table, said["withdrawn_id"])
            if old is not None and _belongs(directory, table, old, span):
                says = f"the {kind.removesuffix('s')} {_words(directory, kind, old)}: {said['reason']}"
                yield Event(_time_of(old), "withdrawn", said["withdrawn_id"], says,
                            directory.name(Operator, said["operator_id"]))  # fmt: skip


def _belongs(directory: Directory, table: type[Fact], row: Row, span: Row) -> bool:
    column = {Span: "id", Terminal: "cable_end_id"}.get(table, "span_id")
    mine = span["cable_end_id"] if table is Terminal else span["id"]
    current = directory.history.current
    return mine is not None and bool(current(row[column]) == current(mine))


TIMES = ("taken_at", "serviced_at", "made_at")


def _time_of(row: Row) -> str:
    """When what a row says happened; the span itself is put before everything."""
    return next((str(row[name]) for name in TIMES if name in row), "")


def _changed(directory: Directory, kind: str, old: Row, new: Row) -> str:
    """The cells that a correction changed, with what stood there before."""
    before, after = (KINDS[kind][1](directory, row) for row in (old, new))
    changes = [
        f"{heading.replace('_', ' ')} {_cell(after[heading])} instead of {_cell(before[heading])}"
        for heading in before
        if before[heading] != after[heading]
    ]
    return f"{kind.removesuffix('s')}, {', '.join(changes) or 'nothing'}"


def _words(directory: Directory, kind: str, row: Row) -> str:
    cells: dict[str, Any] = KINDS[kind][1](directory, row)
    if kind == "readings":
        return f"{_cell(cells['drop_millivolt'])} mV at {_cell(cells['current_ampere'])} A"
    return str(cells.get("action") or cells.get("recipe") or cells.get("span"))


def _cell(value: object) -> str:
    return text_of(value) or "nothing"


def _noted(says: str, row: Row) -> str:
    return f"{says}; {row['note']}" if row["note"] else says
