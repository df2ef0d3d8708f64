"""What a command does not need is not loaded: help comes at once, and an empty book needs no mathematics."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from lugbook.records.upgrade import create_book
from small_book import RECORDED

RUN_AND_TELL = """
import sys
from lugbook.cli.app import app
try:
    app(sys.argv[1:])
except SystemExit as end:
    assert not end.code, end.code
print()
print("LOADED", *sorted({name.partition(".")[0] for name in sys.modules}))
"""
HEAVY = {
    "alembic", "icalendar", "jinja2", "matplotlib", "numpy", "PIL", "pint", "scipy", "segno", "sqlalchemy", "sqlmodel",
    "typst",
}  # fmt: skip


@pytest.mark.parametrize("words", [["--help"], ["--version"]])
def test_help_loads_no_heavy_library(tmp_path, words) -> None:
    assert loaded_by(words, tmp_path) & HEAVY == set()


@pytest.mark.parametrize(
    "command",
    [
        "status",
        "due",
        "round list",
        "book info",
        "book verify",
        "reading list",
        "span list",
        "export readings",
    ],
)
def test_looking_at_an_empty_book_loads_only_the_record(tmp_path, command) -> None:
    create_book(tmp_path / "book.db", RECORDED)

    loaded = loaded_by(["--book", str(tmp_path / "book.db"), *command.split()], tmp_path)

    assert loaded & HEAVY == {"sqlalchemy", "sqlmodel"}


def loaded_by(words: list[str], folder: Path) -> set[str]:
    """Top-level modules that a command has loaded when it ends."""
    env = {name: value for name, value in os.environ.items() if not name.startswith("LUGBOOK")}
    ran = subprocess.run(
        [sys.executable, "-c", RUN_AND_TELL, *words],
        cwd=folder,
        env=env,
        capture_output=True,
        text=True,
        check=False,
    )
    assert ran.returncode == 0, ran.stdout + ran.stderr
    return set(ran.stdout.splitlines()[-1].split()[1:])
