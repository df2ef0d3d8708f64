"""A program killed while a round is entered: what was answered is in the book, and the round goes on from there."""

import os
import random
import shutil
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from conftest import Shell
from forty_spans import SPANS, drop_of, make_boat

KILLS = 4

pytestmark = pytest.mark.skipif(
    not hasattr(signal, "SIGKILL"), reason="needs a system that can kill a process outright"
)


@pytest.fixture(scope="module")
def boat_book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The boat of forty spans with a round open; to be copied, not changed."""
    shell = Shell(tmp_path_factory.mktemp("boat"))
    make_boat(shell)
    shell.does("round", "open", "spring", "--at", "100 A")
    return shell.book


def test_nothing_that_was_answered_is_lost_to_a_kill(boat_book: Path, tmp_path: Path) -> None:
    chance = random.Random(20310501)

    for kill in range(KILLS):
        folder = tmp_path / str(kill)
        folder.mkdir()
        shell = Shell(folder)
        shutil.copy(boat_book, shell.book)
        answered = enter_and_kill(shell.book, chance.randrange(1, 12), ahead=kill % 2)

        assert shell.tells("book", "verify")["sound"] is True
        stops = shell.tells("round", "show")["stops"]
        kept = [stop["span"] for stop in stops if stop["readings"]]
        assert kept[: len(answered)] == answered
        assert len(kept) <= len(answered) + kill % 2  # one more where it was typed and not yet answered
        assert kept == SPANS[: len(kept)]


def test_the_round_goes_on_where_the_kill_left_it(boat_book: Path, tmp_path: Path) -> None:
    shell = Shell(tmp_path)
    shutil.copy(boat_book, shell.book)
    enter_and_kill(shell.book, 5, ahead=0)

    with entering(shell.book) as process:
        out, _ = process.communicate(f"{drop_of(5)}\nq\n".encode())

    said = out.decode().splitlines()
    assert said[0].startswith(f"[6/40] {SPANS[5]}, engine: ")
    assert "100 A, 20 °C" in said[0]  # the temperature held too
    assert said[1] == f"> {'':2}{float(drop_of(5)):g} mV at 100 A, 20 °C: as expected."


def enter_and_kill(book: Path, count: int, *, ahead: int) -> list[str]:
    """Enter so many readings, wait for each answer, type `ahead` more without waiting, and kill."""
    answered = []
    with entering(book) as process:
        assert process.stdin is not None
        assert process.stdout is not None
        for number in range(count):
            process.stdin.write(f"{drop_of(number)}{' 20C' if number == 0 else ''}\n".encode())
            process.stdin.flush()
            while b"as expected." not in (line := process.stdout.readline()):
                assert line, "the program ended by itself"
            answered.append(SPANS[number])
        if ahead:
            process.stdin.write(f"{drop_of(count)}\n".encode())
            process.stdin.flush()
        process.send_signal(signal.SIGKILL)
        process.stdout.read()
        process.stdin.close()
        process.wait()
    return answered


def entering(book: Path) -> "subprocess.Popen[bytes]":
    """`round enter` with its input and output in pipes."""
    env = os.environ | {"PYTHONPATH": os.pathsep.join(sys.path), "LUGBOOK_BOOK": str(book)}
    command = [sys.executable, "-m", "lugbook", "round", "enter"]
    return subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, env=env)
