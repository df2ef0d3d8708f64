"""The structure of a table: its headings, its rows, and what is refused as a whole."""

import pytest

from lugbook.errors import (
    CellTooLong,
    CutFile,
    DuplicateHeading,
    ExtraCell,
    MissingCell,
    MissingHeadings,
    NoHeadingLine,
    NoRows,
    QuoteOpen,
    Refusal,
    TwoHeadingsOneColumn,
    UnknownHeading,
    UnnamedColumn,
)
from lugbook.exchange.layouts import LAYOUTS
from lugbook.exchange.logs_in import LogTable, read_log

SERVICES = LAYOUTS["services"]  # needs span, serviced_at, action
HEAD = "span,serviced_at,action,note\n"
ROW = "C12A/crimp,2031-04-18,cleaned,\n"


def services(text: str, *, ignore_unknown: bool = False) -> LogTable:
    return read_log(text.encode(), SERVICES, ignore_unknown=ignore_unknown)


@pytest.mark.parametrize("delimiter", [",", ";", "\t"])
def test_comma_semicolon_and_tab_are_found_by_the_headings(delimiter: str) -> None:
    table = services((HEAD + ROW).replace(",", delimiter))

    assert table.columns["action"] == ["cleaned"]


@pytest.mark.parametrize("first", ["sep=;", '"sep=;"', "SEP=;"])
def test_a_separator_line_says_the_delimiter(first: str) -> None:
    table = services(f"{first}\n" + (HEAD + ROW).replace(",", ";"))

    assert table.columns["span"] == ["C12A/crimp"]
    assert table.line_numbers == [3]


def test_a_separator_line_may_say_tab() -> None:
    assert services("sep=\t\n" + (HEAD + ROW).replace(",", "\t")).columns["span"] == ["C12A/crimp"]


def test_what_stands_above_the_headings_is_a_preamble() -> None:
    table = services("Logging meter export\nChannels: 2\nspan 10,20\n\n" + HEAD + ROW)

    assert table.columns["span"] == ["C12A/crimp"]
    assert table.line_numbers == [6]


def test_headings_are_compared_without_case_blanks_and_hyphens() -> None:
    table = services("SPAN, Serviced at ,Action\n" + "C12A/crimp,2031-04-18,cleaned\n")

    assert list(table.columns) == ["span", "serviced_at", "action"]


@pytest.mark.parametrize(
    ("heading", "unit"),
    [
        ("drop_millivolt", "mV"),
        ("drop_microvolt", "uV"),
        ("drop (mV)", "mV"),
        ("Drop [µV]", "uV"),
        ("Drop-mV", "mV"),
        ("drop", None),
    ],
)
def test_a_heading_may_state_the_unit(heading: str, unit: str | None) -> None:
    head = (
        f"span,round,taken_at,{heading},current_ampere,joint_celsius,voltage_instrument,current_instrument\n"
    )

    table = read_log((head + "C12A/crimp,2031,2031-04-18,1,100,20,MV1,CL1\n").encode(), LAYOUTS["readings"])

    assert table.units["drop_millivolt"] == unit


def test_blank_lines_and_lines_of_separators_are_left_out() -> None:
    table = services(HEAD + "\n" + ROW + " , ,,\n\n" + ROW)

    assert table.line_numbers == [3, 6]


def test_trailing_empty_columns_are_left_out() -> None:
    table = services(
        HEAD.replace("\n", ",,\n") + ROW.replace("\n", ",,\n") + ROW + ROW.replace("\n", ",,,,\n")
    )

    assert table.columns["note"] == ["", "", ""]


def test_cells_are_stripped_and_quotes_undone() -> None:
    table = services(HEAD + ' C12A/crimp , "2031-04-18",cleaned,"green, ""furry"""\n')

    assert table.columns["span"] == ["C12A/crimp"]
    assert table.columns["serviced_at"] == ["2031-04-18"]
    assert table.columns["note"] == ['green, "furry"']


def test_an_inch_mark_inside_a_cell_is_no_quote() -> None:
    assert services(HEAD + 'C12A/crimp,2031-04-18,cleaned,3/8" stud\n').columns["note"] == ['3/8" stud']


def test_line_numbers_count_the_lines_of_a_cell_with_line_breaks() -> None:
    table = services(HEAD + 'C12A/crimp,2031-04-18,cleaned,"one\ntwo"\n' + ROW)

    assert table.line_numbers == [2, 4]


def test_many_rows_keep_their_order_and_their_lines() -> None:
    rows = [f"S{number},2031-04-18,cleaned,{number}\n" for number in range(10_000)]
    quoted = [row.replace("cleaned", '"cleaned"') for row in rows]

    plain_table, quoted_table = services(HEAD + "".join(rows)), services(HEAD + "".join(quoted))

    assert plain_table.columns["note"] == [str(number) for number in range(10_000)]
    assert plain_table.line_numbers == list(range(2, 10_002))
    assert quoted_table == plain_table


