"""How the lines below the headings split into columns of cells."""

from __future__ import annotations

import csv
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field

from lugbook.errors import CellTooLong, ExtraCell, MissingCell, QuoteOpen
from lugbook.exchange.headings import HeadingLine

LONGEST_CELL = 10_000  # characters
_ROWS_AT_ONCE = 4096  # so that the cells of a long file need not all stand in memory twice


@dataclass(slots=True)
class Rows:
    """The cells of a file, column by column."""

    columns: list[list[str]]  # one for each heading, the empty ones too; cells stripped
    line_numbers: list[int] = field(default_factory=list)  # of the line that each row begins on
    _known: list[dict[str, str] | None] = field(default_factory=list)

    def add(self, cells: Sequence[Sequence[str]], line_numbers: Sequence[int]) -> None:
        """Take some rows, given column by column; equal texts of a column are kept once."""
        for place, fresh in enumerate(cells):
            known = self._known[place]
            if known is None:
                self.columns[place].extend(fresh)
                continue
            keep = known.setdefault
            self.columns[place].extend(map(keep, fresh, fresh))
            if len(known) > 0.5 * len(self.columns[place]) + 100:  # nearly all differ: not worth looking up
                self._known[place] = None
        self.line_numbers.extend(line_numbers)


def split_rows(lines: Sequence[str], head: HeadingLine) -> Rows:
    """The rows below the heading line. Blank lines, and empty cells beyond the last heading, are left out.

    Raises ExtraCell, MissingCell, QuoteOpen, CellTooLong.
    """
    width = len(head.headings)
    rows = Rows([[] for _ in range(width)], [], [{} for _ in range(width)])
    body = lines[head.line :]
    if any('"' in line for line in body):
        _split_quoted(body, head, rows)
    else:
        _split_plain(body, head, rows)
    return rows


def _split_plain(body: Sequence[str], head: HeadingLine, rows: Rows) -> None:
    delimiter, width = head.delimiter, len(head.headings)
    blanks = delimiter + " \t\N{NO-BREAK SPACE}"
    for begin in range(0, len(body), _ROWS_AT_ONCE):
        kept: list[str] = []
        numbers: list[int] = []
        for number, line in enumerate(body[begin : begin + _ROWS_AT_ONCE], start=head.line + begin + 1):
            if not line.strip(blanks):
                continue
            if line.count(delimiter) != width - 1:
                line = delimiter.join(_fit(line.split(delimiter), head, number))
            if len(line) > LONGEST_CELL:
                _refuse_long(line.split(delimiter), number)
            kept.append(line)
            numbers.append(number)
        if kept:
            cells = list(map(str.strip, delimiter.join(kept).split(delimiter)))
            rows.add([cells[place::width] for place in range(width)], numbers)


def _split_quoted(body: Sequence[str], head: HeadingLine, rows: Rows) -> None:
    kept: list[list[str]] = []
    numbers: list[int] = []
    for number, cells in _quoted_rows(body, head):
        if not any(map(str.strip, cells)):
            continue
        row = _fit(cells, head, number) if len(cells) != len(head.headings) else cells
        if max(map(len, row)) > LONGEST_CELL:
            _refuse_long(row, number)
        kept.append(row)
        numbers.append(number)
        if len(kept) == _ROWS_AT_ONCE:
            rows.add(_turned(kept), numbers)
            kept, numbers = [], []
    if kept:
        rows.add(_turned(kept), numbers)


def _quoted_rows(body: Iterable[str], head: HeadingLine) -> Iterator[tuple[int, list[str]]]:
    """Each row with the line it begins on; strict, since a lax reader puts the rest of a file in one cell."""
    reader = csv.reader(
        (line + "\n" for line in body), delimiter=head.delimiter, strict=True, skipinitialspace=True
    )
    number = head.line + 1
    try:
        for cells in reader:
            yield number, cells
            number = head.line + reader.line_num + 1
    except csv.Error as error:
        if "field limit" in str(error) and head.line + reader.line_num == number:
            raise CellTooLong(number, LONGEST_CELL) from error
        raise QuoteOpen(number) from error


def _turned(rows: Sequence[Sequence[str]]) -> list[list[str]]:
    return [list(map(str.strip, column)) for column in zip(*rows, strict=True)]


def _fit(cells: list[str], head: HeadingLine, number: int) -> list[str]:
    """The row with as many cells as there are headings; only empty cells are added or taken, at its end."""
    width = len(head.headings)
    named = max(place for place, heading in enumerate(head.headings, start=1) if heading)
    if len(cells) > width:
        if any(map(str.strip, cells[width:])):
            raise ExtraCell(number, len(cells), named)
        return cells[:width]
    if len(cells) < named:
        raise MissingCell(number, len(cells), named)
    return cells + [""] * (width - len(cells))


def _refuse_long(cells: Sequence[str], number: int) -> None:
    if max(map(len, cells)) > LONGEST_CELL:
        raise CellTooLong(number, LONGEST_CELL)
