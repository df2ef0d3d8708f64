"""What a report says to somebody who never saw the boat: circuits, landings, joints that were mended."""

import shutil
from pathlib import Path

import pytest
from freezegun import freeze_time
from pypdf import PdfReader

from conftest import NOW, Shell
from parsed_page import Page
from surveyed_boat import enter_boat, read_and_mend


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


def rows(texts: list[str], caption: str, columns: int) -> list[list[str]]:
    """The rows of a table of a report whose cells are all filled."""
    start = texts.index(caption) + 1 + columns
    cells = texts[start:]
    return [cells[at : at + columns] for at in range(0, len(cells), columns)]


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
