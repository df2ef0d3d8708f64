"""The one writer: facts and their rows together, corrections, withdrawals, and writers at the same time."""

import hashlib
import json
import os
import subprocess
import sys

import pytest
from sqlalchemy.exc import IntegrityError

from lugbook.errors import AlreadySuperseded, NotCanonical
from lugbook.jobs.keeping import verify_book
from lugbook.records import logbook as logbook_module
from lugbook.records.ledger import NO_LINE
from lugbook.records.logbook import Logbook, read_head
from lugbook.records.questions import (
    all_rows,
    counts,
    judged_readings,
    last_row,
    ledger_lines,
    readings_of_spans,
    row_by_id,
    rows_in_force,
    supersession,
)
from lugbook.records.tables import Reading, Tool
from small_book import FIRST_READING, LINES, RECORDED, SPAN, make_small_book, reading_fact

WRITERS, ENTRIES = 8, 20
ONE_WRITER = """
import sys
from pathlib import Path
from lugbook.records.logbook import Logbook
from lugbook.records.store import open_book
from lugbook.records.tables import Tool
from small_book import RECORDED
book = open_book(Path(sys.argv[1]))
print("ready", flush=True)
sys.stdin.readline()
for number in range(int(sys.argv[3])):
    with book.writing() as connection:
        Logbook(connection, RECORDED).record(Tool, {"name": f"press {sys.argv[2]}-{number}"})
"""


@pytest.fixture
def book(tmp_path):
    """A small book, open."""
    opened = make_small_book(tmp_path / "book.db")
    yield opened
    opened.close()


def test_a_fact_is_a_ledger_line_and_a_row_of_the_same_number(book) -> None:
    with book.writing() as connection:
        identity = Logbook(connection, RECORDED).record(Reading, reading_fact("0.840", note="à bord"))

    with book.reading() as connection:
        row = row_by_id(connection, Reading, identity)
        *_, last = ledger_lines(connection)
    assert identity == LINES + 1 == row["id"] == last.seq
    assert (row["drop_millivolt"], row["note"], row["joint_celsius"]) == (0.84, "à bord", None)
    text = json.loads(last.payload)
    assert (text["at"], text["kind"], text["seq"]) == ("2031-04-18T12:00:00.000000Z", "reading", identity)
    assert text["fact"] == reading_fact("0.840", note="à bord")  # the digits that were typed, "0.840"


def test_the_chain_can_be_followed_by_hand(book) -> None:
    with book.reading() as connection:
        lines = list(ledger_lines(connection))

    prev = NO_LINE
    for number, line in enumerate(lines, start=1):
        assert (line.seq, line.prev) == (number, prev)
        assert json.loads(line.payload)["prev"] == prev.hex()
        prev = hashlib.sha256(b"\x00" + line.payload).digest()
        assert line.hash == prev


def test_every_line_has_a_salt_of_its_own_and_the_name_of_the_book(book) -> None:
    with book.reading() as connection:
        texts = [json.loads(line.payload) for line in ledger_lines(connection)]
        name = read_head(connection).book

    assert len({text["salt"] for text in texts}) == LINES
    assert {text["book"] for text in texts} == {name}
    assert all(len(bytes.fromhex(text["salt"])) == 16 for text in texts)


def test_many_facts_are_written_in_order_across_batches(book, monkeypatch) -> None:
    monkeypatch.setattr(logbook_module, "BATCH", 3)
    with book.writing() as connection:
        identities = Logbook(connection, RECORDED).record_columns(Tool, {"name": [f"press {n}" for n in range(8)]})

    assert identities == range(LINES + 1, LINES + 9)
    with book.reading() as connection:
        names = [row["name"] for row in all_rows(connection, Tool) if row["id"] in identities]
    assert names == [f"press {n}" for n in range(8)]
    assert verify_book(book).findings == ()


def test_one_writer_may_write_several_times_in_a_transaction(book) -> None:
    assert write_tools(book, "press", "hammer") == [LINES + 1, LINES + 2]
    assert verify_book(book).findings == ()


def test_a_fact_without_canonical_form_leaves_nothing(book) -> None:
    with pytest.raises(NotCanonical):
        write_tools(book, "press", "e\u0301tau")

    assert verify_book(book).lines == LINES


def test_a_row_that_refers_to_nothing_is_refused(book) -> None:
    with pytest.raises(IntegrityError, match="FOREIGN KEY"), book.writing() as connection:
        Logbook(connection, RECORDED).record(Reading, reading_fact(span_id=999))

    assert verify_book(book).lines == LINES


