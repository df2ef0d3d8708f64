"""How a text that a spreadsheet would run as a formula is marked in a table, and unmarked.

A spreadsheet runs a cell that begins with = + - @ TAB or CR (OWASP, CSV injection; CWE-1236). Labels such as
+BATT are normal here, so they are written with an apostrophe before them, which spreadsheets take for "text".
"""

from __future__ import annotations

_MARK = "'"
_BEGINS_FORMULA = ("=", "+", "-", "@", "\t", "\r", _MARK)  # the mark itself, so that unmarking is exact


def mark_formula(text: str) -> str:
    """The text as it is safe in a cell."""
    return _MARK + text if text.startswith(_BEGINS_FORMULA) else text


def unmark_formulas(cells: list[str]) -> list[str]:
    """The texts that `mark_formula` made into these cells; an apostrophe that is no mark stays."""
    if _MARK not in "".join(cells):
        return cells
    return [
        cell[1:] if cell[:1] == _MARK and cell[1:].startswith(_BEGINS_FORMULA) else cell for cell in cells
    ]
