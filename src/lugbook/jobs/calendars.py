"""Writing the visits to come into a calendar file."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING

from lugbook.jobs.directory import Directory
from lugbook.jobs.exchanging import write_file
from lugbook.jobs.visits import Bring, Visit, first_entries_of_builds, plan_visits
from lugbook.records.logbook import read_head
from lugbook.records.store import Book

if TYPE_CHECKING:
    from lugbook.reports.calendar_file import CalendarEvent


FIRST_DAY = date(2020, 1, 1)
"""Revisions count days from here, and entries of the book: what is written later, or knows more, is newer."""


@dataclass(frozen=True)
class WrittenVisits:
    """What a calendar file was given."""

    visits: tuple[Visit, ...]
    cancelled: int
    """Visits that stood in the file before, and are due no more."""


def write_visits(
    book: Book,
    path: Path,
    on: date,
    now: datetime,
    *,
    build: str | None = None,
    accepted_risk: float | None = None,
) -> WrittenVisits:
    """Write every visit to come; what stood in that file before and is due no more is cancelled in it.

    A visit stays as it is until its round is closed: readings of a round that is open do not count here.
    accepted_risk: as of `judge_book`. Raises NothingCalled, FileUnwritable.
    """
    from lugbook.reports.calendar_file import write_calendar

    visits = plan_visits(book, on, build=build, accepted_risk=accepted_risk, with_open_rounds=False)
    with book.reading() as connection:
        head = read_head(connection)
        entries = first_entries_of_builds(Directory(connection), build)
    marks = {name: _digest(f"{head.book} {entry}") for name, entry in entries.items()}
    events = [_event(marks[visit.build], visit) for visit in visits]
    cancelled = [
        one
        for one in _events_before(path)
        if one.uid.split("-")[0] in marks.values()
        and one.uid not in {event.uid for event in events}
        and one.day >= on
    ]
    revision = (on - FIRST_DAY).days + head.seq
    write_file(path, write_calendar(events, now, revision=revision, cancelled=cancelled))
    return WrittenVisits(visits, len(cancelled))


def _events_before(path: Path) -> tuple[CalendarEvent, ...]:
    """What a file that is about to be written anew says now."""
    from lugbook.reports.calendar_file import read_calendar

    try:
        return read_calendar(path.read_bytes())
    except OSError:  # not there yet; if it cannot be written either, that is said
        return ()


def words_of_bring(bring: Bring) -> Iterator[str]:
    """What to bring, one sentence a kind of thing."""
    if bring.meters:
        yield f"Meters: {', '.join(bring.meters)}."
    if bring.check_standards:
        yield f"Check standard: {', '.join(bring.check_standards)}."
    if bring.torques:
        said = (f"{one.landing} {one.torque_newton_metre:g} N m" for one in bring.torques)
        yield f"Torque as applied: {', '.join(said)}."
    if bring.lugs:
        yield f"Spare lugs: {', '.join(f'{one.count} {one.lug} (recipe {one.recipe})' for one in bring.lugs)}."


def _digest(text: str) -> str:
    return sha256(text.encode()).hexdigest()[:20]


def _event(mark: str, visit: Visit) -> CalendarEvent:
    """The visit as a calendar shows it; its identity comes from the book, the build and what it is for."""
    from lugbook.reports.calendar_file import CalendarEvent

    count = len(visit.spans)
    lines = [
        f"{one.said}: {one.verdict}, due {one.next_test.isoformat()}. {one.reason}" for one in visit.spans
    ]
    bring = list(words_of_bring(visit.bring))
    return CalendarEvent(
        uid=f"{mark}-{_digest(f'{mark} {visit.purpose}')}@lugbook",
        day=visit.day,
        summary=f"{visit.build}: read {count} span{'' if count == 1 else 's'}",
        description="\n".join([*bring, *([""] if bring else []), *lines]),
    )
