"""A damaged, cut or half-written book: found or refused, never a traceback, never silently short."""

import os
import random
import shutil
import signal
import sqlite3
import subprocess
import sys
from collections import Counter
from contextlib import closing
from pathlib import Path

import pytest

from lugbook.errors import NotABook, Refusal
from lugbook.jobs.keeping import book_info, verify_book
from lugbook.jobs.recording import record_file
from lugbook.records.store import open_book
from lugbook.records.tables import FACT_TABLES, Ledger
from small_book import LINES, RECORDED, make_small_book

FLIPS, CUTS, KILLS = 300, 40, 5
TABLES = ("alembic_version", *(str(table.__tablename__) for table in (Ledger, *FACT_TABLES)))
IMPORTER = """
import sys
from pathlib import Path
from lugbook.jobs.recording import record_file
from lugbook.records.store import open_book
from small_book import RECORDED
book, log = open_book(Path(sys.argv[1])), Path(sys.argv[2])
print("ready", flush=True)
record_file(book, "readings", log.read_bytes(), log.name, RECORDED)
print("done", flush=True)
"""


@pytest.fixture(scope="module")
def whole_book(tmp_path_factory):
    path = tmp_path_factory.mktemp("damage") / "book.db"
    make_small_book(path).close()
    return path


def test_one_flipped_bit_that_changes_a_table_is_found_or_refused(whole_book, tmp_path) -> None:
    raw, held = whole_book.read_bytes(), tables_of(whole_book)
    path = tmp_path / "book.db"
    chance = random.Random(20310418)
    seen: Counter[str] = Counter()

    for _ in range(FLIPS):
        place, bit = chance.choice(places_that_matter(raw)), chance.randrange(8)
        damaged = bytearray(raw)
        damaged[place] ^= 1 << bit
        path.write_bytes(damaged)
        outcome = outcome_of(path)
        assert outcome != "sound" or tables_of(path) == held, f"bit {bit} of byte {place}"
        seen[outcome] += 1

    assert min(seen["found"], seen["refused"]) > 10, seen


def test_every_flipped_bit_of_one_reading_is_found(whole_book, tmp_path) -> None:
    raw = whole_book.read_bytes()
    start = raw.index(b"2031-04-18T10:00:00.000000Z", raw.index(b"2031-04-19T10:00:00.000000Z"))
    path = tmp_path / "book.db"

    for place in range(start, start + 27 + 8):  # the time and, after it, the drop as an 8-byte float
        damaged = bytearray(raw)
        damaged[place] ^= 1 << place % 8
        path.write_bytes(damaged)
        assert outcome_of(path) != "sound", place


def test_a_cut_book_is_found_or_refused(whole_book, tmp_path) -> None:
    raw = whole_book.read_bytes()
    path = tmp_path / "book.db"

    for length in [
        0,
        1,
        15,
        16,
        99,
        100,
        101,
        4095,
        4096,
        *range(5000, len(raw), len(raw) // CUTS),
        len(raw) - 1,
    ]:
        path.write_bytes(raw[:length])
        assert outcome_of(path) != "sound", length


@pytest.mark.parametrize("page", [0, 1, 3, 9, 20])
def test_a_page_of_zeros_is_found_or_refused(whole_book, tmp_path, page) -> None:
    raw = bytearray(whole_book.read_bytes())
    raw[4096 * page : 4096 * (page + 1)] = bytes(4096)
    path = tmp_path / "book.db"
    path.write_bytes(raw)

    assert outcome_of(path) != "sound"


def test_a_damaged_book_is_refused_with_one_sentence_and_not_repaired(whole_book, tmp_path) -> None:
    path = tmp_path / "book.db"
    cut = whole_book.read_bytes()[:20_000]
    path.write_bytes(cut)

    book = open_book(path)
    with pytest.raises(NotABook) as refused:
        book_info(book)
    book.close()

    assert str(refused.value) == (
        f"{path} is not a Lugbook book, or is damaged; nothing was changed. "
        "Name the right file with --book, or put back a copy."
    )
    assert path.read_bytes() == cut


@pytest.mark.skipif(
    hasattr(os, "geteuid") and os.geteuid() == 0, reason="the superuser may write where others may not"
)
def test_an_import_into_a_read_only_book_is_refused_and_leaves_it_as_it_was(whole_book, tmp_path) -> None:
    path = Path(shutil.copy(whole_book, tmp_path / "book.db"))
    before = path.read_bytes()
    path.chmod(0o444)

    book = open_book(path)
    with pytest.raises(Refusal) as refused:
        record_file(book, "tools", b"tool\npress\n", "tools.csv", RECORDED)
    book.close()

    assert refused.value.exit_code == 7
    assert path.read_bytes() == before


@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="needs a system that can kill a process outright")
def test_an_import_that_is_killed_is_there_whole_or_not_at_all(whole_book, tmp_path) -> None:
    log, count = readings_log(tmp_path)
    chance = random.Random(20310419)

    for number in range(KILLS):
        path = Path(shutil.copy(whole_book, tmp_path / f"book{number}.db"))
        done = import_and_kill(path, log, after_second=chance.uniform(0, 0.25))

        book = open_book(path)
        found = verify_book(book)
        kept = found.lines - LINES
        again = record_file(book, "readings", log.read_bytes(), log.name, RECORDED)
        after = verify_book(book)
        book.close()

        assert found.findings == ()
        assert kept == 0 or kept > count  # a line for each reading and one for the file
        assert kept > count or not done  # what was said to be done is there
        assert again.new == (0 if kept else count)
        assert after.findings == ()


def import_and_kill(path: Path, log: Path, *, after_second: float) -> bool:
    """Import in a process of its own and kill it some time after it began; whether it said it was done."""
    env = os.environ | {"PYTHONPATH": os.pathsep.join(sys.path)}
    with subprocess.Popen(
        [sys.executable, "-c", IMPORTER, path, log], env=env, stdout=subprocess.PIPE
    ) as process:
        assert process.stdout is not None
        assert process.stdout.readline() == b"ready\n"
        try:
            process.wait(after_second)
        except subprocess.TimeoutExpired:
            process.kill()
        return process.stdout.read() == b"done\n"


def readings_log(folder: Path, count: int = 2_000) -> tuple[Path, int]:
    """A log of many readings of the one span, a minute apart."""
    rows = [
        f"C1A/crimp,winter,2031-01-{day:02} {hour:02}:{minute:02},1.8{minute % 10},102.0,20.5,MV1,CL1"
        for day in range(1, 29) for hour in range(24) for minute in range(0, 60, 20)
    ][:count]  # fmt: skip
    heading = "span,round,taken_at,drop_millivolt,current_ampere,joint_celsius,voltage_instrument,current_instrument"
    log = folder / "readings.csv"
    log.write_text("\n".join([heading, *rows]) + "\n")
    return log, len(rows)


def outcome_of(path: Path) -> str:
    """What a person meets: a refusal, findings, or 'sound'; any other exception is a failure."""
    try:
        book = open_book(path)
        try:
            return "found" if verify_book(book).findings else "sound"
        finally:
            book.close()
    except Refusal:
        return "refused"


def tables_of(path: Path) -> list[object]:
    """Every row of every table, byte by byte: as bytes, so that damaged text compares too."""
    with closing(sqlite3.connect(path)) as connection:
        connection.text_factory = bytes
        return [connection.execute(f"SELECT * FROM {name} ORDER BY 1").fetchall() for name in TABLES]


def places_that_matter(raw: bytes) -> list[int]:
    """The bytes that are not zero: the rest is mostly free space, where a flip changes nothing."""
    return [place for place, byte in enumerate(raw) if byte]
