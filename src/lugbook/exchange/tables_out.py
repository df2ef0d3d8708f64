"""How a table is written so that a spreadsheet shows it and the reader gets it back."""

from __future__ import annotations

import csv
import io
import math
import re
from collections.abc import Iterable, Sequence
from decimal import Decimal

from lugbook.errors import CellUnwritable
from lugbook.exchange.formulas import mark_formula
from lugbook.exchange.layout import Column, Layout
from lugbook.exchange.layouts import LAYOUTS
from lugbook.exchange.logs_in import LogTable

Cell = str | int | float | Decimal | bool | None

# Decimal text under these headings is a number, whatever it begins with.
_NUMBER_HEADINGS = frozenset(
    column.heading for layout in LAYOUTS.values() for column in layout.columns if column.is_number
)
_PLAIN_NUMBER = re.compile(r"-?[0-9]+(?:\.[0-9]+)?")
# A number with or without its unit, and nothing in it that a spreadsheet would go on to work out.
_TYPED_NUMBER = re.compile(r"[+\-\N{MINUS SIGN}]?[0-9][0-9.,\s]*[^=+\-@|!(]*")
_UNWRITABLE = re.compile(r"[\n\r\0\ud800-\udfff]")


def write_table(headings: Sequence[str], rows: Iterable[Sequence[Cell]]) -> bytes:
    """The table as UTF-8 with commas and newlines: None is empty, True is yes, a float has no exponent.

    Text that a spreadsheet would run gets an apostrophe before it, which `parse_log` takes off again. Numbers
    stay as they are: int, float, Decimal, and decimal text under the heading of a number column.
    Raises CellUnwritable for a line break, a NUL or half a character; ValueError for a row of another width
    and for a number that is not finite.
    """
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow([_text(heading, heading) for heading in headings])
    for row in rows:
        writer.writerow([_text(heading, cell) for heading, cell in zip(headings, row, strict=True)])
    return out.getvalue().encode("utf-8")


def write_as_read(table: LogTable, layout: Layout, rows: Iterable[int]) -> bytes:
    """Some rows of a table that was read, faults and all, so that a person can mend them and read them again.

    Headings state the units that the file's own stated, and no others; numbers stay as they were typed.
    """
    columns = [column for column in layout.columns if column.heading in table.columns]
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow([_heading_as_read(column, table.units[column.heading]) for column in columns])
    for row in rows:
        cells = [table.columns[column.heading][row] for column in columns]
        writer.writerow(
            [
                cell if column.is_number and _TYPED_NUMBER.fullmatch(cell) else mark_formula(cell)
                for column, cell in zip(columns, cells, strict=True)
            ]
        )
    return out.getvalue().encode("utf-8")


def _heading_as_read(column: Column, unit: str | None) -> str:
    if column.field is None or unit == column.field.unit:
        return column.heading
    return f"{column.field.stem} ({unit})" if unit else column.field.stem


def _text(heading: str, cell: Cell) -> str:
    if cell is None:
        return ""
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, int):
        return str(cell)
    if isinstance(cell, (float, Decimal)):
        if not math.isfinite(cell):
            raise ValueError(f"{heading} is {cell}, which no table can carry")
        return format(cell if isinstance(cell, Decimal) else Decimal(repr(cell)), "f")
    if _UNWRITABLE.search(cell):
        raise CellUnwritable(heading, cell)
    if heading in _NUMBER_HEADINGS and _PLAIN_NUMBER.fullmatch(cell):
        return cell
    return mark_formula(cell)
