"""Whether a book is whole: file, guards, chain, and each row against its ledger line. It only reads."""

import json
from collections.abc import Iterator
from dataclasses import dataclass

from sqlalchemy import Connection, inspect
from sqlalchemy.exc import DBAPIError
from sqlmodel import SQLModel

from lugbook.records.facts import Fact
from lugbook.records.guards import missing_guards
from lugbook.records.ledger import GENESIS, first_break
from lugbook.records.logbook import row_of
from lugbook.records.questions import columns_of, ledger_lines
from lugbook.records.store import is_damage
from lugbook.records.tables import FACT_TABLES


@dataclass(frozen=True)
class Finding:
    """One thing that is not as it should be, as a sentence."""

    what: str


def verify(connection: Connection) -> tuple[Finding, ...]:
    """Everything found wrong with the book; empty when it is whole."""
    found: list[Finding] = []
    try:
        for look in (_file_findings, _schema_findings, _guard_findings, _chain_findings, _row_findings):
            found.extend(look(connection))
    except (DBAPIError, UnicodeDecodeError) as error:
        if not is_damage(error):
            raise
        found.append(Finding("The file is damaged and cannot be read further."))
    return tuple(found)


def _file_findings(connection: Connection) -> Iterator[Finding]:
    for (message,) in connection.exec_driver_sql("PRAGMA integrity_check"):
        if message != "ok":
            yield Finding(f"The file is damaged: {message}.")
    for table, row, parent, _ in connection.exec_driver_sql("PRAGMA foreign_key_check"):
        yield Finding(f"Row {row} of {table} refers to a {parent} that is not there.")


def _schema_findings(connection: Connection) -> Iterator[Finding]:
    generation = connection.exec_driver_sql("PRAGMA user_version").scalar_one()
    migrated = connection.exec_driver_sql("SELECT version_num FROM alembic_version").scalars().all()
    if migrated != [f"{generation:04}"]:
        yield Finding(f"The book says it is of generation {generation}, its last migration says otherwise.")
    present = inspect(connection)
    made: dict[str, str] = dict(
        connection.exec_driver_sql("SELECT name, sql FROM sqlite_master WHERE type = 'table'").all()
    )
    for name, table in SQLModel.metadata.tables.items():
        if name not in made:
            yield Finding(f"The table {name} is missing.")
            continue
        if {column["name"] for column in present.get_columns(name)} != set(table.columns.keys()):
            yield Finding(f"The table {name} has other columns than it should.")
        lost = [str(rule.name) for rule in table.constraints if f"CONSTRAINT {rule.name} " not in made[name]]
        if lost:
            yield Finding(f"The table {name} has lost its check {lost[0]}.")


def _guard_findings(connection: Connection) -> Iterator[Finding]:
    for name in missing_guards(connection):
        yield Finding(f"The guard {name} is missing or changed.")


def _chain_findings(connection: Connection) -> Iterator[Finding]:
    broken = first_break(tuple(row) for row in ledger_lines(connection))
    if broken is not None:
        yield Finding(f"The ledger does not hold at line {broken.seq}: {broken.why}.")


def _row_findings(connection: Connection) -> Iterator[Finding]:
    """Each row must say what its line says, and each line must have its row."""
    said: dict[str, dict[int, bytes]] = {}
    for seq, kind, payload, _, _ in ledger_lines(connection):
        said.setdefault(kind, {})[seq] = payload
    said.pop(GENESIS, None)
    for table in FACT_TABLES:
        name = str(table.__tablename__)
        lines = said.pop(name, {})
        stored = columns_of(table)
        for row in connection.execute(stored.id.table.select().order_by(stored.id)):
            payload = lines.pop(row.id, None)
            if payload is None:
                yield Finding(f"Row {row.id} of {name} has no line in the ledger.")
            elif _expected(table, payload, row.id) != tuple(row):
                yield Finding(f"Row {row.id} of {name} does not say what ledger line {row.id} says.")
        for seq in lines:
            yield Finding(f"Ledger line {seq} has lost its row in {name}.")
    for kind in said:
        yield Finding(f"The ledger holds lines of an unknown kind, {kind}.")


def _expected(table: type[Fact], payload: bytes, seq: int) -> tuple[object, ...] | None:
    try:
        return row_of(table, seq, json.loads(payload)["fact"])
    except (ValueError, KeyError, TypeError, AttributeError):
        return None
