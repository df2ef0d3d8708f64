"""What a round came to: what is missing, what moved, whether the meters drifted, what to do; and its end."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import TYPE_CHECKING

from sqlalchemy import Connection

from lugbook.jobs.desk import Entry
from lugbook.jobs.directory import Directory
from lugbook.jobs.entering import operator_of
from lugbook.jobs.evidence import gather_evidence
from lugbook.jobs.recording import open_desk
from lugbook.jobs.round_stops import Stop, stops_of
from lugbook.jobs.rounds import (
    RoundFacts,
    facts_of_round,
    find_open_round,
    find_round,
    utc_text,
    words_of_clock,
    words_of_open,
)
from lugbook.records.logbook import Logbook
from lugbook.records.store import Book
from lugbook.records.tables import Round, RoundClosing

if TYPE_CHECKING:
    from lugbook.assessment.judging import RoundShift, SpanVerdict

SERIOUS = ("over limit", "stepped", "creeping")
"""Verdicts that need a person, the worst first."""


@dataclass(frozen=True)
class Moved:
    """A span whose verdict is another since the round."""

    span: str
    before: str
    after: str
    reason: str
    """The weightiest, in words."""


@dataclass(frozen=True)
class Task:
    """Something to do."""

    span: str
    verdict: str
    due_on: date | None
    """The day by which it is to be read again, or work done; None where there is none."""
    what: str


@dataclass(frozen=True)
class RoundReport:
    """What a round came to so far."""

    facts: RoundFacts
    stops: tuple[Stop, ...]
    moved: tuple[Moved, ...]
    """The worst first."""
    shifts: tuple[RoundShift, ...]
    """Of this round, one a pair of meters."""
    compared: bool
    """Whether there is another round with which the meters could be compared."""
    tasks: tuple[Task, ...]
    words: tuple[str, ...]
    """What else is to be said of it."""

    @property
    def missing(self) -> tuple[Stop, ...]:
        """Stops neither read nor skipped."""
        return tuple(stop for stop in self.stops if not stop.is_done)


def tell_round(
    book: Book, name: str | None, now: datetime, on: date, *, build: str | None = None
) -> RoundReport:
    """What a round came to; `on` is the day as of which it is judged. Raises what `find_round` raises."""
    with book.reading() as connection:
        directory = Directory(connection)
        facts = find_round(directory, name, build)
        report = _report(connection, directory, facts, now, on)
    return replace(report, words=(*words_of_open(facts, now), *report.words))


def close_round(
    book: Book, name: str | None, now: datetime, on: date, *,
    build: str | None = None, by: str | None = None, note: str | None = None,
) -> RoundReport:  # fmt: skip
    """End an open round, and tell what it came to. Raises what `find_open_round` raises."""
    with book.writing() as connection:
        desk = open_desk(Logbook(connection, now), now)
        facts = find_open_round(desk.directory, name, build)
        report = _report(connection, desk.directory, facts, now, on)
        operator = operator_of(desk, by or facts.operator, Entry({}))
        fact = {"round_id": facts.identity, "closed_at": utc_text(now), "operator_id": operator, "note": note}
        desk.enter(RoundClosing, fact, Entry({}))
        closed = facts_of_round(desk.directory, desk.directory.row(Round, facts.identity))
    return replace(report, facts=closed)


def _report(
    connection: Connection, directory: Directory, facts: RoundFacts, now: datetime, on: date
) -> RoundReport:
    words = tuple(words_of_clock(connection, now))
    stops = stops_of(connection, directory, facts, now)
    if not stops:
        return RoundReport(facts, (), (), (), False, (), words)
    from lugbook.assessment.expecting import before_round
    from lugbook.assessment.judging import judge_build

    (evidence,) = gather_evidence(connection, on, facts.build)
    before = judge_build(on, before_round(evidence, facts.name)).verdicts
    judged = judge_build(on, evidence)
    shifts = tuple(shift for shift in judged.round_shifts if shift.round == facts.name)
    read = {stop.span for stop in stops if stop.readings}
    moved = [
        Moved(now_.span, then.verdict, now_.verdict, _reason(now_))
        for then, now_ in zip(before, judged.verdicts, strict=True)
        if then.verdict != now_.verdict and now_.span in read
    ]
    moved.sort(key=lambda one: _rank(one.after))
    compared = any(shift.round != facts.name for shift in judged.round_shifts)
    tasks = _tasks(judged.verdicts, read, on)
    return RoundReport(facts, stops, tuple(moved), shifts, compared, tasks, words)


def _tasks(verdicts: tuple[SpanVerdict, ...], read: set[str], on: date) -> tuple[Task, ...]:
    """What needs a person: work first, then what was read in the round and is due again by now."""
    tasks = []
    for verdict in sorted(verdicts, key=lambda one: _rank(one.verdict)):
        if verdict.verdict in SERIOUS:
            tasks.append(Task(verdict.span, verdict.verdict, verdict.next_test, _reason(verdict)))
        elif verdict.span in read and verdict.next_test is not None and verdict.next_test <= on:
            tasks.append(Task(verdict.span, verdict.verdict, verdict.next_test, verdict.next_test_reason))
    return tuple(tasks)


def _rank(verdict: str) -> int:
    return SERIOUS.index(verdict) if verdict in SERIOUS else len(SERIOUS)


def _reason(verdict: SpanVerdict) -> str:
    from lugbook.assessment.reasons import word_reason

    return word_reason(verdict.reasons[0]) if verdict.reasons else ""
