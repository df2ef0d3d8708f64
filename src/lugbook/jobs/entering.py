"""What the writers of every kind of line share: people and parts by name, moments, rows that are the same."""

from collections.abc import Mapping
from typing import Any

from lugbook.jobs.desk import Desk, Entry
from lugbook.jobs.directory import Directory, Mismatch, Row
from lugbook.records.facts import Fact
from lugbook.records.store import Book
from lugbook.records.tables import Operator


def operator_names(book: Book) -> list[str]:
    """Everybody whom the book knows by name."""
    with book.reading() as connection:
        return Directory(connection).names(Operator)


def operator_of(desk: Desk, name: str | None, entry: Entry) -> int | None:
    """The operator of that name, entered now if new; None where none was named."""
    return part_named(desk, Operator, name, entry) if name else None


def part_named(desk: Desk, table: type[Fact], name: str, entry: Entry) -> int:
    """The part, tool or person of that name, entered now by its name alone if the book does not know it."""
    row = desk.directory.find(table, name)
    return int(row["id"]) if row else desk.enter(table, {"name": name}, Entry({}, {}, entry.import_id))


def past_moment(desk: Desk, column: str, entry: Entry) -> str:
    """The moment a cell says. Raises Mismatch where it is in the future."""
    moment = str(entry.cells[column])
    if moment > desk.latest_utc:
        raise Mismatch(column, entry.as_typed.get(column, moment), "a time that is not in the future")
    return moment


def same_row(desk: Desk, table: type[Fact], fact: Mapping[str, Any], key: tuple[str, ...]) -> Row | None:
    """The row in force that agrees with a fact in every column of the key."""
    for row in desk.directory.rows(table).values():
        if all(desk.same(name, row[name], fact[name]) for name in key):
            return row
    return None


def said(cells: Mapping[str, Any], *columns: str) -> dict[str, Any]:
    """The cells of some columns; None where a table does not have them."""
    return {name: cells.get(name) for name in columns}
