"""Tables written: what stands in the bytes."""

from decimal import Decimal

import pytest

from lugbook.errors import CellUnwritable
from lugbook.exchange.layouts import LAYOUTS
from lugbook.exchange.logs_in import read_log
from lugbook.exchange.tables_out import Cell, write_as_read, write_table


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


def test_rows_set_aside_keep_their_units_and_their_faults() -> None:
    layout = LAYOUTS["services"]
    raw = (
        b"Meter export\naction;torque (lbf ft);span;serviced_at;note\n"
        b"cleaned;20;C1;2031-04-18;\n"
        b'polished;-0,5;\'+BATT;soon;"two\nlines"\n'
    )
    table = read_log(raw, layout)

    again = read_log(write_as_read(table, layout, [1]), layout)

    assert write_as_read(table, layout, [1]) == (
        b'span,serviced_at,action,torque (lbf ft),note\n\'+BATT,soon,polished,"-0,5","two\nlines"\n'
    )
    assert {heading: [cells[1]] for heading, cells in table.columns.items()} == again.columns
    assert again.units == table.units


def test_a_heading_that_stated_no_unit_states_none_again() -> None:
    layout = LAYOUTS["services"]
    table = read_log(b"span,serviced_at,action,torque\nC1,2031-04-18,cleaned,20\n", layout)

    again = read_log(write_as_read(table, layout, [0]), layout)

    assert again.units["torque_newton_metre"] is None


def test_a_formula_in_a_number_column_is_marked_when_it_is_set_aside() -> None:
    layout = LAYOUTS["services"]
    table = read_log(
        b"span,serviced_at,action,torque_newton_metre\nC1,2031-04-18,cleaned,-2+3+cmd|x\n", layout
    )

    assert write_as_read(table, layout, [0]).endswith(b",'-2+3+cmd|x\n")
