"""Rounds and the clock: summer time, a leap day, midnight, the date line, a clock set back, a year."""

from typing import Any

import pytest
from icalendar import Calendar

from conftest import Shell
from forty_spans import SPANS

OPEN = ("round", "open", "--at", "100 A")


def name_of(shell: Shell) -> str:
    """The name of the open round."""
    return str(shell.tells("round", "show")["round"])


def times_of(shell: Shell, *spans: str) -> list[str]:
    """When some spans were read last."""
    return [shell.readings_of(span)[-1]["taken_at"] for span in spans]


def test_a_round_over_the_hour_that_is_there_twice_keeps_its_order(forty: Shell, clock: Any) -> None:
    """In Lisbon the clocks go back at 02:00 on 31 October 2027: 01:50 is there twice."""
    clock.move_to("2027-10-31T00:50:00Z")
    forty.does(*OPEN)
    forty.does("round", "enter", typed="0.80 20C\nq\n")
    clock.move_to("2027-10-31T01:50:00Z")
    forty.does("round", "enter", typed="0.81\nq\n")

    assert times_of(forty, *SPANS[:2]) == ["2027-10-31T00:50:00.000000Z", "2027-10-31T01:50:00.000000Z"]
    shown = [forty.does("span", "show", span).splitlines()[-1] for span in SPANS[:2]]
    assert ["2027-10-31 01:50" in line for line in shown] == [True, True]
    twice = forty.file("f.csv", "span,drop (mV),taken_at\nC02A/crimp,0.82,2027-10-31 01:50\n")
    assert forty.refuses("round", "import", twice) == (
        "Nothing of f.csv was written:\n"
        '  Line 2, taken_at: The time "2027-10-31 01:50" came twice in Europe/Lisbon, when clocks went back; add '
        "+01:00 for the first or +00:00 for the second.\n"
        "Correct these rows and import the sheet again."
    )  # fmt: skip


def test_a_round_over_midnight_is_one_round_named_by_its_first_day(forty: Shell, clock: Any) -> None:
    clock.move_to("2027-06-01T22:30:00Z")  # 23:30 in Lisbon
    forty.does(*OPEN)
    forty.does("round", "enter", typed="0.80 20C\nq\n")
    clock.move_to("2027-06-02T00:30:00Z")
    forty.does("round", "enter", typed="0.81\nq\n")
    forty.does("reading", "add", SPANS[2], "0.82 mV", "--at", "100 A")

    assert name_of(forty) == "2027-06-01"
    assert sum(bool(stop["readings"]) for stop in forty.tells("round", "show")["stops"]) == 3


@pytest.mark.parametrize(
    ("when", "round_name"),
    [
        pytest.param("2026-04-15 09:00", "spring", id="at its opening"),
        pytest.param("2026-04-15 09:05", "spring", id="soon after"),
        pytest.param("2026-04-15 08:40", "spring", id="earlier on its first day"),
        pytest.param("2026-04-18 08:59", "spring", id="within three days"),
        pytest.param("2026-04-18 09:00", "2026-04-18", id="three days later"),
        pytest.param("2026-04-14 12:00", "2026-04-14", id="on the day before"),
    ],
)
def test_a_reading_of_the_days_of_a_round_opened_in_the_past_belongs_to_it(
    forty: Shell, when: str, round_name: str
) -> None:
    forty.does("round", "open", "spring", "--when", "2026-04-15 09:00")

    said = forty.does("reading", "add", SPANS[0], "0.80 mV", "--at", "100 A", "--when", when)

    assert f", round {round_name}, " in said


@pytest.mark.parametrize("deed", ["add", "amend"])
def test_a_closed_round_takes_only_what_was_read_before_its_end(forty: Shell, clock: Any, deed: str) -> None:
    forty.does("round", "open", "autumn")
    forty.does("round", "close")
    clock.move_to("2030-05-01T10:00:00Z")
    entry = forty.does("reading", "add", SPANS[0], "0.80 mV", "--at", "100 A").split("entry ")[1].split(",")[0]
    new = {
        "add": ("add", SPANS[1], "0.80 mV", "--at", "100 A"),
        "amend": ("amend", entry, "--reason", "its round forgotten"),
    }

    assert forty.refuses("reading", *new[deed], "--round", "autumn") == (
        "Round autumn was closed on 2026-11-10, and this reading is of 2030-05-01; leave --round out, and it becomes "
        "one of another round, or say --when if it was taken before."
    )
    forty.does("reading", *new[deed], "--round", "autumn", "--when", "2026-11-10 09:50")


