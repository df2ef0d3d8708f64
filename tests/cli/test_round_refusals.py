"""What a round refuses, each sentence once in full; the book is left as it was."""

import pytest

from conftest import Shell
from forty_spans import SPANS

OPEN = ("round", "open", "spring", "--at", "100 A")


@pytest.fixture
def opened(forty: Shell) -> Shell:
    """The boat of forty spans, its round open."""
    forty.does(*OPEN)
    return forty


def sheet(shell: Shell, *rows: str, headings: str = "span,drop_millivolt") -> str:
    """The sentence with which a filled sheet is refused."""
    file = shell.file("filled.csv", "\n".join([headings, *rows]) + "\n")
    return shell.refuses("round", "import", file)


@pytest.mark.parametrize("verb", [("enter",), ("close",), ("sheet", "sheet.csv"), ("show",)])
def test_without_an_open_round(forty: Shell, verb: tuple[str, ...]) -> None:
    assert forty.refuses("round", *verb) == "No round is open; open one with `lugbook round open`."
    assert forty.refuses("round", *verb, "--build", "Kittiwake") == (
        "No round of Kittiwake is open; open one with `lugbook round open`."
    )


def test_a_second_round_while_one_is_open(opened: Shell) -> None:
    assert opened.refuses("round", "open", "summer") == (
        "Round spring of Kittiwake has been open since 2026-11-10 (0 days); close it first with `lugbook round close`."
    )


def test_a_name_that_a_round_has(opened: Shell) -> None:
    opened.does("round", "close")

    assert opened.refuses(*OPEN) == 'Kittiwake has a round "spring" already; give this one another name.'
    assert opened.refuses("round", "open", "2025") == (
        'Kittiwake has a round "2025" already; give this one another name.'
    )


def test_open_rounds_of_two_builds_and_no_build_named(opened: Shell) -> None:
    opened.does("build", "add", "Petrel")
    opened.does("round", "open", "spring", "--build", "Petrel")

    assert opened.refuses("round", "close") == (
        "Several rounds are open: spring of Kittiwake and spring of Petrel; say which with --build."
    )
    assert opened.refuses("round", "close", "spring") == (
        'Not written: round "spring": expected its build as well (--build, or a file\'s column build), since '
        "Kittiwake and Petrel each have one."
    )


def test_a_round_that_is_closed_or_was_never_opened(opened: Shell) -> None:
    opened.does("round", "close")

    assert opened.refuses("round", "enter", "spring") == (
        "Round spring was closed on 2026-11-10; open another, or add what was read before then with "
        '`lugbook reading add ... --round "spring" --when TIME`.'
    )
    assert opened.refuses("round", "enter", "2025") == (
        "Round 2025 was never opened, it came with readings; open a round with `lugbook round open`."
    )
    assert opened.refuses("round", "enter", "sprung") == (
        'The book knows no round "sprung" (did you mean spring?); list them with `lugbook round list`.'
    )


def test_opening_with_what_is_no_meter_no_unit_no_time(forty: Shell) -> None:
    assert forty.refuses("round", "open", "--voltmeter", "CL1") == (
        "Not written: voltage instrument CL1 is a clamp, not a millivoltmeter; `lugbook instrument list` shows which "
        "there are."
    )
    assert forty.refuses("round", "open", "--ammeter", "CL9") == (
        'The book knows no instrument "CL9" (did you mean CL1?); list them with `lugbook instrument list`.'
    )
    assert forty.refuses("round", "open", "--drop-unit", "A") == (
        'The millivolt drop "A" has a unit it cannot have; type it in mV, µV or V.'
    )
    assert forty.refuses("round", "open", "--when", "2027-01-01") == (
        'Not written: a round opened at "2027-01-01": that is in the future; leave --when out, or say the day it was '
        "opened."
    )
    assert forty.refuses("round", "open", "--at", "100") == (
        'The current "100" has no unit; type it with its unit, like "100 A".'
    )


def test_opening_where_nothing_says_which_meter(shell: Shell) -> None:
    shell.does("book", "new", shell.book)
    shell.does("build", "add", "Kittiwake")

    assert shell.refuses("round", "open", exit_code=2) == (
        "Say with --voltmeter which millivoltmeter is used (`lugbook instrument add` enters one); nothing in the book "
        "says it yet."
    )


def test_opening_in_a_book_of_two_builds(forty: Shell) -> None:
    forty.does("build", "add", "Petrel")

    assert forty.refuses("round", "open") == (
        "Not written: build: expected the name of the build, with --build, or in a file's column build: "
        "Kittiwake or Petrel."
    )


def test_a_sheet_in_a_kind_of_file_that_is_not_made(opened: Shell) -> None:
    assert opened.refuses("round", "sheet", "sheet.docx", exit_code=2) == (
        'No sheet can be made as "sheet.docx"; name the file .pdf or .csv.'
    )


