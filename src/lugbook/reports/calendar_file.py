"""Visits as a calendar file: all-day events with an alarm (RFC 5545, iCalendar)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta

from lugbook import __version__

ALARM = timedelta(days=-7, hours=9)
"""From the midnight that begins the day: a week before, at nine in the morning."""
FIRST_DAY = date(2020, 1, 1)
"""Sequence numbers count days from here, so that what is written later is newer."""


@dataclass(frozen=True)
class CalendarEvent:
    """One visit, in words."""

    uid: str
    """The same whenever the visit is written again, so that a calendar replaces it."""
    day: date
    summary: str
    description: str


def write_calendar(events: Sequence[CalendarEvent], written_on: date) -> bytes:
    """The file's bytes: lines folded at 75 octets, ended by CR LF; the stamp is UTC.

    An all-day event ends on the day after: DTEND is not part of it (RFC 5545, 3.6.1).
    """
    from icalendar import Alarm, Calendar, Event

    calendar = Calendar()
    calendar.add("prodid", f"-//Lugbook//Lugbook {__version__}//EN")
    calendar.add("version", "2.0")
    calendar.add("calscale", "GREGORIAN")
    calendar.add("method", "PUBLISH")
    for one in events:
        event = Event()
        event.add("uid", one.uid)
        event.add("dtstamp", datetime.combine(written_on, time(), UTC))
        event.add("sequence", (written_on - FIRST_DAY).days)
        event.add("dtstart", one.day)
        event.add("dtend", one.day + timedelta(days=1))
        event.add("summary", one.summary)
        event.add("description", one.description)
        event.add("transp", "TRANSPARENT")
        alarm = Alarm()
        alarm.add("action", "DISPLAY")
        alarm.add("trigger", ALARM)
        alarm.add("description", one.summary)
        event.add_component(alarm)
        calendar.add_component(event)
    return bytes(calendar.to_ical())
