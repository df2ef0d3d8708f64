"""The triggers that keep the book append-only; a guard rail against slips, not a lock against its owner."""

from collections.abc import Mapping

from sqlalchemy import Connection

from lugbook.records.facts import Fact
from lugbook.records.tables import FACT_TABLES


def guard_texts() -> Mapping[str, str]:
    """Name of each trigger and the SQL that makes it."""
    texts = {
        "guard_ledger_update": _refuse("ledger", "UPDATE"),
        "guard_ledger_delete": _refuse("ledger", "DELETE"),
        "guard_ledger_extends": (
            "CREATE TRIGGER guard_ledger_extends BEFORE INSERT ON ledger WHEN "
            "NEW.seq IS NOT (SELECT coalesce(max(seq), 0) + 1 FROM ledger) OR "
            "NEW.prev IS NOT coalesce((SELECT hash FROM ledger WHERE seq = NEW.seq - 1), zeroblob(32)) "
            "BEGIN SELECT RAISE(ABORT, 'a ledger line must extend the last one'); END"
        ),
    }
    for table in FACT_TABLES:
        name = str(table.__tablename__)
        texts[f"guard_{name}_update"] = _refuse(name, "UPDATE")
        texts[f"guard_{name}_delete"] = _refuse(name, "DELETE")
        texts[f"guard_{name}_sealed"] = (
            f"CREATE TRIGGER guard_{name}_sealed BEFORE INSERT ON {name} WHEN "
            f"(SELECT kind FROM ledger WHERE seq = NEW.id) IS NOT '{name}' "
            f"OR EXISTS (SELECT 1 FROM {name} WHERE {_same_row(table)}) "
            f"BEGIN SELECT RAISE(ABORT, 'a {name} row must project its own ledger line'); END"
        )
    return texts


def install_guards(connection: Connection) -> None:
    """Put back every guard: a rebuilt table has lost its own."""
    for name, text in guard_texts().items():
        connection.exec_driver_sql(f"DROP TRIGGER IF EXISTS {name}")
        connection.exec_driver_sql(text)


def missing_guards(connection: Connection) -> tuple[str, ...]:
    """Names of the guards that are gone or say something else."""
    found = connection.exec_driver_sql("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'")
    present = {str(name): str(sql) for name, sql in found}
    return tuple(name for name, text in guard_texts().items() if present.get(name) != text)


def _refuse(table: str, deed: str) -> str:
    return (
        f"CREATE TRIGGER guard_{table}_{deed.lower()} BEFORE {deed} ON {table} "
        f"BEGIN SELECT RAISE(ABORT, 'the {table} table is append-only'); END"
    )


def _same_row(table: type[Fact]) -> str:
    """Any unique column, not the identity alone: INSERT OR REPLACE deletes by each, past the DELETE guard."""
    columns = table.__table__.columns  # type: ignore[attr-defined]
    unique = [column.name for column in columns if column.primary_key or column.unique]
    return " OR ".join(f"{name} = NEW.{name}" for name in unique)
