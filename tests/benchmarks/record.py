"""Prints how the import of 100,000 readings and a status of 10,000 spans compare with plain sqlite3, and start-up
with bare imports: ratios measured in one run, no limits asserted. Run: python tests/benchmarks/record.py"""

import csv
import gc
import io
import random
import resource
import sqlite3
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from datetime import UTC, date, datetime
from pathlib import Path

SPANS, ROUNDS = 10_000, 10
NOW = datetime(2026, 11, 1, 12, tzinfo=UTC)
INSTRUMENTS = (
    "instrument,kind,percent_of_reading,counts,resolution,unit\n"
    "meter,millivoltmeter,0.5,3,0.01,mV\nclamp,clamp,2,3,0.1,A\n"
)


def readings_csv() -> bytes:
    """Ten yearly rounds of ten thousand invented spans."""
    draw = random.Random(5)
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(["span", "round", "taken_at", "drop_millivolt", "current_ampere", "joint_celsius",
                     "voltage_instrument", "current_instrument"])  # fmt: skip
    level = [draw.uniform(8, 60) for _ in range(SPANS)]
    for round_ in range(ROUNDS):
        for span in range(SPANS):
            ampere = draw.uniform(90, 110)
            drop = level[span] * ampere / 1000 * draw.gauss(1, 0.02)
            moment = f"{2016 + round_}-04-{1 + span // 1000:02d} {8 + span % 1000 // 100:02d}:{span % 60:02d}"
            writer.writerow([f"S{span:05d}/crimp", str(2016 + round_), moment, f"{drop:.3f}", f"{ampere:.1f}",
                             f"{draw.uniform(12, 30):.1f}", "meter", "clamp"])  # fmt: skip
    return out.getvalue().encode()


def seconds(deed: Callable[[], object]) -> float:
    """How long one call takes."""
    start = time.perf_counter()
    deed()
    return time.perf_counter() - start


def plain_insert(folder: Path, rows: list[tuple[object, ...]], times: int, *, keyed: bool = False) -> float:
    """The same columns into a bare table by executemany, or one with our key and index; the median of some runs."""
    width = len(rows[0])

    def insert() -> None:
        path = folder / "plain.db"
        path.unlink(missing_ok=True)
        connection = sqlite3.connect(path)
        connection.execute(f"CREATE TABLE reading ({', '.join(f'c{n}' for n in range(width))})")
        if keyed:  # id is the first column; an index on span and time, as ours
            connection.execute("CREATE UNIQUE INDEX key ON reading (c0)")
            connection.execute("CREATE INDEX span ON reading (c3, c5)")
        connection.executemany(f"INSERT INTO reading VALUES ({', '.join('?' * width)})", rows)
        connection.commit()
        connection.close()

    return statistics.median(seconds(insert) for _ in range(times))


def main() -> None:
    """Measure and print."""
    gc.set_threshold(100_000, 50, 50)  # as the command line does
    from lugbook.cli.verdicts import HEADINGS, row_of
    from lugbook.jobs.assessing import judge_book
    from lugbook.jobs.keeping import new_book
    from lugbook.jobs.recording import record_file
    from lugbook.records.store import open_book

    raw = readings_csv()
    spans = "build,span,kind,place,limit_microohm\n" + "".join(
        f"Big,S{n:05d}/crimp,crimp,dry,150\n" for n in range(SPANS)
    )
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "book.db"
        new_book(path, NOW)
        book = open_book(path)
        record_file(book, "builds", b"build\nBig\n", "builds.csv", NOW)
        record_file(book, "instruments", INSTRUMENTS.encode(), "instruments.csv", NOW)
        record_file(book, "spans", spans.encode(), "spans.csv", NOW)
        ours = seconds(lambda: record_file(book, "readings", raw, "readings.csv", NOW))
        peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024

        with sqlite3.connect(path) as plain:
            rows = plain.execute("SELECT * FROM reading").fetchall()
        bare = plain_insert(Path(folder), rows, 3)
        keyed = plain_insert(Path(folder), rows, 3, keyed=True)
        print(f"  into a table with our key and index, {keyed:.2f} s: {keyed / ours:.3f} of its rate")
        with sqlite3.connect(path) as plain:
            sealed = [
                (*row, *line)
                for row, line in zip(
                    rows, plain.execute("SELECT * FROM ledger WHERE kind = 'reading'"), strict=True
                )
            ]
        both = plain_insert(Path(folder), sealed, 3)
        del sealed
        print(f"  of reading and ledger columns, {both:.2f} s: {both / ours:.3f} of its rate")
        print(f"import: {len(rows)} readings in {ours:.2f} s, executemany {bare:.2f} s: "
              f"{bare / ours:.3f} of its rate (wanted 0.12); peak {peak:.0f} MB (wanted under 300)")  # fmt: skip

        def read_plain() -> None:
            with sqlite3.connect(path) as connection:
                connection.execute("SELECT * FROM span").fetchall()
                connection.execute("SELECT * FROM reading").fetchall()

        def status() -> None:
            for standing in judge_book(book, date(2026, 11, 1)):
                lines = [row_of(verdict) for verdict in standing.judgement.verdicts]
                assert len(lines) == SPANS
                assert len(HEADINGS) == len(lines[0])

        status()
        ours = statistics.median(seconds(status) for _ in range(3))
        bare = statistics.median(seconds(read_plain) for _ in range(3))
        print(
            f"status, in process: {ours:.2f} s, plain read {bare:.2f} s: {ours / bare:.1f} times (wanted 5)"
        )
        whole = statistics.median(
            seconds(lambda: run("-m", "lugbook", "--book", str(path), "status")) for _ in range(3)
        )
        code = f"import sqlite3; c = sqlite3.connect({str(path)!r}); c.execute('SELECT * FROM span').fetchall(); " \
               "c.execute('SELECT * FROM reading').fetchall()"  # fmt: skip
        alone = statistics.median(seconds(lambda: run("-c", code)) for _ in range(3))
        print(
            f"status, whole command: {whole:.2f} s, python with sqlite3 {alone:.2f} s: {whole / alone:.1f} times"
        )
        book.close()
        start_up(Path(folder))


def start_up(folder: Path) -> None:
    """Help and an empty status against the bare imports they cannot do without, rounds interleaved."""
    empty = folder / "empty.db"
    run("-m", "lugbook", "book", "new", str(empty))
    pairs = {
        "--help": (["-m", "lugbook", "--help"], "import typer"),
        "status of an empty book": (
            ["-m", "lugbook", "--book", str(empty), "status"],
            "import typer, sqlmodel",
        ),
    }
    for name, (words, imports) in pairs.items():
        ours, bare = [], []
        for _ in range(11):
            ours.append(seconds(lambda words=words: run(*words)))
            bare.append(seconds(lambda imports=imports: run("-c", imports)))
        ratio = statistics.median(ours) / statistics.median(bare)
        print(f"{name}: {statistics.median(ours) * 1000:.0f} ms, {imports}: "
              f"{statistics.median(bare) * 1000:.0f} ms: {ratio:.2f} times (wanted 1.3)")  # fmt: skip


def run(*words: str) -> None:
    """One fresh Python process."""
    subprocess.run([sys.executable, *words], check=True, stdout=subprocess.DEVNULL)


if __name__ == "__main__":
    main()
