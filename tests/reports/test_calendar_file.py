"""The calendar file, read back by the library and looked at line by line (RFC 5545)."""

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from icalendar import Calendar

from lugbook.reports.calendar_file import CalendarEvent, read_calendar, write_calendar

VISIT = CalendarEvent(
    "0123456789abcdef@lugbook",
    date(2028, 2, 28),
    "Kittiwake: read 12 spans",
    "Meters: MV1, CL1; bring both.\nC12A/crimp: creeping, due 2028-02-28. Rising 9 % a year \\ it is 84 µΩ; "
    + "see to it, " * 30,
)
WRITTEN = datetime(2027, 4, 10, 9, 30, 15, 250_000, tzinfo=UTC)


def test_lines_are_folded_at_75_octets_and_end_in_cr_lf() -> None:
    raw = write_calendar([VISIT], WRITTEN, revision=7)

    lines = raw.split(b"\r\n")
    assert lines[-1] == b""
    assert b"\n" not in b"".join(lines)
    assert max(map(len, lines)) <= 75
    assert any(line.startswith(b" ") for line in lines)
    assert (lines[0], lines[-2]) == (b"BEGIN:VCALENDAR", b"END:VCALENDAR")


def test_what_is_read_back_is_what_was_written() -> None:
    (event,) = Calendar.from_ical(write_calendar([VISIT], WRITTEN, revision=7)).walk("VEVENT")

    assert str(event["uid"]) == VISIT.uid
    assert str(event["summary"]) == VISIT.summary
    assert str(event["description"]) == VISIT.description


@pytest.mark.parametrize(
    ("day", "end"),
    [
        pytest.param(date(2028, 2, 28), date(2028, 2, 29), id="before a leap day"),
        pytest.param(date(2028, 2, 29), date(2028, 3, 1), id="a leap day"),
        pytest.param(date(2027, 12, 31), date(2028, 1, 1), id="the end of a year"),
        pytest.param(date(2027, 3, 28), date(2027, 3, 29), id="the day on which the clocks change"),
    ],
)
def test_an_all_day_event_ends_on_the_day_after(day: date, end: date) -> None:
    raw = write_calendar([CalendarEvent("u@lugbook", day, "read", "")], WRITTEN, revision=7)

    (event,) = Calendar.from_ical(raw).walk("VEVENT")
    assert (event["dtstart"].dt, event["dtend"].dt) == (day, end)
    assert f"DTSTART;VALUE=DATE:{day:%Y%m%d}\r\n".encode() in raw
    assert f"DTEND;VALUE=DATE:{end:%Y%m%d}\r\n".encode() in raw


def test_the_stamp_is_utc_and_says_when_it_was_written() -> None:
    lisbon = datetime(2027, 4, 10, 10, 30, 15, tzinfo=ZoneInfo("Europe/Lisbon"))

    raw = write_calendar([VISIT], lisbon, revision=7)

    (event,) = Calendar.from_ical(raw).walk("VEVENT")
    assert event["dtstamp"].dt == datetime(2027, 4, 10, 9, 30, 15, tzinfo=UTC)
    assert b"DTSTAMP:20270410T093015Z\r\n" in raw
    assert write_calendar([VISIT], WRITTEN, revision=7) == raw


def test_what_is_cancelled_is_said_so_and_rings_no_more() -> None:
    gone = CalendarEvent("fedcba9876543210@lugbook", date(2029, 3, 1), "Kittiwake: read 2 spans", "")

    raw = write_calendar([VISIT], WRITTEN, revision=7, cancelled=[gone])

    kept, cancelled = Calendar.from_ical(raw).walk("VEVENT")
    assert [(str(one["uid"]), str(one["status"]), one["sequence"]) for one in (kept, cancelled)] == [
        (VISIT.uid, "CONFIRMED", 7),
        (gone.uid, "CANCELLED", 7),
    ]
    assert (len(kept.walk("VALARM")), cancelled.walk("VALARM")) == (1, [])
    assert read_calendar(raw) == (VISIT, gone)


@pytest.mark.parametrize(
    "raw",
    [
        pytest.param(b"", id="nothing"),
        pytest.param(b"\x00\xff not a calendar", id="no calendar"),
        pytest.param(b"BEGIN:VCALENDAR\r\nBEGIN:VEVENT\r\nUID:a\r\nEND:VEVENT\r\nEND:VCALENDAR\r\n", id="no day"),
        pytest.param(
            b"BEGIN:VCALENDAR\r\nBEGIN:VEVENT\r\nUID:a\r\nDTSTART:20270410T090000Z\r\nEND:VEVENT\r\nEND:VCALENDAR\r\n",
            id="an hour, not a day",
        ),
        pytest.param(
            b"BEGIN:VCALENDAR\r\nBEGIN:VEVENT\r\nUID:a\r\nDTSTART;VALUE=DATE:soon\r\nEND:VEVENT\r\nEND:VCALENDAR\r\n",
            id="a broken day",
        ),
    ],
)
def test_a_file_that_is_none_of_ours_has_no_visits(raw: bytes) -> None:
    assert read_calendar(raw) == ()


def test_an_alarm_rings_a_week_before_at_nine() -> None:
    (alarm,) = Calendar.from_ical(write_calendar([VISIT], WRITTEN, revision=7)).walk("VALARM")

    assert alarm["trigger"].dt == timedelta(days=-7, hours=9)
    assert (str(alarm["action"]), str(alarm["description"])) == ("DISPLAY", VISIT.summary)


def test_no_visit_is_a_calendar_without_events() -> None:
    calendar = Calendar.from_ical(write_calendar([], WRITTEN, revision=7))

    assert (str(calendar["version"]), calendar.walk("VEVENT")) == ("2.0", [])
