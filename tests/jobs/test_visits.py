"""What is due, gathered into visits, and what to bring."""

from typing import Any

import pytest
from icalendar import Calendar

from conftest import Shell

READ = ("--at", "100 A", "--temp", "20 degC")


def make_boat(shell: Shell) -> None:
    """One cable with a crimp over its limit, its landing, a check standard, and meters due for calibration."""
    shell.does("book", "new", shell.book)
    shell.does("build", "add", "Kittiwake")
    for name, kind, resolution in (("MV1", "millivoltmeter", "0.001 mV"), ("CL1", "clamp", "0.1 A")):
        due = "2026-12-01" if name == "MV1" else "2036-12-01"
        shell.does("instrument", "add", name, "--kind", kind, "--percent", "0.5 %", "--counts", "3", "--resolution",
                   resolution, "--calibrated", "2025-12-01", "--due", due)  # fmt: skip
    shell.does("recipe", "add", "R1", "--conductor", "2/0", "--lug", "2/0 M10", "--tool", "press", "--die", "13 hex",
               "--presses", "2", "--strip", "26 mm")  # fmt: skip
    shell.does(
        "cable", "add", "C1", "--conductor", "2/0", "--length", "1.8 m", "--from", "engine", "--to", "dry"
    )
    shell.does("terminal", "make", "C1A", "C1B", "--recipe", "R1", "--when", "2026-01-05")
    shell.does("landing", "add", "start post", "--kind", "post", "--torque", "12 N m")
    shell.does(
        "span", "add", "C1A/landing", "--kind", "landing", "--place", "engine", "--landing", "start post"
    )
    shell.does("span", "add", "CS1", "--kind", "check standard", "--place", "dry")
    shell.does("span", "amend", "C1A/crimp", "limit_microohm=12 microohm", "--reason", "the owner's own")
    for span, drop in (
        ("CS1", "75 mV"),
        ("C1A/crimp", "1.5 mV"),
        ("C1A/landing", "0.4 mV"),
        ("C1B/crimp", "0.8 mV"),
    ):
        shell.does("reading", "add", span, drop, *READ)


def visits_of(shell: Shell, *words: str) -> list[Any]:
    """The visits to come."""
    return list(shell.tells("due", *words)["visits"])


def test_each_visit_says_what_to_bring(shell: Shell) -> None:
    make_boat(shell)

    now, next_year = visits_of(shell)

    # Over its limit: now. Read once: again within the year, wherever it is.
    assert (now["day"], now["spans"]) == ("2026-11-10", ["C1A/crimp"])
    assert (next_year["day"], next_year["spans"]) == ("2027-11-10", ["C1A/landing", "C1B/crimp"])
    assert now["bring"] == {
        "meters": ["MV1", "CL1"], "check_standards": ["CS1"], "torques": [],
        "lugs": [{"recipe": "R1", "lug": "2/0 M10", "count": 1}],
    }  # fmt: skip
    assert next_year["bring"]["torques"] == [{"landing": "start post", "torque_newton_metre": 12.0}]
    assert next_year["bring"]["meters"] == ["MV1 (calibration due 2026-12-01)", "CL1"]
    assert next_year["bring"]["lugs"] == []
    assert [visit["number"] for visit in (now, next_year)] == [2, 3]  # one round was held


def test_what_is_overdue_is_named_first_and_then_what_to_bring(shell: Shell) -> None:
    make_boat(shell)

    lines = shell.does("due", "--on", "2027-12-01").splitlines()

    assert lines[0] == "3 spans in 1 visit; 2 overdue on 2027-12-01."
    assert lines[2] == "Visit, 2027-12-01: 3 spans"
    assert lines[3].startswith("  C1A/landing: overdue since 2027-11-10. Longest interval, 12 months as it was first")
    assert lines[-5:] == [
        "  Bring:",
        "    Meters: MV1 (calibration due 2026-12-01), CL1.",
        "    Check standard: CS1.",
        "    Torque as applied: start post 12 N m.",
        "    Spare lugs: 1 2/0 M10 (recipe R1).",
    ]


def test_by_a_day_only_the_visits_until_then(shell: Shell) -> None:
    make_boat(shell)

    assert [visit["day"] for visit in visits_of(shell, "--by", "2027-11-10")] == ["2026-11-10", "2027-11-10"]
    assert [visit["day"] for visit in visits_of(shell, "--by", "2027-11-09")] == ["2026-11-10"]
    assert len(shell.tells("due", "--by", "2027-11-09")["due"]) == 1


