"""How the bytes of a table become values: its structure first, then its cells, with all their faults.

Two steps, since the time zone of a row may have to be looked up by its labels before its times are read.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from lugbook.errors import CutFile, NoRows, QuoteOpen, UnnamedColumn
from lugbook.exchange.cells import ReadColumn, expected_of, read_column, read_in_meter_units, read_meter_units
from lugbook.exchange.decimals import find_decimal_comma
from lugbook.exchange.decoding import decode_text
from lugbook.exchange.faults import Fault, word_fault
from lugbook.exchange.formulas import unmark_formulas
from lugbook.exchange.headings import HeadingLine, find_heading_line, place_headings
from lugbook.exchange.layout import Layout
from lugbook.exchange.rows import Rows, split_rows

__all__ = ["Fault", "LogTable", "ParsedLog", "parse_log", "read_log", "word_fault"]


@dataclass(frozen=True, slots=True)
class LogTable:
    """A table whose structure is sound: each row has a cell for each heading."""

    kind: str
    headings: tuple[str, ...]  # as written in the file, those left out included
    columns: dict[str, list[str]]  # by heading of the layout: cells, stripped and unmarked, '' where empty
    line_numbers: list[int]  # of the line that each row begins on, counted from 1
    units: dict[str, str | None]  # by heading of the layout: the unit the file's heading states, or None
    decimal_comma: bool | None  # None where no number of the file has a comma and nobody said

    @property
    def row_count(self) -> int:
        """How many rows of cells there are."""
        return len(self.line_numbers)


@dataclass(frozen=True, slots=True)
class ParsedLog:
    """A table whose cells have been read. Rows count from 0; an empty cell or a fault is None.

    Values are text for labels, notes, choices, zones, sizes (in one spelling) and days ("2031-04-18"),
    decimal text in the unit of the column for numbers, UTC text for times, bool for yes or no, int for whole
    numbers.
    """

    kind: str
    values: dict[str, list[object]]  # by heading, every column of the layout; an absent one is its default
    as_typed: dict[int, dict[str, str]]  # by row, then heading: what was typed, where the value differs
    line_numbers: list[int]
    faults: tuple[Fault, ...]  # in the order of lines, then of columns

    @property
    def faulty_rows(self) -> frozenset[int]:
        """The rows that have at least one fault."""
        lines = {fault.line for fault in self.faults}
        return frozenset(row for row, line in enumerate(self.line_numbers) if line in lines)


def read_log(
    raw: bytes, layout: Layout, *, decimal: str | None = None, ignore_unknown: bool = False
) -> LogTable:
    """The structure of a table of that kind, as a spreadsheet, a meter or `write_table` writes it.

    `decimal` is "comma" or "point" where a person said so; None finds out from the numbers themselves.
    `ignore_unknown` leaves out columns that the layout does not know (a meter's own); else they are refused.

    Raises Undecodable, NulByte, CutFile, NoRows, NoHeadingLine, UnknownHeading, MissingHeadings,
    DuplicateHeading, TwoHeadingsOneColumn, UnnamedColumn, ExtraCell, MissingCell, QuoteOpen, CellTooLong,
    DecimalMarkUnclear, DecimalMarksMixed.
    """
    lines = _whole_lines(decode_text(raw), layout)
    head = find_heading_line(lines, layout)
    placed, left_out = place_headings(head, layout, ignore_unknown=ignore_unknown)
    rows = split_rows(lines, head)
    if not rows.line_numbers:
        raise NoRows(layout.kind)
    _check_left_out(rows, head, left_out, ignore_unknown=ignore_unknown)
    columns = {
        one.column.heading: rows.columns[one.place]
        if one.column.is_number
        else unmark_formulas(rows.columns[one.place])
        for one in placed
    }
    numbers = [
        columns[one.column.heading] for one in placed if one.column.shape in ("measure", "in meter unit")
    ]
    return LogTable(
        kind=layout.kind,
        headings=head.headings,
        columns=columns,
        line_numbers=rows.line_numbers,
        units={one.column.heading: one.unit for one in placed},
        decimal_comma=find_decimal_comma(numbers, rows.line_numbers, decimal),
    )


def parse_log(table: LogTable, layout: Layout, *, zone: str | Sequence[str] = "UTC") -> ParsedLog:
    """The values of a table's cells, with every fault at once.

    `zone` is the IANA time zone of times without an offset: one for all rows, or one for each row.
    Raises ZoneUnknown.
    """
    parts = _read_columns(table, layout, zone)
    values: dict[str, list[object]] = {}
    as_typed: dict[int, dict[str, str]] = {}
    faults: list[tuple[int, int, Fault]] = []
    for order, column in enumerate(layout.columns):
        part = parts.get(column.heading)
        if part is None:
            values[column.heading] = [column.default] * table.row_count
            continue
        values[column.heading] = part.values
        for row, typed in part.as_typed.items():
            as_typed.setdefault(row, {})[column.heading] = typed
        cells = table.columns[column.heading]
        for row, wrong in part.wrong.items():
            fault = Fault(table.line_numbers[row], column.heading, cells[row], wrong.expected, wrong.why)
            faults.append((row, order, fault))
        if not column.blank_ok and "" in cells:
            for row, cell in enumerate(cells):
                if not cell:
                    fault = Fault(table.line_numbers[row], column.heading, "", expected_of(column))
                    faults.append((row, order, fault))
    faults.sort(key=lambda one: one[:2])
    return ParsedLog(table.kind, values, as_typed, table.line_numbers, tuple(fault for *_, fault in faults))


def _whole_lines(text: str, layout: Layout) -> list[str]:
    if not text.strip():
        raise NoRows(layout.kind)
    if not text.endswith("\n"):
        raise CutFile
    lines = text.split("\n")
    lines.pop()
    return lines


def _check_left_out(rows: Rows, head: HeadingLine, left_out: Sequence[int], *, ignore_unknown: bool) -> None:
    """Refuse cells under no heading; and a line break in cells that nobody will look at, since an unclosed
    quote may have swallowed rows there."""
    for place in left_out:
        for number, cell in zip(rows.line_numbers, rows.columns[place], strict=True):
            if "\n" in cell:
                raise QuoteOpen(number)
    for place, heading in enumerate(head.headings):
        if heading or not any(rows.columns[place]):
            continue
        for number, cell in zip(rows.line_numbers, rows.columns[place], strict=True):
            if "\n" in cell:
                raise QuoteOpen(number)
            if cell and not ignore_unknown:
                raise UnnamedColumn(number, place + 1)


def _read_columns(table: LogTable, layout: Layout, zone: str | Sequence[str]) -> dict[str, ReadColumn]:
    cells = table.columns
    parts: dict[str, ReadColumn] = {}
    for column in layout.columns:
        if column.heading in cells and column.shape not in ("in meter unit", "meter unit"):
            parts[column.heading] = read_column(
                cells[column.heading],
                column,
                unit=table.units[column.heading],
                decimal_comma=table.decimal_comma,
                zone=zone,
            )
    for column in layout.columns if "unit" in cells else ():
        if column.shape == "meter unit":
            parts[column.heading] = read_meter_units(cells["unit"])
        elif column.shape == "in meter unit" and column.heading in cells:
            parts[column.heading] = read_in_meter_units(
                cells[column.heading], cells["unit"], column.heading, decimal_comma=table.decimal_comma
            )
    return parts