def test_a_sheet_of_another_build_or_another_round(opened: Shell) -> None:
    assert sheet(opened, f"{SPANS[0]},0.80,Petrel", headings="span,drop_millivolt,build") == (
        'This sheet is of build "Petrel", and round spring is of Kittiwake. Nothing was written; name the other with '
        "--build, or look for the right sheet."
    )
    assert sheet(opened, f"{SPANS[0]},0.80,2025", headings="span,drop_millivolt,round") == (
        'This sheet is of round "2025", and the open one is spring. Nothing was written; name the round on the command '
        "line, or look for the right sheet."
    )


def test_a_span_twice_on_one_sheet(opened: Shell) -> None:
    assert sheet(opened, "C01A/crimp,0.80", "C01B/crimp,0.81", "C01A/crimp,0.82") == (
        "Nothing of filled.csv was written:\n"
        "  C01A/crimp stands on lines 2 and 4; a span is read once in a round. Take one out, or write reverse under "
        "polarity where the current ran the other way.\n"
        "Correct these rows and import the sheet again."
    )


def test_a_span_that_the_round_has_read_otherwise(opened: Shell) -> None:
    opened.does("round", "enter", typed="0.80 20C\nq\n")
    entry = opened.readings_of(SPANS[0])[-1]["entry"]

    assert sheet(opened, "C01A/crimp,0.81") == (
        "Nothing of filled.csv was written:\n"
        f"  Line 2, C01A/crimp: 0.81 mV, but this round read it already as 0.8 mV, entry {entry}; a span is read once "
        "in a round. Amend that entry, or empty this row.\n"
        "Correct these rows and import the sheet again."
    )


def test_readings_typed_under_the_wrong_spans_are_named(opened: Shell) -> None:
    # C01A reads 0.80 mV and C20B 1.19 mV: each would be right on the other's row.
    assert sheet(opened, "C01A/crimp,1.19,100", "C01B/crimp,0.81,100", "C20B/crimp,0.80,100",
                 headings="span,drop_millivolt,current_ampere") == (
        "Nothing of filled.csv was written:\n"
        "  Line 2, C01A/crimp, 1.19 mV at 100 A and line 4, C20B/crimp, 0.8 mV at 100 A both look wrong, and both "
        "would be as expected if they were swapped. Put them right, or write yes under confirmed in both.\n"
        "Correct these rows and import the sheet again."
    )  # fmt: skip


def test_a_slipped_decimal_point(opened: Shell) -> None:
    assert sheet(opened, "C01A/crimp,8.00") == (
        "Nothing of filled.csv was written:\n"
        "  Line 2, C01A/crimp, 8 mV at 100 A: this comes to 80.0 µΩ, 10 times above what it has read (8.00 "
        "µΩ): a slipped decimal point? Look again, and if it is right write yes under confirmed.\n"
        "Correct these rows and import the sheet again."
    )


def test_rows_that_name_no_span_or_say_two_things(opened: Shell) -> None:
    headings = "span,drop_millivolt,skipped"

    assert sheet(opened, "C01A/crmp,0.80,", ",0.81,", "C01B/crimp,0.81,forgot", headings=headings) == (
        "Nothing of filled.csv was written:\n"
        '  Line 2: no span of this build is called "C01A/crmp" (did you mean C01A/crimp?).\n'
        "  Line 3: a drop without a span; write which span it is.\n"
        "  Line 4, C01B/crimp: both a drop and a reason why it was not read; leave one.\n"
        "Correct these rows and import the sheet again."
    )


def test_a_cell_that_cannot_be_read(opened: Shell) -> None:
    assert sheet(opened, "C01A/crimp,fine") == (
        "Nothing of filled.csv was written:\n"
        '  Line 2, drop_millivolt: "fine" is not a number for the millivolt drop; type it like "0.84 mV".\n'
        "Correct these rows and import the sheet again."
    )


def test_a_round_without_a_steady_load_and_a_sheet_without_a_current(forty: Shell) -> None:
    forty.does("round", "open", "spring")

    assert sheet(forty, "C01A/crimp,0.80") == (
        "Nothing of filled.csv was written:\n"
        "  Line 2, C01A/crimp: no current; write it, or open the round with --at.\n"
        "Correct these rows and import the sheet again."
    )


def test_a_loggers_file_without_spans_that_is_too_long(opened: Shell) -> None:
    assert sheet(opened, *["0.80"] * 41, headings="drop_millivolt") == (
        "The file has no column span and 41 rows, and 40 spans of the round are left to read, so which is which cannot "
        "be told. Nothing was written; add a column span, or take out the rows that are not of this round."
    )


def test_a_file_that_is_no_sheet(opened: Shell) -> None:
    assert sheet(opened, "C01A/crimp,0.80", headings="span,volts").startswith(
        "Nothing of filled.csv was written. "
    )
    assert opened.refuses("round", "import", opened.folder / "none.csv").startswith("There is no file at ")
