"""A season by the command line only: a round is opened, read, closed; what it found is mended; the next visit stands
in the calendar."""

import csv
import io
from typing import Any

import pytest
from icalendar import Calendar

from conftest import Shell

METERS = "MV1,CL1"
HEADINGS = (
    "span,round,taken_at,drop_millivolt,current_ampere,joint_celsius,voltage_instrument,current_instrument\n"
)
SPANS = ("C1A/crimp", "C1A/landing", "C1B/crimp", "C2A/crimp", "C2B/crimp", "CS1")
# At 100 A and 20 degC. C1B/crimp has crept, and its owner's limit is 12 microohm: 1.2 mV.
READ = {
    2024: (0.84, 0.40, 0.86, 0.88, 0.90, 75.0),
    2025: (0.84, 0.40, 0.94, 0.88, 0.90, 75.0),
    2026: (0.84, 0.40, 1.05, 0.88, 0.90, 75.0),
}


@pytest.fixture
def boat(shell: Shell) -> Shell:
    """A boat of two cables with a check standard, read in three springs."""
    shell.does("book", "new", shell.book)
    shell.does("build", "add", "Kittiwake", "--zone", "Europe/Lisbon")
    shell.does("conductor", "add", "2/0 tinned", "--size", "2/0 AWG", "--tinned")
    for name, kind, resolution in (("MV1", "millivoltmeter", "0.001 mV"), ("CL1", "clamp", "0.1 A")):
        shell.does("instrument", "add", name, "--kind", kind, "--percent", "0.5 %", "--counts", "3",
                   "--resolution", resolution, "--calibrated", "2025-06-01", "--due", "2027-06-01")  # fmt: skip
    shell.does("recipe", "add", "R1", "--conductor", "2/0 tinned", "--lug", "2/0 M10", "--tool", "hand press",
               "--die", "13 hex", "--presses", "2", "--strip", "26 mm")  # fmt: skip
    for cable in ("C1", "C2"):
        shell.does(
            "cable",
            "add",
            cable,
            "--conductor",
            "2/0 tinned",
            "--length",
            "1.8 m",
            "--from",
            "engine",
            "--to",
            "bilge",
        )
    shell.does("landing", "add", "start post", "--kind", "post", "--torque", "12 N m")
    shell.does(
        "terminal",
        "make",
        "C1A",
        "--recipe",
        "R1",
        "--landing",
        "start post",
        "--by",
        "owner",
        "--when",
        "2024-03-01",
    )
    shell.does("terminal", "make", "C1B", "C2A", "C2B", "--recipe", "R1", "--when", "2024-03-01")
    shell.does("span", "add", "C1A/landing", "--kind", "landing", "--place", "engine", "--end", "C1A",
               "--landing", "start post")  # fmt: skip
    shell.does("span", "add", "CS1", "--kind", "check standard", "--place", "dry")
    shell.does("span", "amend", "C1B/crimp", "limit_microohm=12 microohm", "--reason", "the owner's own")
    rows = [
        f"{span},{year},{year}-04-10 10:{minute:02d},{drop},100,20,{METERS}\n"
        for year, drops in READ.items()
        for minute, (span, drop) in enumerate(zip(SPANS, drops, strict=True))
    ]
    shell.does("import", "readings", shell.file("readings.csv", HEADINGS + "".join(rows)))
    return shell


