"""What the book knows by name, looked up while one transaction runs."""

from collections.abc import Mapping
from typing import Any

from sqlalchemy import Connection

from lugbook.errors import nearest
from lugbook.records.facts import Fact
from lugbook.records.questions import Supersession, all_rows, supersession
from lugbook.records.tables import Build, Cable, CableEnd, Landing, Round, Span

Row = Mapping[str, Any]

TAGGED = (Cable, CableEnd, Landing, Span)
"""Known by a tag that is unique within its build; the others by a name unique in the book."""


class Mismatch(Exception):
    """A cell that does not fit the book: which column, what was read, what was expected."""

    def __init__(self, column: str, read: str, expected: str) -> None:
        super().__init__(f"{column}: read {read!r}, expected {expected}")
        self.column, self.read, self.expected = column, read, expected


class Directory:
    """Names and tags to rows in force; rows recorded meanwhile are told to it."""

    def __init__(self, connection: Connection) -> None:
        self._connection = connection
        self.history: Supersession = supersession(connection)
        self._rows: dict[type[Fact], dict[int, Row]] = {}
        self._names: dict[type[Fact], dict[str, list[Row]]] = {}

    def rows(self, table: type[Fact]) -> dict[int, Row]:
        """Rows in force by identity."""
        if table not in self._rows:
            every = all_rows(self._connection, table)
            self._rows[table] = {row["id"]: row for row in every if row["id"] not in self.history.gone}
            self._names[table] = {}
            for row in self._rows[table].values():
                self._names[table].setdefault(_name_of(row), []).append(row)
        return self._rows[table]

    def row(self, table: type[Fact], identity: int) -> Row:
        """The row in force that stands for an identity, replaced or not."""
        return self.rows(table)[self.history.current(identity)]

    def name(self, table: type[Fact], identity: int | None) -> str:
        """The name or tag of a row; '' for None."""
        return "" if identity is None else _name_of(self.row(table, identity))

    def told(self, table: type[Fact], row: Row) -> None:
        """A row was recorded in this transaction."""
        self.rows(table)[row["id"]] = row
        self._names[table].setdefault(_name_of(row), []).append(row)

    def replaced(self, table: type[Fact], old: Row, row: Row) -> None:
        """A row was corrected in this transaction."""
        self.rows(table).pop(old["id"], None)
        self._names[table][_name_of(old)].remove(old)
        self.history = supersession(self._connection)
        self.told(table, row)

    def find(self, table: type[Fact], name: str, build_id: int | None = None) -> Row | None:
        """The row of that name (and build, where given); None if there is none.

        Raises Mismatch where several builds have that tag and none was named.
        """
        self.rows(table)
        found = self._names[table].get(name, [])
        if build_id is not None and found and table is not Build:
            found = [row for row in found if self.build_of(table, row) == build_id]
        if len(found) > 1:
            builds = ", ".join(sorted(self.name(Build, self.build_of(table, row)) for row in found))
            raise Mismatch("build", name, f"the build as well, since {builds} all have a {name} (--build, or a build column)")
        return found[0] if found else None

    def need(self, table: type[Fact], column: str, name: str, build_id: int | None = None) -> Row:
        """The row of that name. Raises Mismatch, with the nearest known name, if there is none."""
        row = self.find(table, name, build_id)
        if row is None:
            noun = str(table.__tablename__).replace("_", " ")
            article = "an" if noun[0] in "aeiou" else "a"
            near = nearest(name, list(self._names[table]))
            raise Mismatch(column, name, f"{article} {noun} that is in this book{near}")
        return row

    def build(self, name: str | None) -> Row:
        """The build of that name; with no name, the only one. Raises Mismatch."""
        if name:
            return self.need(Build, "build", name)
        builds = list(self.rows(Build).values())
        if len(builds) == 1:
            return builds[0]
        if not builds:
            raise Mismatch("build", "", "a build in this book; add one with `lugbook build add NAME`")
        names = ", ".join(row["name"] for row in builds)
        raise Mismatch("build", "", f"the name of one of the builds: {names}")

    def build_of(self, table: type[Fact], row: Row) -> int:
        """The build a tagged row belongs to."""
        if table is CableEnd:
            row = self.row(Cable, row["cable_id"])
        return self.history.current(row["build_id"])

    def round_named(self, build_id: int, name: str) -> Row | None:
        """The round of that name in a build; None if there is none."""
        return self.find(Round, name, build_id)


def _name_of(row: Row) -> str:
    if "tag" in row:
        return str(row["tag"])
    return str(row["name"]) if "name" in row else str(row["id"])
