"""The only writer: each fact goes to the ledger and to its own table in the same transaction."""

import json
import secrets
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import cache
from itertools import islice

from sqlalchemy import Connection, Float, insert, select

from lugbook.errors import AlreadySuperseded
from lugbook.records.facts import Fact
from lugbook.records.ledger import GENESIS, NO_LINE, canonical, seal_line
from lugbook.records.ledger import Fact as FactText
from lugbook.records.tables_history import Correction, Ledger, Withdrawal

BATCH = 5_000
"""Rows handed to SQLite at a time; keeps a long import's memory flat."""


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

    def record(self, table: type[Fact], fact: FactText) -> int:
        """Write one fact and return its identity, the number of its ledger line."""
        return self.record_many(table, [fact])[0]

    def record_many(self, table: type[Fact], facts: Sequence[FactText]) -> range:
        """Write facts in order and return their identities.

        Measured values come as the decimal text that was typed, in the unit the column names. Raises NotCanonical.
        """
        first = self._head.seq + 1
        for batch in _batches(facts):
            self._write(table, batch)
        return range(first, first + len(facts))

    def correct(
        self, table: type[Fact], replaced: int, fact: FactText, reason: str, operator: int | None
    ) -> int:
        """Write a better row and the line that says which row it replaces, who said so and why."""
        self._refuse_superseded(replaced)
        replacement = self.record(table, fact)
        self.record(
            Correction,
            {"replaced_id": replaced, "replacement_id": replacement, "reason": reason, "operator_id": operator},
        )
        return replacement

    def withdraw(self, withdrawn: int, reason: str, operator: int | None) -> int:
        """Write the line that says a row no longer counts."""
        self._refuse_superseded(withdrawn)
        return self.record(
            Withdrawal, {"withdrawn_id": withdrawn, "reason": reason, "operator_id": operator}
        )

    def _refuse_superseded(self, identity: int) -> None:
        corrected = self.connection.execute(
            select(Correction.replacement_id).where(Correction.replaced_id == identity)  # type: ignore[arg-type]
        ).scalar()
        withdrawn = self.connection.execute(
            select(Withdrawal.id).where(Withdrawal.withdrawn_id == identity)  # type: ignore[arg-type]
        ).scalar()
        if corrected or withdrawn:
            raise AlreadySuperseded(identity, corrected)

    def _write(self, table: type[Fact], facts: Sequence[FactText]) -> None:
        kind, at = str(table.__tablename__), self._at
        seq, prev, book = self._head.seq, self._head.hash, self._head.book
        salts = secrets.token_hex(16 * len(facts))
        numbers = measured_columns(table)
        columns = column_names(table)
        lines, rows = [], []
        for index, fact in enumerate(facts):
            seq += 1
            salt = salts[32 * index : 32 * index + 32]
            line = seal_line(kind, canonical(fact), seq=seq, prev=prev, at=at, book=book, salt=salt)
            prev = line.hash
            lines.append((line.seq, line.kind, line.payload, line.prev, line.hash))
            rows.append(row_of(fact, seq, columns, numbers))
        self.connection.exec_driver_sql(_insertion(Ledger), lines)
        self.connection.exec_driver_sql(_insertion(table), rows)
        self._head = Head(seq, prev, book)


def begin_book(connection: Connection, at: datetime) -> str:
    """Write line 1 of a new book and return the book's own name, 32 hex digits."""
    book = secrets.token_hex(16)
    moment = at.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%S.%fZ")
    line = seal_line(
        GENESIS, canonical({}), seq=1, prev=NO_LINE, at=moment, book=book, salt=secrets.token_hex(16)
    )
    connection.exec_driver_sql(
        _insertion(Ledger), [(line.seq, line.kind, line.payload, line.prev, line.hash)]
    )
    return book


def read_head(connection: Connection) -> Head:
    """The last line of the chain."""
    ledger = Ledger.__table__  # type: ignore[attr-defined]
    last = connection.execute(
        select(ledger.c.seq, ledger.c.hash, ledger.c.payload).order_by(ledger.c.seq.desc()).limit(1)
    ).one()
    return Head(last.seq, last.hash, str(json.loads(last.payload)["book"]))


def row_of(
    fact: FactText, seq: int, columns: Sequence[str], numbers: frozenset[str]
) -> tuple[object, ...]:
    """The table row that a fact projects to: decimal texts become floats, what is left out becomes null."""
    values: list[object] = [seq]
    for name in columns[1:]:
        value: object = fact.get(name)
        values.append(float(value) if name in numbers and isinstance(value, str) else value)
    return tuple(values)


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
def _insertion(table: type[Fact] | type[Ledger]) -> str:
    from sqlalchemy.dialects.sqlite import dialect

    return str(insert(table).compile(dialect=dialect()))


def _batches(facts: Sequence[FactText]) -> Iterator[list[FactText]]:
    rest = iter(facts)
    while batch := list(islice(rest, BATCH)):
        yield batch
