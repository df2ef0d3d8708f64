"""A book made at generation 1 opens, verifies and lists: from this checkout, and from an installed wheel."""

import csv
import io
import json
import os
import sqlite3
import subprocess
import sys
import sysconfig
import venv
from contextlib import closing
from pathlib import Path

import pytest

from lugbook.records.store import APPLICATION_ID, GENERATION

HERE = Path(__file__).parent
CHECKOUT = HERE.parents[1]
IN_FORCE = [("2031-04-18", "1.84"), ("2031-04-19", "1.86"), ("2031-04-20", "1.85")]
"""Readings of the small book that count: when, and the drop in mV. One was corrected to 1.85, one withdrawn."""
WHERE_FROM = """
import lugbook
from lugbook.records.upgrade import migrations_folder
print(lugbook.__file__, migrations_folder())
"""


@pytest.fixture
def old_book(tmp_path):
    """A book of generation 1, made from its text."""
    path = tmp_path / "book.db"
    with closing(sqlite3.connect(path)) as connection:
        connection.executescript((HERE / "first_revision.sql").read_text(encoding="utf-8"))
        connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
        connection.execute("PRAGMA user_version = 1")
    return path


@pytest.fixture(scope="module")
def installed_python(tmp_path_factory):
    """The Python of a virtual environment into which a wheel of this checkout was installed."""
    folder = tmp_path_factory.mktemp("installed")
    run(sys.executable, "-m", "build", "--wheel", "--no-isolation", "--outdir", folder, CHECKOUT, cwd=folder)
    (wheel,) = folder.glob("*.whl")
    venv.create(folder / "env", symlinks=os.name != "nt")
    scheme = {"base": str(folder / "env"), "platbase": str(folder / "env")}
    site = Path(sysconfig.get_path("purelib", vars=scheme))
    run(
        sys.executable,
        "-m",
        "pip",
        "install",
        "-q",
        "--no-deps",
        "--no-compile",
        "--target",
        site,
        wheel,
        cwd=folder,
    )
    # The libraries it depends on come from the running environment. A path in a .pth file is searched after the
    # wheel, and .pth files found there, such as that of an editable install, are not read.
    (site / "libraries.pth").write_text(sysconfig.get_path("purelib") + "\n")
    return Path(sysconfig.get_path("scripts", vars=scheme)) / Path(sys.executable).name


def test_a_first_revision_book_is_whole_and_listed_by_this_checkout(old_book) -> None:
    assert_is_whole_and_listed(sys.executable, old_book)


def test_a_first_revision_book_is_whole_and_listed_by_an_installed_wheel(old_book, installed_python) -> None:
    where, migrations = run(installed_python, "-c", WHERE_FROM, cwd=old_book.parent).split()
    site = Path(where).parents[1]

    assert installed_python.parents[1] in site.parents
    assert Path(migrations) == site / "lugbook" / "migrations"
    assert_is_whole_and_listed(installed_python, old_book)


def test_the_wheel_holds_the_templates_of_paper(installed_python) -> None:
    where, _ = run(installed_python, "-c", WHERE_FROM, cwd=installed_python.parent).split()

    templates = contents(Path(where).parent / "reports" / "templates")
    assert templates == contents(CHECKOUT / "src" / "lugbook" / "reports" / "templates")
    assert "round_sheet.typ" in templates


def test_the_wheel_holds_the_migrations_and_sample_logs_of_this_checkout(installed_python) -> None:
    where, _ = run(installed_python, "-c", WHERE_FROM, cwd=installed_python.parent).split()

    for folder in ("migrations", "migrations/versions", "sample_logs"):
        assert contents(Path(where).parent / folder) == contents(CHECKOUT / folder)


def assert_is_whole_and_listed(python: Path | str, book: Path) -> None:
    """Upgrade, verify, look: as a person would, in the folder of the book."""

    def lugbook(*words: str) -> str:
        return run(python, "-m", "lugbook", "--book", book, *words, cwd=book.parent)

    assert ("up to date" in lugbook("book", "upgrade")) == (GENERATION == 1)
    assert json.loads(lugbook("book", "verify", "--json"))["sound"] is True
    assert "C1A/crimp" in lugbook("status")
    listed = csv.DictReader(io.StringIO(lugbook("export", "readings")))
    assert [(row["taken_at"][:10], row["drop_millivolt"]) for row in listed] == IN_FORCE


def run(*words: object, cwd: Path) -> str:
    """A program in a clean environment: what it printed."""
    env = {name: value for name, value in os.environ.items() if not name.startswith(("PYTHON", "LUGBOOK"))}
    ran = subprocess.run(
        [str(word) for word in words], cwd=cwd, env=env, capture_output=True, text=True, check=False
    )
    assert ran.returncode == 0, (words, ran.stdout, ran.stderr)
    return ran.stdout


def contents(folder: Path) -> dict[str, bytes]:
    """The files of a folder by name, what Python compiles left out."""
    return {file.name: file.read_bytes() for file in folder.iterdir() if file.is_file()}
