"""The only writer: each fact goes to the ledger and to its own table in the same transaction."""

import json
import secrets
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import cache
from itertools import chain
from typing import Any

from sqlalchemy import Connection, Float, insert, select

from lugbook.errors import AlreadySuperseded, LastLineUnreadable
from lugbook.records.facts import Fact
from lugbook.records.ledger import (
    GENESIS,
    NO_LINE,
    Columns,
    Line,
    canonical,
    canonical_texts,
    seal_line,
    seal_lines,
)
from lugbook.records.ledger import Fact as FactText
from lugbook.records.questions import supersession
from lugbook.records.tables_history import Correction, Ledger, Withdrawal

Progress = Callable[[int, int], None]
"""Told how many of how many rows are written."""


def no_progress(done: int, total: int) -> None:
    """For whoever does not watch."""


BATCH = 5_000
"""Rows handed to SQLite at a time; keeps a long import's memory flat."""


TOGETHER = 50
"""Rows in one statement: what SQLite keeps to undo it is then kept once for all of them."""


@dataclass(frozen=True)
class Head:
    """Where the chain stands: the number and seal of its last line, and the book it belongs to."""

    seq: int
    hash: bytes
    book: str


class Logbook:
    """Writes facts within one transaction that somebody else began and will end."""

    def __init__(self, connection: Connection, at: datetime) -> None:
        self.connection = connection
        self._at = at.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%S.%fZ")
        self._head = read_head(connection)

    @property
    def last(self) -> int:
        """The number of the last line."""
        return self._head.seq

    def record(self, table: type[Fact], fact: FactText) -> int:
        """Write one fact and return its identity, the number of its ledger line."""
        return self.record_columns(table, {name: (value,) for name, value in fact.items()})[0]

    def record_columns(
        self, table: type[Fact], columns: Columns, *, progress: Progress = no_progress
    ) -> range:
        """Write several facts, given column by column, in order, and return their identities.

        Measured values come as the decimal text that was typed, in the unit the column names.
        Raises NotCanonical.
        """
        first, total = self._head.seq + 1, len(next(iter(columns.values())))
        for start in range(0, total, BATCH):
            progress(start, total)
            self._write(table, {name: values[start : start + BATCH] for name, values in columns.items()})
        progress(total, total)
        return range(first, first + total)

    def correct(
        self, table: type[Fact], replaced: int, fact: FactText, reason: str, operator: int | None
    ) -> int:
        """Write a better row and the line that says which row it replaces, who said so and why."""
        self._refuse_superseded(replaced)
        replacement = self.record(table, fact)
        self.record(
            Correction,
            {
                "replaced_id": replaced,
                "replacement_id": replacement,
                "reason": reason,
                "operator_id": operator,
            },
        )
        return replacement

    def withdraw(self, withdrawn: int, reason: str, operator: int | None) -> int:
        """Write the line that says a row no longer counts."""
        self._refuse_superseded(withdrawn)
        return self.record(Withdrawal, {"withdrawn_id": withdrawn, "reason": reason, "operator_id": operator})

    def _refuse_superseded(self, identity: int) -> None:
        history = supersession(self.connection)
        if identity in history.gone:
            raise AlreadySuperseded(identity, history.heirs.get(identity))

    def _write(self, table: type[Fact], columns: Columns) -> None:
        kind, facts, head = str(table.__tablename__), canonical_texts(columns), self._head
        salts = _salts(len(facts))
        lines = seal_lines(
            kind, facts, seq=head.seq + 1, prev=head.hash, at=self._at, book=head.book, salts=salts
        )
        stored = {"id": [line[0] for line in lines], **_stored(table, columns)}
        self._insert(Ledger, Line._fields, _bound(lines))
        self._insert(table, tuple(stored), list(zip(*stored.values(), strict=True)))
        *_, seal = lines[-1]
        self._head = Head(head.seq + len(lines), seal, head.book)

    def _insert(
        self, table: type[Fact] | type[Ledger], names: tuple[str, ...], rows: list[tuple[object, ...]]
    ) -> None:
        whole = len(rows) - len(rows) % TOGETHER
        if whole:
            groups = [
                tuple(chain.from_iterable(rows[at : at + TOGETHER])) for at in range(0, whole, TOGETHER)
            ]
            self.connection.exec_driver_sql(_insertion(table, names, TOGETHER), groups)
        if rows[whole:]:
            self.connection.exec_driver_sql(_insertion(table, names), rows[whole:])