def test_a_round_on_a_leap_day_has_its_anniversary_a_year_on(forty: Shell, clock: Any) -> None:
    clock.move_to("2028-02-29T12:00:00Z")
    forty.does(*OPEN)
    forty.does("calendar", forty.folder / "visits.ics")

    first = Calendar.from_ical((forty.folder / "visits.ics").read_bytes()).walk("VEVENT")[0]
    assert name_of(forty) == "2028-02-29"
    assert (first["dtstart"].dt.isoformat(), first["dtend"].dt.isoformat()) == ("2028-02-29", "2028-03-01")
    clock.move_to("2029-02-27T12:00:00Z")
    assert forty("round", "list").err == ""
    clock.move_to("2029-02-28T12:00:00Z")
    assert forty("round", "list").err == (
        "Round 2028-02-29 of Kittiwake has been open for 365 days: readings so far apart are not of one outing, and "
        "share no meter error. Close it and open another.\n"
    )


@pytest.mark.parametrize("verb", ["show", "enter"])
def test_a_round_left_open_for_a_year_is_said(forty: Shell, clock: Any, verb: str) -> None:
    forty.does(*OPEN)
    clock.move_to("2027-11-12T10:00:00Z")

    ran = forty("round", verb)

    assert ran.exit_code == 0
    assert ran.err.startswith("Round 2026-11-10 of Kittiwake has been open for 367 days: ")


def test_a_round_left_open_for_a_year_is_closed_without_being_told_to_close_it(forty: Shell, clock: Any) -> None:
    forty.does(*OPEN)
    clock.move_to("2027-11-12T10:00:00Z")

    ran = forty("round", "close")

    assert (ran.exit_code, ran.err) == (0, "")


def test_a_boat_that_crosses_the_date_line_lives_a_day_twice(forty: Shell, clock: Any) -> None:
    """Eastbound over the line, Tuesday 2 March 2027 comes twice; instants do not."""
    forty.does("build", "amend", "Kittiwake", "zone=Pacific/Auckland", "--reason", "sailed there")
    clock.move_to("2027-03-01T20:00:00Z")  # 09:00 on 2 March in Auckland
    forty.does(*OPEN)
    forty.does("round", "enter", typed="0.80 20C\nq\n")
    forty.does("round", "close")
    forty.does("build", "amend", "Kittiwake", "zone=Pacific/Honolulu", "--reason", "sailed on")
    clock.move_to("2027-03-02T20:00:00Z")  # 10:00 on 2 March in Honolulu
    forty.does(*OPEN)
    forty.does("round", "enter", typed="0.80 20C\nq\n")

    rounds = [row["round"] for row in forty.tells("round", "list")["rounds"]]
    assert rounds[-2:] == ["2027-03-02", "2027-03-02 2"]
    assert [reading["round"] for reading in forty.readings_of(SPANS[0])][-2:] == rounds[-2:]


def test_a_clock_set_back_is_said_and_nothing_is_lost(forty: Shell, clock: Any) -> None:
    forty.does(*OPEN)
    forty.does("round", "enter", typed="0.80 20C\nq\n")
    clock.move_to("2026-11-09T10:00:00Z")

    ran = forty("round", "enter", typed="0.81\nq\n")
    shown = forty.tells("round", "show")

    assert ran.err == (
        "This clock says 2026-11-09 10:00 UTC, and the book holds something of 2026-11-10 10:00 UTC: if the clock was "
        "set back, put it right before reading on.\n"
    )
    assert [len(stop["readings"]) for stop in shown["stops"][:3]] == [1, 1, 0]
    assert forty.tells("book", "verify")["sound"] is True


def test_a_visit_keeps_its_identity_until_its_round_is_held(forty: Shell, clock: Any) -> None:
    def first_event() -> Any:
        forty.does("calendar", forty.folder / "visits.ics")
        return Calendar.from_ical((forty.folder / "visits.ics").read_bytes()).walk("VEVENT")[0]

    before = first_event()
    clock.move_to("2026-12-01T10:00:00Z")
    later = first_event()
    forty.does(*OPEN)
    forty.does("round", "enter", typed="0.80 20C\nq\n")
    during = first_event()
    forty.does("round", "close")
    after = first_event()

    assert before["uid"] == later["uid"] == during["uid"] != after["uid"]
    assert later["sequence"] == before["sequence"] + 21
    assert later["dtstamp"].dt > before["dtstamp"].dt
    assert str(before["uid"]).endswith("@lugbook")
