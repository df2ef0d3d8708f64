"""Every question asked of the book; answers are plain frozen rows, never the tables' own objects."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, func, select

from lugbook.records.facts import Fact
from lugbook.records.tables_history import Correction, Ledger, Withdrawal
from lugbook.records.tables_measuring import Instrument, Reading, Service

Row = Mapping[str, Any]
Rows = Sequence[Row]
GREATEST_ID = 2**63 - 1  # SQLite's own: a greater number cannot be asked for


@dataclass(frozen=True)
class Supersession:
    """Which rows no longer count, and what took their place."""

    heirs: Mapping[int, int]
    """Replaced row -> the row that replaces it now, chains followed."""
    gone: frozenset[int]
    """Rows that were replaced or withdrawn."""

    def current(self, identity: int) -> int:
        """The row that now stands for this one."""
        return self.heirs.get(identity, identity)


def columns_of(table: type[Fact] | type[Ledger]) -> Any:
    """The column collection of a table (SQLAlchemy's own type; typed Any because SQLModel hides it)."""
    return table.__table__.c  # type: ignore[union-attr]


def supersession(connection: Connection) -> Supersession:
    """What was corrected or withdrawn so far."""
    fixed, out = columns_of(Correction), columns_of(Withdrawal)
    replaced: dict[int, int] = dict(
        tuple(row) for row in connection.execute(select(fixed.replaced_id, fixed.replacement_id))
    )
    withdrawn = set(connection.execute(select(out.withdrawn_id)).scalars())
    heirs = {}
    for first in replaced:
        last = first
        while last in replaced:
            last = replaced[last]
        heirs[first] = last
    return Supersession(heirs, frozenset(withdrawn | set(replaced)))


def rows_in_force(connection: Connection, table: type[Fact]) -> Rows:
    """Every row of a table that was neither corrected nor withdrawn, in the order of the book."""
    columns = columns_of(table)
    gone = supersession(connection).gone
    rows = _plain(connection, select(*columns).order_by(columns.id))
    return [row for row in rows if row["id"] not in gone] if gone else rows


def all_rows(connection: Connection, table: type[Fact]) -> Rows:
    """Every row of a table, in force or not."""
    columns = columns_of(table)
    return _plain(connection, select(*columns).order_by(columns.id))


def row_by_id(connection: Connection, table: type[Fact], identity: int) -> Row | None:
    """One row, in force or not; None where the table has no such row."""
    if not 0 < identity <= GREATEST_ID:
        return None
    columns = columns_of(table)
    return next(iter(_plain(connection, select(*columns).where(columns.id == identity))), None)


def last_row(connection: Connection, table: type[Fact]) -> Row | None:
    """The row in force that was entered last, a corrected one counting from its first entry; None if there is none."""
    columns, history = columns_of(table), supersession(connection)
    better = set(connection.execute(select(columns_of(Correction).replacement_id)).scalars())
    with connection.execute(select(columns.id).order_by(columns.id.desc())) as entered:
        standing = (history.current(identity) for identity in entered.scalars() if identity not in better)
        last = next((identity for identity in standing if identity not in history.gone), None)
    return None if last is None else row_by_id(connection, table, last)


def counts(connection: Connection) -> Mapping[str, int]:
    """How many rows each table holds, corrected and withdrawn ones included."""
    from lugbook.records.tables import FACT_TABLES

    return {
        str(table.__tablename__): connection.execute(
            select(func.count()).select_from(table.__table__)  # type: ignore[attr-defined]
        ).scalar_one()
        for table in FACT_TABLES
    }


def readings_of_spans(connection: Connection, span_ids: Sequence[int]) -> Rows:
    """The readings of some spans in force, by time."""
    columns = columns_of(Reading)
    wanted = select(*columns).where(columns.span_id.in_(span_ids)).order_by(columns.taken_at, columns.id)
    gone = supersession(connection).gone
    return [row for row in _plain(connection, wanted) if row["id"] not in gone]


READING_KEY = (
    "span_id", "taken_at", "polarity", "stage", "repeat", "voltage_instrument_id",
)  # fmt: skip
READING_VALUE = (
    "drop_millivolt",
    "current_ampere",
    "joint_celsius",
    "zero_millivolt",
    "current_instrument_id",
)


def reading_keys(connection: Connection) -> dict[tuple[Any, ...], list[tuple[Any, ...]]]:
    """Every reading by what makes it one and the same: key -> [(id, *values)]."""
    columns = columns_of(Reading)
    names = (*READING_KEY, "id", *READING_VALUE)
    found: dict[tuple[Any, ...], list[tuple[Any, ...]]] = {}
    for row in connection.execute(select(*(columns[name] for name in names))):
        whole = tuple(row)
        found.setdefault(whole[: len(READING_KEY)], []).append(whole[len(READING_KEY) :])
    return found


JUDGED = (
    "id", "span_id", "round_id", "taken_at", "drop_millivolt", "current_ampere", "joint_celsius",
    "zero_millivolt", "polarity", "voltage_instrument_id", "current_instrument_id", "stage",
    "thermometer_id",
)  # fmt: skip


def judged_readings(connection: Connection) -> list[tuple[Any, ...]]:
    """The columns JUDGED of every reading of the book in force, in the order of the book."""
    columns = columns_of(Reading)
    gone = supersession(connection).gone
    wanted = select(*(columns[name] for name in JUDGED)).order_by(columns.id)
    cursor = connection.connection.cursor()  # the driver's own rows: SQLAlchemy's cost as much again
    try:
        cursor.execute(str(wanted.compile(connection)))
        rows = cursor.fetchall()
    finally:
        cursor.close()
    return [row for row in rows if row[0] not in gone] if gone else list(rows)


def days_of_use(connection: Connection) -> list[tuple[int, str]]:
    """For every reading in force each meter it was taken with, and the day ("2031-04-18", UTC)."""
    columns = columns_of(Reading)
    meters = (columns.voltage_instrument_id, columns.current_instrument_id, columns.thermometer_id)
    gone = supersession(connection).gone
    found = connection.execute(select(columns.id, columns.taken_at, *meters))
    return [
        (meter, taken_at[:10])
        for identity, taken_at, *used in found
        if identity not in gone
        for meter in used
        if meter is not None
    ]


def services(connection: Connection) -> Rows:
    """Every service in force, by time."""
    return sorted(rows_in_force(connection, Service), key=lambda row: (row["serviced_at"], row["id"]))


def instruments(connection: Connection) -> Mapping[int, Row]:
    """Every instrument row by identity, replaced ones included: old readings name them."""
    return {row["id"]: row for row in all_rows(connection, Instrument)}


def ledger_lines(connection: Connection) -> Any:
    """Every ledger line in order, streamed: (seq, kind, payload, prev, hash)."""
    columns = columns_of(Ledger)
    return connection.execute(
        select(columns.seq, columns.kind, columns.payload, columns.prev, columns.hash).order_by(columns.seq)
    )


def ledger_notes(connection: Connection, lines: Sequence[int]) -> Mapping[int, tuple[str, str]]:
    """Of some ledger lines, by number: the kind of fact, and the UTC instant at which it was recorded."""
    columns = columns_of(Ledger)
    wanted = select(columns.seq, columns.kind, columns.payload).where(columns.seq.in_(lines))
    return {seq: (kind, str(json.loads(payload)["at"])) for seq, kind, payload in connection.execute(wanted)}


def _plain(connection: Connection, wanted: Any) -> list[Row]:
    """The rows of a select as plain dicts, which hold on to nothing."""
    found = connection.execute(wanted)
    names = tuple(found.keys())
    return [dict(zip(names, row, strict=True)) for row in found.all()]