def begin_book(connection: Connection, at: datetime) -> str:
    """Write line 1 of a new book and return the book's own name, 32 hex digits."""
    book = secrets.token_hex(16)
    moment = at.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%S.%fZ")
    line = seal_line(GENESIS, canonical({}), seq=1, prev=NO_LINE, at=moment, book=book, salt=_salts(1)[0])
    connection.exec_driver_sql(_insertion(Ledger, Line._fields), [line])
    return book


def read_head(connection: Connection) -> Head:
    """The last line of the chain. Raises LastLineUnreadable."""
    ledger = Ledger.__table__  # type: ignore[attr-defined]
    last = connection.execute(
        select(ledger.c.seq, ledger.c.hash, ledger.c.payload).order_by(ledger.c.seq.desc()).limit(1)
    ).first()
    try:
        return Head(last.seq, last.hash, str(json.loads(last.payload)["book"]))  # type: ignore[union-attr]
    except (AttributeError, ValueError, KeyError, TypeError) as error:
        raise LastLineUnreadable from error


def row_of(table: type[Fact], seq: int, fact: FactText) -> tuple[object, ...]:
    """The table row that one fact projects to."""
    row: list[Any] = [seq, *map(fact.get, column_names(table)[1:])]
    for place in _measured_places(table):
        if row[place] is not None:
            row[place] = float(row[place])
    return tuple(row)


@cache
def column_names(table: type[Fact]) -> tuple[str, ...]:
    """Columns of a table in its own order; `id` is first."""
    return tuple(column.name for column in table.__table__.columns)  # type: ignore[attr-defined]


@cache
def measured_columns(table: type[Fact]) -> frozenset[str]:
    """Columns that hold a measured number."""
    columns = table.__table__.columns  # type: ignore[attr-defined]
    return frozenset(column.name for column in columns if isinstance(column.type, Float))


@cache
def _measured_places(table: type[Fact]) -> tuple[int, ...]:
    return tuple(map(column_names(table).index, measured_columns(table)))


def _stored(table: type[Fact], columns: Columns) -> dict[str, Sequence[object]]:
    """The columns as the table holds them: decimal texts as floats; those that hold nothing but nulls left out."""
    numbers = measured_columns(table)
    stored: dict[str, Sequence[object]] = {}
    for name in column_names(table)[1:]:
        values = columns.get(name, ())
        if all(value is None for value in values):
            continue
        stored[name] = [None if v is None else float(v) for v in values] if name in numbers else values
    return stored


def _bound(lines: Iterable[tuple[int, str, bytes, bytes, bytes]]) -> list[tuple[object, ...]]:
    """Lines as SQLite's driver takes them fastest: it looks for an adapter of every bytes, and of no bytearray."""
    return [
        (seq, kind, bytearray(payload), bytearray(prev), bytearray(seal))
        for seq, kind, payload, prev, seal in lines
    ]


def _salts(count: int) -> list[str]:
    """So many times 32 random hex digits."""
    drawn = secrets.token_hex(16 * count)
    return [drawn[at : at + 32] for at in range(0, 32 * count, 32)]


@cache
def _insertion(table: type[Fact] | type[Ledger], names: tuple[str, ...], count: int = 1) -> str:
    """The statement that inserts so many rows."""
    from sqlalchemy.dialects.sqlite import dialect

    one = str(insert(table).compile(dialect=dialect(), column_keys=names))
    return one + f", ({', '.join('?' * len(names))})" * (count - 1)
