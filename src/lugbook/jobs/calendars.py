"""Writing the visits to come into a calendar file."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING

from lugbook.jobs.exchanging import write_file
from lugbook.jobs.visits import Bring, Visit, book_name, plan_visits
from lugbook.records.store import Book

if TYPE_CHECKING:
    from lugbook.reports.calendar_file import CalendarEvent


def write_visits(book: Book, path: Path, on: date, *, build: str | None = None) -> tuple[Visit, ...]:
    """Write every visit to come. Raises NothingCalled, FileUnwritable."""
    from lugbook.reports.calendar_file import write_calendar

    visits = plan_visits(book, on, build=build)
    name = book_name(book)
    write_file(path, write_calendar([_event(name, visit) for visit in visits], on))
    return visits


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


def _event(book: str, visit: Visit) -> CalendarEvent:
    """The visit as a calendar shows it; its identity comes from the book, the build and which visit it is."""
    from lugbook.reports.calendar_file import CalendarEvent

    digest = sha256(f"{book} {visit.build_entry} {visit.number}".encode()).hexdigest()
    count = len(visit.spans)
    lines = [
        f"{one.span}: {one.verdict}, due {one.next_test.isoformat()}. {one.reason}" for one in visit.spans
    ]
    bring = list(words_of_bring(visit.bring))
    return CalendarEvent(
        uid=f"{digest[:32]}@lugbook",
        day=visit.day,
        summary=f"{visit.build}: read {count} span{'' if count == 1 else 's'}",
        description="\n".join([*bring, *([""] if bring else []), *lines]),
    )
