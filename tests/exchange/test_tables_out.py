"""Tables written: what stands in the bytes."""

from decimal import Decimal

import pytest

from lugbook.errors import CellUnwritable
from lugbook.exchange.tables_out import Cell, write_table


def test_a_table_is_utf8_with_commas_and_newlines() -> None:
    raw = write_table(["span", "note"], [["C12A/crimp", "31 °C"], ["C12B/crimp", None]])

    assert raw == "span,note\nC12A/crimp,31 °C\nC12B/crimp,\n".encode()


@pytest.mark.parametrize(
    ("cell", "written"),
    [
        ("=1+1", "'=1+1"),
        ("+BATT", "'+BATT"),
        ("-BATT", "'-BATT"),
        ("@x", "'@x"),
        ("\tx", "'\tx"),
        ("'tis", "''tis"),
        ("-1", "'-1"),  # a label, since the heading is one
        ("a;b", "a;b"),
        ("a,b", '"a,b"'),
        ('3/8"', '"3/8"""'),
        (True, "yes"),
        (False, "no"),
        (-1, "-1"),
        (-0.5, "-0.5"),
        (1e-7, "0.0000001"),
        (Decimal("-0.840"), "-0.840"),
        (Decimal("1E+3"), "1000"),
    ],
)
def test_text_that_a_spreadsheet_would_run_is_marked_and_numbers_are_not(cell: Cell, written: str) -> None:
    assert write_table(["span", "note"], [[cell, "x"]]).decode() == f"span,note\n{written},x\n"


def test_decimal_text_under_a_number_heading_is_a_number() -> None:
    raw = write_table(["zero_millivolt", "span"], [["-0.010", "-0.010"], ["=1+1", "x"]])

    assert raw == b"zero_millivolt,span\n-0.010,'-0.010\n'=1+1,x\n"


@pytest.mark.parametrize("text", ["a\nb", "a\rb", "a\0b", "a\ud800"])
def test_text_that_would_not_come_back_is_refused(text: str) -> None:
    with pytest.raises(CellUnwritable) as refusal:
        write_table(["note"], [[text]])

    shown = " " if len(text) == 3 else ""
    assert str(refusal.value) == (
        f'The note "a {"b" if shown else ""}" holds a line break or a character that no table can carry; '
        "correct it first."
    )


@pytest.mark.parametrize("number", [float("nan"), float("inf"), Decimal("nan")])
def test_a_number_that_is_not_finite_is_a_bug_of_the_caller(number: float) -> None:
    with pytest.raises(ValueError, match="which no table can carry"):
        write_table(["span"], [[number]])


def test_a_row_of_another_width_is_a_bug_of_the_caller() -> None:
    with pytest.raises(ValueError, match="zip"):
        write_table(["span", "note"], [["C12A/crimp"]])