def test_a_corrected_row_stays_and_its_heir_stands_for_it(book) -> None:
    with book.reading() as connection:
        history = supersession(connection)
        in_force = [row["id"] for row in rows_in_force(connection, Reading)]
        old = row_by_id(connection, Reading, 21)

    assert history.current(21) == 26
    assert in_force == [19, 20, 26]  # 21 was corrected, 22 withdrawn
    assert old["drop_millivolt"] == 18.5


def test_a_chain_of_corrections_is_followed_to_its_end(book) -> None:
    with book.writing() as connection:
        logbook = Logbook(connection, RECORDED)
        second = logbook.correct(Reading, 26, reading_fact("1.86", "2031-04-20"), "read the scale again", 3)
        third = logbook.correct(Reading, second, reading_fact("1.87", "2031-04-20"), "and again", None)

    with book.reading() as connection:
        history = supersession(connection)
    assert [history.current(identity) for identity in (21, 26, second, third)] == [third] * 4
    assert history.gone == {21, 22, 26, second}
    assert verify_book(book).findings == ()


def test_the_heir_of_a_correction_can_be_withdrawn(book) -> None:
    with book.writing() as connection:
        Logbook(connection, RECORDED).withdraw(26, "wrong span after all", 3)

    with book.reading() as connection:
        assert [row["id"] for row in rows_in_force(connection, Reading)] == [19, 20]


def test_a_second_correction_of_one_row_is_refused_and_names_the_heir(book) -> None:
    with pytest.raises(AlreadySuperseded) as refused, book.writing() as connection:
        Logbook(connection, RECORDED).correct(Reading, 21, reading_fact("1.90"), "once more", None)

    assert str(refused.value) == "Entry 21 no longer counts: entry 26 replaces it; name that one."
    assert verify_book(book).lines == LINES


@pytest.mark.parametrize(
    "deed",
    [
        lambda logbook: logbook.correct(Reading, 22, reading_fact(), "it was right", None),
        lambda logbook: logbook.withdraw(22, "twice", None),
    ],
    ids=["corrected", "withdrawn"],
)
def test_a_withdrawn_row_is_neither_corrected_nor_withdrawn_again(book, deed) -> None:
    with pytest.raises(AlreadySuperseded) as refused, book.writing() as connection:
        deed(Logbook(connection, RECORDED))

    assert str(refused.value) == (
        "Entry 22 no longer counts: it was withdrawn before; enter it anew if it is right after all."
    )


def test_questions_about_readings_leave_out_what_no_longer_counts(book) -> None:
    with book.reading() as connection:
        of_span = [row["id"] for row in readings_of_spans(connection, [SPAN])]
        judged = [row[0] for row in judged_readings(connection)]
        newest = last_row(connection, Reading)
        held = counts(connection)

    assert of_span == judged == [FIRST_READING, 20, 26]
    assert newest["id"] == 26
    assert (held["reading"], held["correction"], held["withdrawal"]) == (5, 1, 1)


def test_a_row_corrected_later_is_not_the_last_one_entered(book) -> None:
    with book.writing() as connection:
        logbook = Logbook(connection, RECORDED)
        last = logbook.record(Reading, reading_fact("1.87", "2031-04-22"))
        logbook.correct(Reading, FIRST_READING, reading_fact("1.83"), "misread", None)

        assert last_row(connection, Reading)["id"] == last

        logbook.withdraw(last, "twice", None)

        assert last_row(connection, Reading)["id"] == 26  # which stands for 21; 22 was withdrawn


def test_eight_programs_writing_at_once_lose_nothing_and_fork_nothing(book) -> None:
    env = os.environ | {"PYTHONPATH": os.pathsep.join(sys.path)}
    writers = [
        subprocess.Popen(
            [sys.executable, "-c", ONE_WRITER, str(book.path), str(number), str(ENTRIES)],
            env=env, stdin=subprocess.PIPE, stdout=subprocess.PIPE,
        )
        for number in range(WRITERS)
    ]  # fmt: skip
    for writer in writers:
        writer.stdout.readline()
    for writer in writers:
        writer.communicate(b"go\n", timeout=60)

    assert [writer.returncode for writer in writers] == [0] * WRITERS
    with book.reading() as connection:
        names = [row["name"] for row in all_rows(connection, Tool)]
    expected = {f"press {writer}-{number}" for writer in range(WRITERS) for number in range(ENTRIES)}
    assert len(names) == 1 + WRITERS * ENTRIES
    assert expected < set(names)
    found = verify_book(book)
    assert (found.lines, found.findings) == (LINES + WRITERS * ENTRIES, ())


def write_tools(book, *names: str) -> list[int]:
    """Tools entered one by one in one transaction: their identities."""
    with book.writing() as connection:
        logbook = Logbook(connection, RECORDED)
        return [logbook.record(Tool, {"name": name}) for name in names]