def test_who_accepts_less_risk_goes_aboard_sooner(shell: Shell) -> None:
    make_boat(shell)
    # 4.0 microohm under a limit of 4.8: the longest interval is too long for a thousandth of 5 %.
    shell.does("span", "amend", "C1A/landing", "limit_microohm=4.8 microohm", "--reason", "the owner's own")

    day = {
        risk: next(one["next_test"] for one in shell.tells("due", "--accepted-risk", risk)["due"]
                   if one["span"] == "C1A/landing")
        for risk in ("1 %", "5 %", "50 %")
    }  # fmt: skip
    plain = shell.tells("due")
    said = shell.does("due", "--accepted-risk", "1 %")

    assert day["1 %"] < day["5 %"] < day["50 %"]
    assert day["5 %"] in {one["next_test"] for one in plain["due"]}
    assert shell.tells("due", "--accepted-risk", "1 %")["accepted_risk_percent"] == 1.0
    assert said.splitlines()[-1] == (
        "Accepted risk: 1 % in fifty years of a span, as asked; 5 % where nothing is said."
    )
    assert shell.does("calendar", shell.folder / "v.ics", "--accepted-risk", "1 %").endswith(".\n")


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ("0 %", 'The accepted risk "0 %" is outside 0.1 % to 50 %; look again at the number and its unit.'),
        ("5", 'The accepted risk "5" has no unit; type it with its unit, like "2 %".'),
    ],
)
def test_an_accepted_risk_that_is_none_is_refused(shell: Shell, typed: str, sentence: str) -> None:
    shell.does("book", "new", shell.book)

    assert shell.refuses("due", "--accepted-risk", typed) == sentence


def test_two_builds_are_visited_apart(shell: Shell) -> None:
    make_boat(shell)
    shell.does("build", "add", "Petrel")
    shell.does("span", "add", "C1A/crimp", "--kind", "crimp", "--place", "dry", "--build", "Petrel")

    today = [visit for visit in visits_of(shell) if visit["day"] == "2026-11-10"]
    said = shell.does("due")

    assert [(visit["build"], visit["number"]) for visit in today] == [("Kittiwake", 2), ("Petrel", 1)]
    assert "  Bring:\n    Nothing is known of what to bring." in said
    assert "Visit on Petrel, 2026-11-10: 1 span\n" in said


def test_nothing_due_is_said_and_makes_an_empty_calendar(shell: Shell) -> None:
    shell.does("book", "new", shell.book)

    assert shell.does("due") == "Nothing is due.\n"
    assert shell.does("calendar", shell.folder / "v.ics") == f"{shell.folder / 'v.ics'}: 0 visits.\n"


def events_of(shell: Shell, *words: str) -> dict[str, Any]:
    """The events of the calendar file written now, by their identities."""
    shell.does("calendar", shell.folder / "v.ics", *words)
    calendar = Calendar.from_ical((shell.folder / "v.ics").read_bytes())
    return {str(event["uid"]): event for event in calendar.walk("VEVENT")}


def states(events: dict[str, Any]) -> list[tuple[str, str]]:
    """The day of each event, and whether it stands."""
    return [(str(event["dtstart"].dt), str(event["status"])) for event in events.values()]


def test_what_is_written_twice_with_other_contents_is_newer_and_keeps_its_identity(
    shell: Shell, clock: Any
) -> None:
    make_boat(shell)
    before = events_of(shell)
    shell.does("span", "amend", "C1A/crimp", "note=look behind it", "--reason", "forgot it")
    clock.tick(60)

    after = events_of(shell)

    assert list(after) == list(before)
    for uid, event in after.items():
        assert event["sequence"] > before[uid]["sequence"]
        assert event["dtstamp"].dt > before[uid]["dtstamp"].dt


def test_a_visit_more_leaves_the_others_as_they_are(shell: Shell) -> None:
    make_boat(shell)
    later = list(events_of(shell))[1]

    # A span never read is due at once, on the visit of today.
    shell.does("span", "add", "B1", "--kind", "joint", "--place", "dry")
    after = events_of(shell)

    assert states({later: after[later]}) == [("2027-11-10", "CONFIRMED")]


def test_a_visit_that_was_held_is_cancelled_and_stays_so_while_its_day_is_to_come(shell: Shell) -> None:
    make_boat(shell)
    held, later = events_of(shell)
    shell.does("service", "record", "C1A/crimp", "--done", "remade", "--found", "1.5 mV", "--left", "0.8 mV", *READ)

    said = shell.does("calendar", shell.folder / "v.ics")
    after = events_of(shell)

    assert said.endswith("2 visits, the first on 2026-12-10; 1 that stood in it before cancelled.\n")
    assert {uid: str(event["status"]) for uid, event in after.items()}[held] == "CANCELLED"
    assert later in after
    assert held not in events_of(shell, "--on", "2026-11-11")  # a day that is past stays in the calendar as it was


def test_a_visit_of_another_build_is_not_cancelled(shell: Shell) -> None:
    make_boat(shell)
    shell.does("build", "add", "Petrel")
    shell.does("span", "add", "B1", "--kind", "joint", "--place", "dry", "--build", "Petrel")
    every = events_of(shell)

    one = events_of(shell, "--build", "Petrel")

    assert len(every) == 3
    assert [str(event["status"]) for event in one.values()] == ["CONFIRMED"]


def test_a_calendar_that_cannot_be_written_is_refused(shell: Shell) -> None:
    shell.does("book", "new", shell.book)
    path = shell.folder / "none" / "v.ics"

    assert shell.refuses("calendar", path, exit_code=7) == (
        f"{path} could not be written; check the folder and your right to write there."
    )
