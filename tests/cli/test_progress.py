"""A long import shows how far it has come on a terminal, and says nothing of it into a pipe."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from conftest import Shell
from lugbook.cli.console import LONG

pty = pytest.importorskip("pty", reason="no terminals to be made here")
HEADINGS = (
    "span,round,taken_at,drop_millivolt,current_ampere,joint_celsius,voltage_instrument,current_instrument\n"
)


def log_of(shell: Shell, rows: int) -> Path:
    """A logger's table of so many readings of one span, a second apart."""
    times = (f"2026-04-18 {n // 3600 + 9:02d}:{n // 60 % 60:02d}:{n % 60:02d}" for n in range(rows))
    lines = (f"C12A/crimp,log,{time},0.84,100,20,bench meter,hand clamp\n" for time in times)
    return shell.file("log.csv", HEADINGS + "".join(lines))


def shown_on_a_terminal(*words: str | Path) -> str:
    """What a command writes on standard error, which is a terminal."""
    ours, theirs = pty.openpty()
    ran = subprocess.run(
        [sys.executable, "-m", "lugbook", *map(str, words)],
        stdout=subprocess.DEVNULL,
        stderr=theirs,
        check=True,
        env={**os.environ, "TERM": "xterm", "COLUMNS": "80"},
    )
    os.close(theirs)
    assert ran.returncode == 0
    shown = b""
    while True:
        try:
            part = os.read(ours, 65_536)
        except OSError:  # the other end is closed and all was read
            break
        if not part:
            break
        shown += part
    os.close(ours)
    return shown.decode()


def test_a_long_import_shows_its_progress_on_a_terminal(bench: Shell) -> None:
    shown = shown_on_a_terminal("--book", bench.book, "import", "readings", log_of(bench, LONG))

    assert "log.csv" in shown
    assert "100%" in shown


def test_a_short_import_shows_none(bench: Shell) -> None:
    assert shown_on_a_terminal("--book", bench.book, "import", "readings", log_of(bench, 20)) == ""


def test_a_long_import_into_a_pipe_shows_none(bench: Shell) -> None:
    ran = bench("import", "readings", log_of(bench, LONG))

    assert (ran.exit_code, ran.err) == (0, "")
    assert ran.out == f"log.csv: {LONG} readings entered.\n"
