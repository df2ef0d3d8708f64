"""Whether the numbers of a file have a decimal comma."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from typing import Literal

from lugbook.errors import DecimalMarksMixed, DecimalMarkUnclear

_DIGITS = re.compile(r"\s*[+\-\N{MINUS SIGN}]?([0-9.,\s]*[0-9])")
_MAYBE_GROUPED = re.compile(r"[1-9][0-9]{0,2},[0-9]{3}")

Evidence = Literal["comma", "point", "either", ""]


def find_decimal_comma(
    columns: Iterable[Sequence[str]], line_numbers: Sequence[int], decimal: str | None
) -> bool | None:
    """True: the commas mark decimals; False: they group thousands; None: nothing shows or says it.

    `decimal` is "comma" or "point" where a person said which. Else the cells of `columns`, all numbers, must
    show it: "0,84" and "1.234,5" can have only one meaning, "1,234" has two.
    Raises DecimalMarkUnclear where only cells of the last sort have commas, DecimalMarksMixed.
    """
    if decimal is not None:
        if decimal not in ("comma", "point"):
            raise ValueError(f"decimal is comma, point or None, not {decimal}")
        return decimal == "comma"
    wanted = [cells for cells in columns if _any_mark(cells)]
    if not any("," in cell for cells in wanted for cell in set(cells)):
        return None
    seen = _first_of_each(wanted, line_numbers)
    if "comma" in seen and "point" in seen:
        raise DecimalMarksMixed(*seen["comma"], *seen["point"])
    if "comma" in seen:
        return True
    if "either" in seen:
        raise DecimalMarkUnclear(*seen["either"])
    return None


def _any_mark(cells: Sequence[str]) -> bool:
    together = "".join(cells)
    return "," in together or "." in together


def _first_of_each(
    columns: Iterable[Sequence[str]], line_numbers: Sequence[int]
) -> dict[Evidence, tuple[int, str]]:
    """The first line, with its cell, that shows each sort of evidence."""
    seen: dict[Evidence, tuple[int, str]] = {}
    for cells in columns:
        sorts = {cell: _evidence(cell) for cell in set(cells)}
        for line, cell in zip(line_numbers, cells, strict=True):
            sort = sorts[cell]
            if sort and (sort not in seen or line < seen[sort][0]):
                seen[sort] = (line, cell)
    return seen


def _evidence(cell: str) -> Evidence:
    found = _DIGITS.match(cell)
    digits = found.group(1) if found else ""
    commas, points = digits.count(","), digits.count(".")
    if commas and points:
        return "comma" if digits.rindex(",") > digits.rindex(".") else "point"
    if commas == 1:
        return "either" if _MAYBE_GROUPED.fullmatch(digits) else "comma"
    if points == 1 or commas:  # two commas group: "1,234,567"
        return "point"
    return "comma" if points else ""  # two points group: "1.234.567"
