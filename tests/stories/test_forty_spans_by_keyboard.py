"""Somebody enters a round of forty spans at a terminal, with as few keys as may be."""

import os
import select
import subprocess
import sys
import time
from pathlib import Path

import pytest

from conftest import Shell
from forty_spans import SPANS, drop_of, make_boat

pty = pytest.importorskip("pty", reason="needs a system with pseudo-terminals")

MOST_KEYS = 240
MOST_KEYS_OF_ONE = 6
PATIENCE_SECOND = 60.0


@pytest.fixture
def boat(tmp_path: Path) -> Shell:
    """The boat of forty spans on the real clock, its fourth round open."""
    shell = Shell(tmp_path)
    make_boat(shell)
    shell.does("round", "open", "spring", "--at", "100 A", "--voltmeter", "MV1", "--ammeter", "CL1")
    return shell


class Keyboard:
    """A pseudo-terminal with `round enter` on its other side; counts the keys it presses."""

    def __init__(self, book: Path) -> None:
        env = os.environ | {"PYTHONPATH": os.pathsep.join(sys.path), "LUGBOOK_BOOK": str(book)}
        self.keys = 0
        self.seen = ""
        self._terminal, other = pty.openpty()
        command = [sys.executable, "-m", "lugbook", "round", "enter"]
        self._process = subprocess.Popen(
            command, stdin=other, stdout=other, stderr=other, env=env, start_new_session=True
        )
        os.close(other)

    def waits_for(self, text: str) -> str:
        """Everything shown up to a text."""
        end = time.monotonic() + PATIENCE_SECOND
        while text not in self.seen:
            ready, _, _ = select.select([self._terminal], [], [], max(end - time.monotonic(), 0))
            assert ready, self.seen
            try:
                self.seen += os.read(self._terminal, 4096).decode()
            except OSError:  # the other side has closed it
                break
        shown, found, self.seen = self.seen.partition(text)
        assert found, shown
        return shown

    def types(self, text: str) -> None:
        """Press the keys of a text, and Enter."""
        self.keys += os.write(self._terminal, f"{text}\r".encode())

    def ends(self) -> int:
        """The exit code of the other side."""
        code = self._process.wait(PATIENCE_SECOND)
        os.close(self._terminal)
        return code


def test_forty_spans_take_at_most_240_keys(boat: Shell) -> None:
    keyboard = Keyboard(boat.book)

    for number, tag in enumerate(SPANS):
        shown = keyboard.waits_for("\n> ")
        assert f"] {tag}, " in shown
        before = keyboard.keys
        keyboard.types(f"{drop_of(number)[:4]} 20C" if number == 0 else drop_of(number)[:4])
        assert keyboard.keys - before <= MOST_KEYS_OF_ONE or number == 0
        keyboard.waits_for("as expected.")
    keyboard.waits_for("All 40 stops are done.")
    keyboard.waits_for("\n> ")
    keyboard.types("q")

    assert keyboard.ends() == 0
    assert keyboard.keys == 40 * len("0.80\r") + len(" 20C") + len("q\r")
    assert keyboard.keys <= MOST_KEYS
    shown = boat.tells("round", "show")
    assert shown["missing"] == []
    assert [stop["readings"][0]["joint_celsius"] for stop in shown["stops"]] == [20.0] * 40


def test_a_number_that_looks_wrong_is_answered_at_once_and_kept_when_typed_again(boat: Shell) -> None:
    keyboard = Keyboard(boat.book)

    keyboard.waits_for("\n> ")
    keyboard.types("8.0 20C")
    answer = keyboard.waits_for("to keep it.")
    keyboard.waits_for("\n> ")
    keyboard.types("8.0")
    keyboard.waits_for("kept.")
    keyboard.waits_for("\n> ")
    keyboard.types("q")
    keyboard.ends()

    assert "Look again: 8 mV; 0." in answer
    assert "a slipped decimal point?" in answer
    (reading,) = [r for r in boat.readings_of(SPANS[0]) if r["round"] == "spring"]
    assert (reading["drop_millivolt"], reading["confirmed"]) == (8.0, True)