def test_a_meters_own_columns_may_be_left_out() -> None:
    table = services(
        "span,serviced_at,action,Channel 7\nC12A/crimp,2031-04-18,cleaned,12.61\n", ignore_unknown=True
    )

    assert list(table.columns) == ["span", "serviced_at", "action"]


def test_a_left_out_column_may_not_hide_rows_in_an_open_quote() -> None:
    text = 'span,serviced_at,action,Channel 7\nC1,2031-04-18,cleaned,"x\nC2,2031-04-18,cleaned,y"\n'

    with pytest.raises(QuoteOpen):
        services(text, ignore_unknown=True)


LONG = "x" * 10_001
NO_ROWS = "The file holds no rows of services; nothing was read. Look whether it is the right file, and was saved."

REFUSED: list[tuple[str, type[Refusal], str]] = [
    (
        HEAD + ROW + "C12B/crimp,2031-04",
        CutFile,
        "The last line does not end; the file may be cut. Copy it again, or add a line end if it is whole.",
    ),
    ("", NoRows, NO_ROWS),
    (HEAD, NoRows, NO_ROWS),
    (HEAD + "\n,,,\n", NoRows, NO_ROWS),
    (
        "a,b\n1,2\n",
        NoHeadingLine,
        "No line holds the headings of a table of services; it needs span, serviced_at and action.",
    ),
    (
        "span,serviced_at,acton\nC1,2031-04-18,cleaned\n",
        UnknownHeading,
        'Line 1: "acton" is not a heading of a table of services (did you mean action?); '
        "rename the column, take it out, or leave it out with --skip-unknown.",
    ),
    (
        "span,serviced_at,action,Serviced_By\n" + ROW,
        UnknownHeading,
        'Line 1: "Serviced_By" is not a heading of a table of services (did you mean serviced_at?); '
        "rename the column, take it out, or leave it out with --skip-unknown.",
    ),
    (
        "x\nspan,note\nC1,\n",
        MissingHeadings,
        "Line 2 lacks headings that a table of services needs: add serviced_at and action.",
    ),
    (
        "span,serviced_at,action,Note,note\n",
        DuplicateHeading,
        'Line 1 has the heading "note" twice; rename or take out one of them.',
    ),
    (
        "span,serviced_at,action,torque (N m),torque_newton_metre\n",
        TwoHeadingsOneColumn,
        'Line 1: "torque (N m)" and "torque_newton_metre" are both the column torque_newton_metre; '
        "take out one of them.",
    ),
    (
        "span,,serviced_at,action\nC1,,2031-04-18,cleaned\nC2,x,2031-04-18,cleaned\n",
        UnnamedColumn,
        "Line 3 has something in column 2, which has no heading; give it one or empty it.",
    ),
    (
        HEAD + ROW + "C1,2031-04-18,cleaned,green, furry\n",
        ExtraCell,
        "Line 3 has 5 cells where the headings are 4; put a cell that holds the separator between quotes.",
    ),
    (
        HEAD + "C1,2031-04-18,cleaned\n",
        MissingCell,
        "Line 2 has 3 cells where the headings are 4; write an empty cell for what was not read.",
    ),
    (
        HEAD + ROW + '"C1,2031-04-18,cleaned,\n' + ROW + ROW,
        QuoteOpen,
        "Line 3 opens a quote that does not close at the end of its cell; close it or take it out.",
    ),
    (
        HEAD + ROW + '"C1"x,2031-04-18,cleaned,\n',
        QuoteOpen,
        "Line 3 opens a quote that does not close at the end of its cell; close it or take it out.",
    ),
    (
        HEAD + ROW + '"C1,2031-04-18,cleaned,\n' + ROW * 5000,
        QuoteOpen,
        "Line 3 opens a quote that does not close at the end of its cell; close it or take it out.",
    ),
    (
        HEAD + f"C1,2031-04-18,cleaned,{LONG}\n",
        CellTooLong,
        "Line 2 has a cell of more than 10000 characters; shorten it.",
    ),
    (
        HEAD + f'C1,2031-04-18,cleaned,"{LONG}"\n',
        CellTooLong,
        "Line 2 has a cell of more than 10000 characters; shorten it.",
    ),
    (
        HEAD + f'C1,2031-04-18,cleaned,"{"x" * 200_000}"\n',
        CellTooLong,
        "Line 2 has a cell of more than 10000 characters; shorten it.",
    ),
]


@pytest.mark.parametrize(("text", "refusal_class", "sentence"), REFUSED)
def test_what_cannot_be_a_table_is_refused_as_a_whole(
    text: str, refusal_class: type[Refusal], sentence: str
) -> None:
    with pytest.raises(refusal_class) as refusal:
        services(text)

    assert str(refusal.value) == sentence
    assert refusal.value.exit_code == 3


def test_a_cell_of_ten_thousand_characters_is_still_read() -> None:
    assert len(services(HEAD + f"C1,2031-04-18,cleaned,{'x' * 10_000}\n").columns["note"][0]) == 10_000
