"""What the book knows by name, looked up while one transaction runs."""

from collections.abc import Mapping
from typing import Any

from sqlalchemy import Connection

from lugbook.errors import NothingCalled, listed, nearest
from lugbook.records.facts import Fact
from lugbook.records.questions import Supersession, all_rows, supersession
from lugbook.records.tables_build import Build, Cable, CableEnd
from lugbook.records.tables_measuring import Round

Row = Mapping[str, Any]

ENOUGH_HINTS = 40
"""Unknown names for which the nearest known one is looked up; a file with more has another trouble."""


class Mismatch(Exception):
    """A cell that does not fit the book: which column, what was read, what was expected.

    `why` is the whole sentence, where the cause says more than `expected`.
    """

    def __init__(self, column: str, read: str, expected: str, why: str = "") -> None:
        super().__init__(f"{column}: read {read!r}, expected {expected}")
        self.column, self.read, self.expected, self.why = column, read, expected, why


class Directory:
    """Names and tags to rows in force; rows recorded meanwhile are told to it."""

    def __init__(self, connection: Connection) -> None:
        self._connection = connection
        self.history: Supersession = supersession(connection)
        self._rows: dict[type[Fact], dict[int, Row]] = {}
        self._names: dict[type[Fact], dict[str, list[Row]]] = {}
        self._wants: dict[tuple[type[Fact], str, int | None], str] = {}

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
            column = str(table.__tablename__)
            builds = listed(sorted(self.name(Build, self.build_of(table, row)) for row in found))
            expected = f"its build as well (--build, or a file's column build), since {builds} each have one"
            raise Mismatch(column, name, expected)
        return found[0] if found else None

    def need(self, table: type[Fact], column: str, name: str, build_id: int | None = None) -> Row:
        """The row of that name. Raises Mismatch, with the nearest known name, if there is none."""
        row = self.find(table, name, build_id)
        if row is None:
            raise Mismatch(column, name, self._wanted(table, name, build_id))
        return row

    def _wanted(self, table: type[Fact], name: str, build_id: int | None) -> str:
        """What to type instead of a name nobody knows; kept, since looking for the nearest is slow."""
        key = (table, name, build_id)
        if key not in self._wants:
            noun = str(table.__tablename__).replace("_", " ")
            article = "an" if noun[0] in "aeiou" else "a"
            where = f"of {self.name(Build, build_id)}" if build_id is not None else "that is in this book"
            near = nearest(name, self.names(table, build_id)) if len(self._wants) < ENOUGH_HINTS else ""
            shown_by = {"cable end": "cable"}.get(noun, noun)
            advice = near or f"; `lugbook {shown_by} list` shows them"
            self._wants[key] = f"{article} {noun} {where}{advice}"
        return self._wants[key]

    def names(self, table: type[Fact], build_id: int | None = None) -> list[str]:
        """Every name or tag in force, or those of one build."""
        rows = self.rows(table).values()
        return [_name_of(row) for row in rows if build_id is None or self.build_of(table, row) == build_id]

    def only_build(self) -> Row | None:
        """The one build of the book; None where there are none or several."""
        builds = list(self.rows(Build).values())
        return builds[0] if len(builds) == 1 else None

    def build(self, name: str | None) -> Row:
        """The build of that name; with no name, the only one. Raises Mismatch."""
        if name:
            return self.need(Build, "build", name)
        only = self.only_build()
        if only is not None:
            return only
        builds = list(self.rows(Build).values())
        if not builds:
            raise Mismatch("build", "", "a build in this book; add one with `lugbook build add NAME`")
        names = listed([row["name"] for row in builds], "or")
        raise Mismatch("build", "", f"the name of the build, with --build, or in a file's column build: {names}")

    def named_build(self, name: str) -> Row:
        """The build of that name. Raises NothingCalled."""
        row = self.find(Build, name)
        if row is None:
            raise NothingCalled("build", name, "build", self.names(Build))
        return row

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
