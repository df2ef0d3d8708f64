"""Visits as a calendar file: all-day events with an alarm (RFC 5545, iCalendar)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from typing import Any

from lugbook import __version__

ALARM = timedelta(days=-7, hours=9)
"""From the midnight that begins the day: a week before, at nine in the morning."""


@dataclass(frozen=True)
class CalendarEvent:
    """One visit, in words."""

    uid: str
    """The same whenever the visit is written again, so that a calendar replaces it."""
    day: date
    summary: str
    description: str


def write_calendar(
    events: Sequence[CalendarEvent],
    written_at: datetime,
    *,
    revision: int,
    cancelled: Sequence[CalendarEvent] = (),
) -> bytes:
    """The file's bytes: lines folded at 75 octets, ended by CR LF; the stamp is UTC.

    revision: larger than in any file written before with other content (SEQUENCE, RFC 5545, 3.8.7.4); cancelled: what
    a calendar may still show, and is to take away. An all-day event ends on the day after: DTEND is not part of it
    (RFC 5545, 3.6.1).
    """
    from icalendar import Calendar

    calendar = Calendar()
    calendar.add("prodid", f"-//Lugbook//Lugbook {__version__}//EN")
    calendar.add("version", "2.0")
    calendar.add("calscale", "GREGORIAN")
    calendar.add("method", "PUBLISH")
    stamp = written_at.astimezone(UTC).replace(microsecond=0)
    for one in events:
        event = _component(one, stamp, revision, "CONFIRMED")
        event.add_component(_alarm(one))
        calendar.add_component(event)
    for one in cancelled:
        calendar.add_component(_component(one, stamp, revision, "CANCELLED"))
    return bytes(calendar.to_ical())


def read_calendar(raw: bytes) -> tuple[CalendarEvent, ...]:
    """The all-day events of a calendar file, cancelled ones too; none where it is no calendar."""
    from icalendar import Calendar

    try:
        events = Calendar.from_ical(raw).walk("VEVENT")
    except ValueError:
        return ()
    return tuple(
        CalendarEvent(str(event["uid"]), day, str(event.get("summary", "")), str(event.get("description", "")))
        for event in events
        if (day := _day_of(event)) is not None and "uid" in event
    )


def _day_of(event: Any) -> date | None:  # Any: the library's own
    """The day an event begins on; None where it begins at an hour, or its beginning cannot be read."""
    from icalendar.error import BrokenCalendarProperty

    try:
        day = getattr(event.get("dtstart"), "dt", None)
    except BrokenCalendarProperty:
        return None
    return day if type(day) is date else None


def _component(one: CalendarEvent, stamp: datetime, revision: int, status: str) -> Any:  # Any: the library's own
    from icalendar import Event

    event = Event()
    event.add("uid", one.uid)
    event.add("dtstamp", stamp)
    event.add("sequence", revision)
    event.add("status", status)
    event.add("dtstart", one.day)
    event.add("dtend", one.day + timedelta(days=1))
    event.add("summary", one.summary)
    event.add("description", one.description)
    event.add("transp", "TRANSPARENT")
    return event


def _alarm(one: CalendarEvent) -> Any:  # Any: the library's own
    from icalendar import Alarm

    alarm = Alarm()
    alarm.add("action", "DISPLAY")
    alarm.add("trigger", ALARM)
    alarm.add("description", one.summary)
    return alarm
