"""What a report says to somebody who never saw the boat: circuits, landings, joints that were mended."""

import re
import shutil
from pathlib import Path
from typing import Any

import pytest
from freezegun import freeze_time
from pypdf import PdfReader

from conftest import NOW, Shell
from parsed_page import Page
from surveyed_boat import METERS, enter_boat, read_and_mend


@pytest.fixture(scope="module")
def boat_book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The book of the boat, read and mended."""
    shell = Shell(tmp_path_factory.mktemp("boat"))
    with freeze_time(NOW):
        enter_boat(shell)
        read_and_mend(shell)
    return shell.book


@pytest.fixture
def boat(shell: Shell, boat_book: Path) -> Shell:
    """A shell on a copy of that book."""
    shutil.copy(boat_book, shell.book)
    return shell


def told(shell: Shell, *words: str) -> list[str]:
    """The texts of a report, a piece of the page each, with plain blanks."""
    written = Path(shell.tells("report", "--out", shell.folder / "out", *words)["html"])
    return [text.replace("\u00a0", " ") for text in Page(written.read_text(encoding="utf-8")).texts]


def rows(texts: list[str], caption: str, columns: int, *, empty: int = 0) -> list[list[str]]:
    """The rows of a table of a report; so many cells of each are empty, and no text of the page."""
    start, filled = texts.index(caption) + 1 + columns, columns - empty
    cells = texts[start:]
    return [cells[at : at + filled] for at in range(0, len(cells), filled)]


def test_the_schedule_says_the_circuit_of_a_cable_and_else_its_note(boat: Shell) -> None:
    first, second = rows(told(boat), "Cables of this build", 5)[:2]

    assert first[-1] == "starter, 150 A, 12 V"
    assert second[-1] == "to the windlass"


def test_a_private_issue_keeps_the_circuit_and_leaves_the_note_out(boat: Shell) -> None:
    first, second = rows(told(boat, "--private"), "Cables of this build", 5)[:2]

    assert (first[-1], second[-1]) == ("starter, 150 A, 12 V", "left out")


def test_the_landing_of_the_span_at_an_end_is_that_of_its_terminal(boat: Shell) -> None:
    (torque,) = [c for c in boat.tells("terminal", "show", "M1B")["criteria"] if c["criterion"] == "torque"]

    # 12 N m is 20 % off the maker's 10 N m.
    assert (torque["verdict"], torque["value"], torque["limit"]) == ("in doubt", 12.0, 10.0)
    assert any("on Minuspol 1 (post, 12 N m / 8.85 lbf ft)" in text for text in told(boat))


def test_a_label_says_where_its_end_goes_and_what_its_cable_carries(boat: Shell) -> None:
    sheet = ("--width", "63.5 mm", "--height", "38.1 mm", "--columns", "3", "--rows", "7", "--left", "7.2 mm",
             "--top", "15.1 mm")  # fmt: skip
    boat.does("labels", "--out", boat.folder / "labels.pdf", *sheet)

    read = PdfReader(boat.folder / "labels.pdf").pages[0].extract_text()
    printed = " ".join(read.replace("\u00a0", " ").split())
    assert "M1A 70 mm², 2 m engine, starter, 150 A, 12 V" in printed
    assert "M2A 70 mm², 2 m engine" in printed
    assert "windlass" not in printed


def test_the_history_says_what_a_service_found_and_left_beside_the_limit(boat: Shell) -> None:
    (line,) = rows(told(boat, "--span", "M1B/landing"), "Work done on spans", 9, empty=1)[:1]

    # 6.2 mV and 0.8 mV at 100 A and 20 °C; the note is empty.
    assert [re.sub(r" ± [0-9.]+", "", cell) for cell in line] == [
        "2026-05-03", "M1B/landing", "cleaned", "owner", "62.00 µΩ over its limit 6.2 mV at 100 A",
        "8.00 µΩ 0.8 mV at 100 A", "30 µΩ", "12 N m (8.85 lbf ft)",
    ]  # fmt: skip


def test_the_first_page_says_what_was_found_over_its_limit_and_mended(boat: Shell) -> None:
    assert (
        "Found over its limit and mended: M1B/landing, 2026-05-03 (62.0 to 8.00 µΩ, limit 30 µΩ)." in told(boat)
    )


def test_what_a_service_read_is_no_round_of_readings(boat: Shell) -> None:
    texts = told(boat)

    first, *after = rows(texts, "Rounds of readings", 6)
    assert (first[0], first[2]) == ("2025", "3")
    assert after[0][0] != "mending"
    assert any("3 were read in 1 round, 2025-05-03 to 2026-05-03" in text for text in texts)
    assert any("Last round: 2025, 3 spans" in text for text in texts)
    assert "rounds without a check standard: 1 of 1." in texts


def test_a_steady_span_to_be_read_again_at_once_is_an_open_point(boat: Shell, clock: Any) -> None:
    for year, drop in enumerate((0.84, 0.85, 0.84, 0.85, 1.02), start=2027):
        clock.move_to(f"{year}-05-04T10:00:00Z")
        for span, read in (("M1A/crimp", drop), ("M1B/crimp", 0.86), ("M2A/crimp", 0.85), ("M1B/landing", 0.80)):
            boat.does("reading", "add", span, f"{read:.2f} mV", *METERS, "--round", str(year), "--confirm")

    texts = told(boat)

    assert boat.verdict_of("M1A/crimp")["verdict"] == "steady"
    (point,) = rows(texts, "Open points", 3)[:1]
    why = "The last reading stands alone: read it again now, with fresh probe places, as it may creep ("
    assert point[:2] == ["M1A/crimp", "steady, read again now"]
    assert point[2].startswith(why)
    assert [text for text in texts if text.startswith(f"To be tested again: {why}")]


@pytest.fixture
def put_right(boat: Shell, clock: Any) -> Shell:
    """The boat with a reading amended twice over, a note and a service put right, and an issue withdrawn."""
    clock.move_to("2026-11-10T10:00:00Z")
    reading = boat.readings_of("M1A/crimp")[0]["entry"]
    boat.does("reading", "amend", str(reading), "--drop", "0.82 mV", "--at", "100,5 A", "--when", "2025-05-03 11:00",
              "--reason", "misread", "--by", "owner")  # fmt: skip
    boat.does("reading", "amend", str(boat.readings_of("M1B/crimp")[0]["entry"]), "--round", "mending",
              "--reason", "the wrong sheet")  # fmt: skip
    boat.does("report", "--out", boat.folder / "given", "--record", "--to", "the insurer", "--by", "owner")
    boat.does("issue", "withdraw", "1", "--reason", "a wrong limit")
    return boat


def superseded(shell: Shell, *words: str) -> dict[str, list[str]]:
    """By what it was on: what an entry said, and what it says now."""
    found = rows(told(shell, *words), "Entries corrected or withdrawn", 6)[:3]
    return {what: [said, now] for _, what, said, now, *_ in found}


def test_a_corrected_reading_is_told_in_units_and_on_the_clocks_of_the_boat(put_right: Shell) -> None:
    found = superseded(put_right)

    assert found["reading M1A/crimp"] == [
        "taken: 2025-05-03 10:00 drop: 0.84 mV current: 100 A",
        "taken: 2025-05-03 11:00 drop: 0.82 mV current: 100.5 A",
    ]
    assert found["reading M1B/crimp"] == ["round: 2025", "round: mending"]


def test_a_withdrawn_issue_is_told_in_words(put_right: Shell) -> None:
    assert superseded(put_right)["issue 1"] == [
        "issued: 2026-11-10 23:00 as of: 2026-11-10 issued to: the insurer by: owner",
        "withdrawn: it no longer counts",
    ]


def test_a_private_issue_names_nobody_in_what_was_superseded(put_right: Shell) -> None:
    put_right.does("operator", "amend", "owner", "operator=Ann", "--reason", "her name")

    texts = told(put_right, "--private")

    assert superseded(put_right, "--private")["issue 1"][0].endswith("issued to: left out by: person 1")
    person = texts.index("operator")
    assert texts[person + 1 : person + 3] == ["name: left out", "name: left out"]
    assert not [text for text in texts if "Ann" in text]


def test_a_reading_is_shown_on_the_clocks_of_its_boat(boat: Shell) -> None:
    entry = boat.readings_of("M1A/crimp")[0]["entry"]

    assert "taken at            2025-05-03 10:00\n" in boat.does("reading", "show", str(entry))
    assert boat.tells("reading", "show", str(entry))["taken_at"] == "2025-05-02T22:00:00.000000Z"
