"""The only writer: each fact goes to the ledger and to its own table in the same transaction."""

import json
import secrets
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import cache
from operator import itemgetter
from typing import Any

from sqlalchemy import Connection, Float, insert, select

from lugbook.errors import AlreadySuperseded, LastLineUnreadable
from lugbook.records.facts import Fact
from lugbook.records.ledger import GENESIS, NO_LINE, Line, canonical, canonical_writer, seal_line
from lugbook.records.ledger import Fact as FactText
from lugbook.records.questions import supersession
from lugbook.records.tables_history import Correction, Ledger, Withdrawal

FactRow = Sequence[str | int | None]
"""The values of a fact, in the order of names given apart."""

Progress = Callable[[int, int], None]
"""Told how many of how many rows are written."""


def no_progress(done: int, total: int) -> None:
    """For whoever does not watch."""


BATCH = 5_000
"""Rows handed to SQLite at a time; keeps a long import's memory flat."""


@dataclass(frozen=True)
class Head:
    """Where the chain stands: the number and seal of its last line, and the book it belongs to."""

    seq: int
    hash: bytes
    book: str


class RowShape:
    """How facts with the same names become ledger text and table rows: worked out once, used for each."""

    def __init__(self, table: type[Fact], names: Sequence[str]) -> None:
        numbers = measured_columns(table)
        self.canonical = canonical_writer(tuple(names))
        place = {name: index for index, name in enumerate(names)}
        nothing = len(names)  # the place after the last, where `row` puts a null
        self._pick = itemgetter(*(place.get(name, nothing) for name in column_names(table)[1:]))
        self._numbers = [at for at, name in enumerate(column_names(table)) if name in numbers]

    def row(self, seq: int, fact: FactRow) -> tuple[object, ...]:
        """The table row of a fact: decimal texts become floats, what is left out becomes null."""
        values: list[Any] = [seq, *self._pick((*fact, None))]
        for at in self._numbers:
            if values[at] is not None:
                values[at] = float(values[at])
        return tuple(values)


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
        return self.record_rows(table, tuple(fact), [tuple(fact.values())])[0]

    def record_rows(
        self,
        table: type[Fact],
        names: Sequence[str],
        rows: Sequence[FactRow],
        *,
        progress: Progress = no_progress,
    ) -> range:
        """Write facts that all have the same names, in order, and return their identities.

        Measured values come as the decimal text that was typed, in the unit the column names.
        Raises NotCanonical.
        """
        first = self._head.seq + 1
        shape = shape_of(table, tuple(names))
        for start in range(0, len(rows), BATCH):
            progress(start, len(rows))
            self._write(table, shape, rows[start : start + BATCH])
        progress(len(rows), len(rows))
        return range(first, first + len(rows))

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

    def _write(self, table: type[Fact], shape: RowShape, facts: Sequence[FactRow]) -> None:
        kind, at, canonical_row = str(table.__tablename__), self._at, shape.canonical
        seq, prev, book = self._head.seq, self._head.hash, self._head.book
        salts = secrets.token_hex(16 * len(facts))
        lines: list[Line] = []
        rows = []
        for place, fact in enumerate(facts):
            seq += 1
            salt = salts[32 * place : 32 * place + 32]
            line = seal_line(kind, canonical_row(fact), seq=seq, prev=prev, at=at, book=book, salt=salt)
            prev = line.hash
            lines.append(line)
            rows.append(shape.row(seq, fact))
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
    connection.exec_driver_sql(_insertion(Ledger), [line])
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


@cache
def shape_of(table: type[Fact], names: tuple[str, ...]) -> RowShape:
    """The shape of facts of a table that have those names."""
    return RowShape(table, names)


def row_of(table: type[Fact], seq: int, fact: FactText) -> tuple[object, ...]:
    """The table row that one fact projects to."""
    return shape_of(table, tuple(fact)).row(seq, tuple(fact.values()))


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
