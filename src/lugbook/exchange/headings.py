"""Which line of a file is the heading line, and which column each of its headings is."""

from __future__ import annotations

import csv
import re
from collections.abc import Sequence
from dataclasses import dataclass

from lugbook.errors import (
    DuplicateHeading,
    MissingHeadings,
    NoHeadingLine,
    TwoHeadingsOneColumn,
    UnknownHeading,
)
from lugbook.exchange.layout import Column, Layout
from lugbook.units.fields import unit_of_heading

_DELIMITERS = (",", ";", "\t")
_SEPARATOR_LINE = re.compile(r'\s*"?sep=([,;\t|])', re.IGNORECASE)
_LONGEST_PREAMBLE = 200  # lines; no meter seen writes more than some dozens


@dataclass(frozen=True, slots=True)
class HeadingLine:
    """Where the headings are."""

    line: int  # counted from 1
    delimiter: str
    headings: tuple[str, ...]  # as written, '' for an empty one


@dataclass(frozen=True, slots=True)
class Placed:
    """One column of a layout, found in a file."""

    place: int  # counted from 0
    column: Column
    unit: str | None  # the symbol of the unit that the heading states; None where it states none


def find_heading_line(lines: Sequence[str], layout: Layout) -> HeadingLine:
    """The first line that holds every needed heading of the layout; what stands above it is a preamble.

    Raises NoHeadingLine where no line comes near, and UnknownHeading or MissingHeadings of the line that
    comes nearest.
    """
    delimiters = _stated_delimiter(lines) or _DELIMITERS
    best, best_known = None, 0
    for line, text in enumerate(lines[:_LONGEST_PREAMBLE], start=1):
        for delimiter in delimiters:
            headings = _cells(text, delimiter)
            found = {column.heading for column, _ in map_headings(headings, layout) if column}
            if found.issuperset(layout.needed):
                return HeadingLine(line, delimiter, headings)
            if len(found) > best_known:
                best, best_known = HeadingLine(line, delimiter, headings), len(found)
    raise _no_heading_line(best, layout)


def place_headings(
    head: HeadingLine, layout: Layout, *, ignore_unknown: bool = False
) -> tuple[list[Placed], list[int]]:
    """The columns of the layout that the file has, and the places of named columns that are left out.

    Raises DuplicateHeading, TwoHeadingsOneColumn, and UnknownHeading unless `ignore_unknown`.
    """
    placed: dict[str, Placed] = {}
    left_out: list[int] = []
    plain_seen: set[str] = set()
    for place, (column, unit) in enumerate(map_headings(head.headings, layout)):
        heading = head.headings[place]
        plain = plain_heading(heading)
        if plain and plain in plain_seen:
            raise DuplicateHeading(head.line, heading)
        plain_seen.add(plain)
        if column is None:
            if heading and not ignore_unknown:
                raise UnknownHeading(head.line, heading, layout.kind, layout.headings)
            left_out += [place] if heading else []
        elif column.heading in placed:
            first = head.headings[placed[column.heading].place]
            raise TwoHeadingsOneColumn(head.line, first, heading, column.heading)
        else:
            placed[column.heading] = Placed(place, column, unit)
    return list(placed.values()), left_out


def plain_heading(heading: str) -> str:
    """The heading in small letters with one underscore for each run of blanks, hyphens and underscores."""
    return re.sub(r"[\s\-_]+", "_", heading.casefold()).strip("_")


def map_headings(headings: Sequence[str], layout: Layout) -> list[tuple[Column | None, str | None]]:
    """For each heading its column (None where the layout has none such) and the unit that it states."""
    return [_column_of(heading, layout) for heading in headings]


def _column_of(heading: str, layout: Layout) -> tuple[Column | None, str | None]:
    plain = plain_heading(heading)
    for column in layout.columns if plain else ():
        if plain == column.heading:
            return column, column.field.unit if column.field else None
    for column in layout.columns if plain else ():
        if column.field is None:
            continue
        for spelt in (heading, heading.replace("-", " ")):
            unit = unit_of_heading(spelt, column.field)
            if unit is not None:
                return column, unit or None
    return None, None


def _stated_delimiter(lines: Sequence[str]) -> tuple[str, ...] | None:
    """The one delimiter of a spreadsheet's `sep=;` line, which stands first or nowhere."""
    first = next((line for line in lines[:_LONGEST_PREAMBLE] if line.strip()), "")
    stated = _SEPARATOR_LINE.match(first)
    return (stated.group(1),) if stated else None


def _cells(line: str, delimiter: str) -> tuple[str, ...]:
    """The cells of one line; none where quotes make no sense with this delimiter."""
    try:
        rows = list(csv.reader([line], delimiter=delimiter, strict=True, skipinitialspace=True))
    except csv.Error:
        return ()
    return tuple(cell.strip() for cell in rows[0]) if rows else ()


def _no_heading_line(best: HeadingLine | None, layout: Layout) -> Exception:
    if best is None:
        return NoHeadingLine(layout.kind, layout.needed)
    mapped = map_headings(best.headings, layout)
    found = {column.heading for column, _ in mapped if column}
    missing = [heading for heading in layout.needed if heading not in found]
    for heading, (column, _) in zip(best.headings, mapped, strict=True):
        if heading and column is None:
            refusal = UnknownHeading(best.line, heading, layout.kind, missing)
            if refusal.meant:
                return refusal
    return MissingHeadings(best.line, layout.kind, missing)