def test_a_season_from_opening_the_round_to_the_calendar(boat: Shell, clock: Any) -> None:
    clock.move_to("2027-04-10T09:00:00Z")

    opened = boat.does("round", "open", "spring", "--at", "100 A", "--by", "owner", "--weather", "12 °C, dry")
    assert opened == "Round spring of Kittiwake is open, read with MV1 and CL1.\n"

    boat.does("round", "sheet", boat.folder / "sheet.pdf")
    boat.does("round", "sheet", boat.folder / "sheet.csv")
    sheet = list(csv.DictReader(io.StringIO((boat.folder / "sheet.csv").read_text(encoding="utf-8"))))
    # The check standard first and last; between them place by place as they were walked the year before.
    assert [row["span"] for row in sheet] == ["CS1", "C1A/crimp", "C1A/landing", "C2A/crimp", "C1B/crimp",
                                              "C2B/crimp", "CS1"]  # fmt: skip

    # Half of it is entered on board: the check standard, one crimp, a slipped point that is looked at again, a skip.
    said = boat.does("round", "enter", typed="75.0 20C\n0.84\n4.0\n0.41\ns behind the starter\nq\n")
    assert "  75 mV at 100 A, 20 °C: as expected." in said
    assert "10 times above what it has read (4.00 µΩ): a slipped decimal point?" in said
    assert "  C2A/crimp: skipped, behind the starter." in said
    assert said.splitlines()[-1] == "> Stopped with 3 to go."

    # The rest is written on the sheet and brought in afterwards.
    clock.tick(3600)
    for row, drop in zip(sheet[4:], ("1.30", "", "75.0"), strict=True):
        row.update(drop_millivolt=drop, joint_celsius="20")
    out = io.StringIO()
    writer = csv.DictWriter(out, list(sheet[0]), lineterminator="\n")
    writer.writeheader()
    writer.writerows(sheet[4:])
    brought = boat("round", "import", boat.file("filled.csv", out.getvalue()))
    assert brought.out.splitlines() == [
        "filled.csv: 2 readings entered in round spring.",
        "Left blank, still to read: C2B/crimp.",
    ]

    closed = boat.does("round", "close")
    assert closed.splitlines()[:5] == [
        "Round spring of Kittiwake is closed.",
        "5 of 7 stops read.",
        "Skipped: C2A/crimp, behind the starter.",
        "Missing: C2B/crimp.",
        "The meters read as in the other rounds, within what they may differ by.",
    ]
    report = boat.tells("round", "show", "spring")
    assert report["state"] == "closed"
    assert [(moved["span"], moved["after"]) for moved in report["moved"]] == [("C1B/crimp", "over limit")]
    assert [task["span"] for task in report["to_do"]] == ["C1B/crimp"]

    # It is made anew at once, by the recipe of the terminal that was on it.
    mended = boat.does("service", "record", "C1B/crimp", "--done", "remade", "--found", "1.30 mV", "--left", "0.85 mV",
                       "--at", "100 A", "--temp", "20 degC", "--note", "green under the shrink")  # fmt: skip
    assert mended.splitlines()[-1] == "C1B has a new terminal by recipe R1."
    history = boat.tells("history", "C1B/crimp")
    assert [event["what"] for event in history["events"]] == [
        "corrected", "terminal", *["reading"] * 5, "service", "terminal", "reading",
    ]  # fmt: skip
    assert [event["series"] for event in history["events"] if event["what"] == "reading"] == [
        0,
        0,
        0,
        0,
        0,
        1,
    ]

    due = boat.tells("due", "--by", "2031-12-31")
    first = due["visits"][0]
    # C2B/crimp, of a bilge, was last read on 10 April 2026: within two years of that at the latest.
    assert "C2B/crimp" in first["spans"]
    assert "2027-04-11" < first["day"] <= "2028-04-10"
    assert first["bring"]["meters"] == [
        "MV1 (calibration due 2027-06-01)",
        "CL1 (calibration due 2027-06-01)",
    ]
    assert first["bring"]["check_standards"] == ["CS1"]

    said = boat.does("calendar", boat.folder / "visits.ics")
    calendar = Calendar.from_ical((boat.folder / "visits.ics").read_bytes())
    events = calendar.walk("VEVENT")
    assert said == f"{boat.folder / 'visits.ics'}: {len(events)} visits, the first on {first['day']}.\n"
    assert [event["dtstart"].dt.isoformat() for event in events] == sorted(
        event["dtstart"].dt.isoformat() for event in events
    )
    assert "C2B/crimp" in events[0]["description"]
    assert boat.does("round", "plot", "--out", boat.folder / "rounds.svg").startswith("The rounds of Kittiwake: drawn")
    assert b"one span" in (boat.folder / "rounds.svg").read_bytes()
    assert boat.tells("book", "verify")["sound"] is True
