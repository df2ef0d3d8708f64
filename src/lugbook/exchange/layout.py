"""What a table that can be read or written is: its columns, and what each holds."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from typing import Literal

from lugbook.units.fields import Field

Shape = Literal[
    "label",  # 1 to 64 printable characters
    "note",  # up to 5,000 characters on one line
    "measure",  # a number with a unit: `field` says which
    "time",  # a date, or a date with a time
    "day",  # a date alone
    "yes or no",
    "whole",  # a whole number from `least` to `most`
    "choice",  # one of `words`
    "size",  # a conductor size
    "money",  # an amount with its currency
    "zone",  # an IANA time zone
    "meter unit",  # what an instrument reads in
    "in meter unit",  # a number in what the instrument reads in; its heading is in units.fields.METER_FIELDS
]


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a layout."""

    heading: str
    shape: Shape
    says: str  # what it is, in plain words
    needed: bool  # the heading must be there
    blank_ok: bool  # a cell under it may be empty; always so where the column is not needed
    field: Field | None = None  # for "measure" only
    words: tuple[str, ...] = ()  # for "choice" only
    least: int = 1  # for "whole" only
    most: int = 1
    default: str | int | bool | None = None  # the value of an empty cell or of an absent column

    @property
    def is_number(self) -> bool:
        """True where its cells are numbers, which nothing may be put before."""
        return self.shape in ("measure", "in meter unit", "whole")


@dataclass(frozen=True, slots=True)
class Layout:
    """One kind of table."""

    kind: str
    says: str
    columns: tuple[Column, ...]
    key: tuple[str, ...]  # the columns that together name one row

    @property
    def headings(self) -> tuple[str, ...]:
        """Every heading, in the order in which tables are written."""
        return tuple(column.heading for column in self.columns)

    @property
    def needed(self) -> tuple[str, ...]:
        """The headings without which a table is refused."""
        return tuple(column.heading for column in self.columns if column.needed)


needed = partial(Column, needed=True, blank_ok=False)
maybe = partial(Column, needed=False, blank_ok=True)

NOTE = maybe("note", "note", "anything worth keeping, on one line")
BUILD = needed("build", "label", "the build it belongs to")
MAYBE_BUILD = maybe("build", "label", "the build, where the tag alone does not say which")
OPERATOR = maybe("operator", "label", "who did it")
TORQUE = "torque as applied"
PLACES = ("dry", "engine", "bilge", "exposed")
