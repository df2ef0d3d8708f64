"""Refusals of tables as files hold them."""

from collections.abc import Sequence

from lugbook.errors.refusal import Refusal, listed, nearest, quoted


class Undecodable(Refusal):
    """Bytes that are no text in the encoding that the rest of the file is in."""

    def __init__(self, offset: int, encoding: str) -> None:
        super().__init__(
            f"Byte {offset} of the file (counted from 0) is not {encoding} text; "
            "save the file as UTF-8 and try again."
        )


class NulByte(Refusal):
    """A NUL in a table: a damaged file, or one that is no table of text."""

    def __init__(self, line: int) -> None:
        super().__init__(
            f"Line {line} holds a NUL byte, so this is not a table of text; export it again as CSV."
        )


class CutFile(Refusal):
    """No line end after the last row: nothing tells a whole last cell from half of one."""

    def __init__(self) -> None:
        super().__init__(
            "The last line does not end; the file may be cut. "
            "Copy it again, or add a line end if it is whole."
        )


class NoRows(Refusal):
    """Nothing below the headings, or nothing at all."""

    def __init__(self, kind: str) -> None:
        super().__init__(
            f"The file holds no rows of {kind}; nothing was read. Look whether it is the right file, and was saved."
        )


class NoHeadingLine(Refusal):
    """No line of the file looks like the headings of this kind of table."""

    def __init__(self, kind: str, needed: Sequence[str]) -> None:
        super().__init__(f"No line holds the headings of a table of {kind}; it needs {listed(needed)}.")


class UnknownHeading(Refusal):
    """A heading that no column of this kind of table has."""

    def __init__(self, line: int, heading: str, kind: str, known: Sequence[str]) -> None:
        plain = "_".join(heading.casefold().replace("-", " ").replace("_", " ").split())
        self.meant = nearest(plain, known)
        super().__init__(
            f"Line {line}: {quoted(heading)} is not a heading of a table of {kind}{self.meant}; "
            "rename the column, take it out, or leave it out with --skip-unknown."
        )


class MissingHeadings(Refusal):
    """The heading line lacks columns that this kind of table cannot do without."""

    def __init__(self, line: int, kind: str, missing: Sequence[str]) -> None:
        super().__init__(f"Line {line} lacks headings that a table of {kind} needs: add {listed(missing)}.")


class DuplicateHeading(Refusal):
    """One heading twice: which column is meant cannot be told."""

    def __init__(self, line: int, heading: str) -> None:
        super().__init__(
            f"Line {line} has the heading {quoted(heading)} twice; rename or take out one of them."
        )


class TwoHeadingsOneColumn(Refusal):
    """Two headings that both name one column, in two units perhaps."""

    def __init__(self, line: int, first: str, second: str, column: str) -> None:
        super().__init__(
            f"Line {line}: {quoted(first)} and {quoted(second)} are both the column {column}; "
            "take out one of them."
        )


class UnnamedColumn(Refusal):
    """Cells under no heading."""

    def __init__(self, line: int, place: int) -> None:
        super().__init__(
            f"Line {line} has something in column {place}, which has no heading; give it one or empty it."
        )


class ExtraCell(Refusal):
    """More cells in a row than there are headings."""

    def __init__(self, line: int, found: int, expected: int) -> None:
        super().__init__(
            f"Line {line} has {found} cells where the headings are {expected}; "
            "put a cell that holds the separator between quotes."
        )


class MissingCell(Refusal):
    """Fewer cells in a row than there are headings."""

    def __init__(self, line: int, found: int, expected: int) -> None:
        super().__init__(
            f"Line {line} has {found} cells where the headings are {expected}; "
            "write an empty cell for what was not read."
        )


class QuoteOpen(Refusal):
    """A quote that never closes, or closes in the middle of a cell."""

    def __init__(self, line: int) -> None:
        super().__init__(
            f"Line {line} opens a quote that does not close at the end of its cell; close it or take it out."
        )


class CellTooLong(Refusal):
    """A cell longer than anything that is written by hand."""

    def __init__(self, line: int, limit: int) -> None:
        super().__init__(f"Line {line} has a cell of more than {limit} characters; shorten it.")


class DecimalMarkUnclear(Refusal):
    """A comma that could group thousands, in a file that shows no other use of it."""

    def __init__(self, line: int, text: str) -> None:
        super().__init__(
            f"Line {line}: {quoted(text)} has two meanings, and no other number in the file says which; "
            "add --decimal comma or --decimal point."
        )


class DecimalMarksMixed(Refusal):
    """Commas mark decimals in one row, points in another."""

    def __init__(self, comma_line: int, comma_text: str, point_line: int, point_text: str) -> None:
        super().__init__(
            f"Line {comma_line} has {quoted(comma_text)} and line {point_line} has {quoted(point_text)}; "
            "write all decimals with one mark."
        )


class CellUnwritable(Refusal):
    """Text that would not come back from a table as it went in."""

    def __init__(self, heading: str, text: str) -> None:
        super().__init__(
            f"The {heading} {quoted(text)} holds a line break or a character that no table can carry; "
            "correct it first."
        )
