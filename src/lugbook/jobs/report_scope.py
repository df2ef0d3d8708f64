"""What a report looks at: one build up to one day, and which words of people may be shown."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date

from sqlalchemy import Connection

from lugbook.jobs.directory import Directory, Row
from lugbook.jobs.evidence import end_of
from lugbook.records.facts import Fact
from lugbook.records.tables import Build, CableEnd, Operator, Reading, Span, Terminal
from lugbook.units.wording import word_time

LEFT_OUT = "left out"


@dataclass
class Scope:
    """One build, one day, and one transaction in which all of it is read."""

    connection: Connection
    directory: Directory
    build: Row
    on: date
    is_private: bool
    _people: dict[int, str] = field(default_factory=dict)

    @property
    def until(self) -> str:
        """Sorts after every UTC time of the day."""
        return end_of(self.on)

    def day(self, utc_text: str) -> str:
        """The day of an instant on the build's own calendar: "2031-04-18"."""
        return word_time(utc_text, self.build["zone"])[:10]

    def person(self, operator_id: int | None) -> str:
        """Who it was; "person 1" in a private issue; '' where the book does not say."""
        if operator_id is None:
            return ""
        if not self.is_private:
            return self.directory.name(Operator, operator_id)
        identity = self.directory.history.current(operator_id)
        return self._people.setdefault(identity, f"person {len(self._people) + 1}")

    def free(self, text: str | None) -> str:
        """Text in a person's own words; left out of a private issue."""
        return "" if not text else (LEFT_OUT if self.is_private else str(text))

    def rows(self, table: type[Fact], moment: str = "") -> list[Row]:
        """The rows of this build in force; with the name of a column of time, those up to the day, by time."""
        mine = [row for row in self.directory.rows(table).values() if self._is_mine(table, row)]
        if not moment:
            return mine
        return sorted(
            (row for row in mine if row[moment] <= self.until), key=lambda row: (row[moment], row["id"])
        )

    def readings(self) -> list[Row]:
        """The readings of this build in force up to the day, by time."""
        return self.rows(Reading, "taken_at")

    def _is_mine(self, table: type[Fact], row: Row) -> bool:
        return self.build_of(table, row) in (None, self.build["id"])

    def build_of(self, table: type[Fact], row: Row) -> int | None:
        """The build a row belongs to, through what it leans on; None for what all builds share."""
        directory = self.directory
        if table is Build:
            return int(row["id"])
        if row.get("build_id") is not None or table is CableEnd:
            return directory.build_of(table, row)
        if row.get("span_id") is not None:
            return self.build_of(Span, directory.row(Span, row["span_id"]))
        if row.get("cable_end_id") is not None:
            return self.build_of(CableEnd, directory.row(CableEnd, row["cable_end_id"]))
        if row.get("terminal_id") is not None:
            return self.build_of(Terminal, directory.row(Terminal, row["terminal_id"]))
        return None
