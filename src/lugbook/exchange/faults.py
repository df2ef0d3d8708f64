"""What is wrong with one cell of a table, as a value."""

from __future__ import annotations

from dataclasses import dataclass

from lugbook.errors import quoted


@dataclass(frozen=True, slots=True)
class Fault:
    """One cell that cannot be what its column holds."""

    line: int  # of the file, counted from 1
    column: str  # the heading in the layout
    read: str  # the cell as it stands; '' where it is empty
    expected: str  # a phrase: "yes or no"
    why: str = ""  # the whole sentence, where the cause says more than `expected`


def word_fault(fault: Fault) -> str:
    """One sentence: where, what was read, what was expected."""
    where = f"Line {fault.line}, {fault.column}: "
    if fault.why:
        return where + fault.why
    read = f"read {quoted(fault.read)}" if fault.read else "the cell is empty"
    return f"{where}{read}; expected {fault.expected}."
