"""What tests of jobs, commands and stories share: a shell at the bench with its own book and clock."""

import json
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass
from importlib import import_module
from pathlib import Path
from pkgutil import walk_packages
from typing import Any

import pytest
from freezegun import configure, freeze_time
from hypothesis import settings
from typer.testing import CliRunner

import lugbook
from forty_spans import make_boat
from lugbook.cli.app import app
from lugbook.errors import Refusal

SAMPLE_LOGS = Path(__file__).parents[1] / "sample_logs"
NOW = "2026-11-10T10:00:00Z"

settings.register_profile("repeatable", derandomize=True)  # the same cases in every run
settings.load_profile("repeatable")
configure(extend_ignore_list=["_pytest"])  # so that --durations goes on telling real time

# A class defined, or a library first imported, while the clock is frozen keeps the frozen kind of time.
for _module in walk_packages(lugbook.__path__, "lugbook."):
    if "__main__" not in _module.name and ".migrations" not in _module.name:
        import_module(_module.name)
for _library in (
    "alembic.command", "icalendar", "jinja2", "matplotlib.figure", "numpy", "PIL.JpegImagePlugin", "pint",
    "platformdirs", "segno", "typst",
):  # fmt: skip
    import_module(_library)


def pytest_addoption(parser: pytest.Parser) -> None:
    """The switch that writes golden files anew; the difference is then read by a person."""
    parser.addoption("--renew-golden", action="store_true", help="write the golden files anew")


@pytest.fixture
def renew_golden(request: pytest.FixtureRequest) -> bool:
    """Whether golden files are to be written anew."""
    return bool(request.config.getoption("--renew-golden"))


@dataclass(frozen=True)
class Ran:
    """What one command did."""

    exit_code: int
    out: str
    err: str

    @property
    def facts(self) -> Any:
        """Standard output as JSON; fails where there is anything else on it."""
        return json.loads(self.out)


class Shell:
    """Types commands as `main` runs them, on one book."""

    def __init__(self, folder: Path) -> None:
        self.folder, self.book = folder, folder / "book.db"

    def __call__(self, *words: str | Path, typed: str | None = None) -> Ran:
        """One command, with what is typed into it: its exit code, standard output and standard error."""
        env = {"LUGBOOK_BOOK": str(self.book), "COLUMNS": "200"}
        result = CliRunner().invoke(app, [str(word) for word in words], env=env, input=typed)
        if isinstance(result.exception, Refusal):
            return Ran(result.exception.exit_code, result.stdout, f"{result.stderr}{result.exception}\n")
        if result.exception is not None and not isinstance(result.exception, SystemExit):
            raise result.exception
        return Ran(result.exit_code, result.stdout, result.stderr)

    def does(self, *words: str | Path, typed: str | None = None) -> str:
        """A command that must succeed: what it said."""
        ran = self(*words, typed=typed)
        assert ran.exit_code == 0, (words, ran)
        return ran.out

    def tells(self, *words: str | Path) -> Any:
        """The facts of a command that must succeed, with --json."""
        return json.loads(self.does(*words, "--json"))

    def refuses(self, *words: str | Path, exit_code: int = 3) -> str:
        """A command that must be refused, leaving the book as it was: its sentence."""
        before = self.line_count()
        ran = self(*words)
        assert (ran.exit_code, ran.out) == (exit_code, ""), (words, ran)
        assert self.line_count() == before, words
        return ran.err.removesuffix("\n")

    def line_count(self) -> int:
        """How many lines the ledger of the book has; 0 where there is no book."""
        if not self.book.exists():
            return 0
        with closing(sqlite3.connect(self.book)) as connection:
            return int(connection.execute("SELECT count(*) FROM ledger").fetchone()[0])

    def file(self, name: str, text: str | bytes) -> Path:
        """A file beside the book."""
        path = self.folder / name
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
        return path

    def verdict_of(self, span: str) -> Any:
        """What `status --json` says of one span."""
        (found,) = [facts for facts in self.tells("status")["spans"] if facts["span"] == span]
        return found

    def readings_of(self, span: str) -> list[Any]:
        """The readings of one span, by time."""
        return list(self.tells("span", "show", span)["readings"])


@pytest.fixture
def clock() -> Iterator[Any]:
    """The clock, stopped at NOW; `clock.move_to` sets it. Any: freezegun does not export the type."""
    with freeze_time(NOW) as stopped:
        yield stopped


@pytest.fixture
def shell(clock: Any, tmp_path: Path) -> Shell:
    """A shell in an empty folder; its book is not made yet."""
    return Shell(tmp_path)


@pytest.fixture(scope="session")
def bench_book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A book with one build, two meters and two spans, C12A/crimp read once; to be copied, not changed."""
    shell = Shell(tmp_path_factory.mktemp("bench"))
    accuracy = ("--percent", "0.5 %", "--counts", "3", "--resolution")
    with freeze_time(NOW):
        shell.does("book", "new", shell.book)
        shell.does("build", "add", "My boat", "--zone", "Europe/Lisbon")
        shell.does("instrument", "add", "bench meter", "--kind", "millivoltmeter", *accuracy, "0.01 mV")
        shell.does("instrument", "add", "hand clamp", "--kind", "clamp", *accuracy, "0.1 A")
        for span in ("C12A/crimp", "C12B/crimp"):
            shell.does("span", "add", span, "--kind", "crimp", "--place", "bilge")
        shell.does(
            "reading",
            "add",
            "C12A/crimp",
            "0.84 mV",
            "--at",
            "100 A",
            "--temp",
            "31 degC",
            "--when",
            "2026-11-09 14:00",
        )
    return shell.book


@pytest.fixture
def bench(shell: Shell, bench_book: Path) -> Shell:
    """A shell on a copy of the bench's book."""
    shutil.copy(bench_book, shell.book)
    return shell


@pytest.fixture(scope="session")
def forty_book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The book of the boat of forty spans; to be copied, not changed."""
    shell = Shell(tmp_path_factory.mktemp("forty"))
    with freeze_time(NOW):
        make_boat(shell)
    return shell.book


@pytest.fixture
def forty(shell: Shell, forty_book: Path) -> Shell:
    """A shell on a copy of the book of the boat of forty spans."""
    shutil.copy(forty_book, shell.book)
    return shell


@pytest.fixture(scope="session")
def sallowmere_book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The book of the sample boat without the mistyped reading, which is set aside; to be copied, not changed."""
    shell = Shell(tmp_path_factory.mktemp("sallowmere"))
    with freeze_time(NOW):
        shell.does("book", "new", shell.book)
        for log in sample_logs():
            shell.does("import", kind_of(log), log, "--set-aside", shell.folder / f"{log.stem}_aside.csv")
    return shell.book


@pytest.fixture
def sallowmere(shell: Shell, sallowmere_book: Path) -> Shell:
    """A shell on a copy of the book of the sample boat."""
    shutil.copy(sallowmere_book, shell.book)
    return shell


def sample_logs() -> list[Path]:
    """The sample logs in the order of their numbers."""
    return sorted(SAMPLE_LOGS.glob("[0-9]*.csv"))


def kind_of(log: Path) -> str:
    """The kind of table that a sample log's name says."""
    return log.stem.split("_")[1]
