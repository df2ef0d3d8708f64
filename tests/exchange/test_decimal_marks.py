"""Decimal commas: read where the file shows them, asked for where it does not."""

import pytest

from lugbook.errors import DecimalMarksMixed, DecimalMarkUnclear
from lugbook.exchange.decimals import find_decimal_comma
from lugbook.exchange.layouts import LAYOUTS
from lugbook.exchange.logs_in import parse_log, read_log


@pytest.mark.parametrize(
    ("cells", "comma"),
    [
        (["0,84", "12,5"], True),
        (["0,840"], True),  # a group never begins with 0
        (["1.234,5"], True),
        (["1 234,567"], True),  # a blank groups, so the comma does not
        (["1.234.567", "1,234"], True),  # two points group
        (["1234,567"], True),  # a group has three digits, the first at most three
        (["\N{MINUS SIGN}0,05 mV", "1,234"], True),
        (["0.84", "12.5"], None),
        (["1,234.5"], None),
        (["1,234,567"], None),  # two commas group
        (["840", "", "OL"], None),
    ],
)
def test_the_numbers_show_whether_commas_mark_decimals(cells: list[str], comma: bool | None) -> None:
    assert find_decimal_comma([cells], range(2, 2 + len(cells)), None) is comma


@pytest.mark.parametrize(("said", "comma"), [("comma", True), ("point", False)])
def test_what_a_person_says_holds(said: str, comma: bool) -> None:
    assert find_decimal_comma([["1,234", "0.5"]], [2, 3], said) is comma


def test_a_comma_with_two_meanings_alone_is_refused() -> None:
    with pytest.raises(DecimalMarkUnclear) as refusal:
        find_decimal_comma([["840", "1,234"], ["2,345", "7"]], [5, 6], None)

    assert str(refusal.value) == (
        'Line 5: "2,345" has two meanings, and no other number in the file says which; '
        "add --decimal comma or --decimal point."
    )


def test_a_comma_with_two_meanings_is_refused_beside_points_too() -> None:
    with pytest.raises(DecimalMarkUnclear):
        find_decimal_comma([["0.84", "1,234"]], [2, 3], None)


def test_commas_and_points_in_one_file_are_refused() -> None:
    with pytest.raises(DecimalMarksMixed) as refusal:
        find_decimal_comma([["0,84", "0.86"]], [2, 3], None)

    assert str(refusal.value) == (
        'Line 2 has "0,84" and line 3 has "0.86"; write all decimals with one mark.'
    )


def test_no_other_word_is_taken_for_a_decimal_mark() -> None:
    with pytest.raises(ValueError, match="decimal is comma, point or None"):
        find_decimal_comma([["1"]], [2], ";")


def test_a_meter_with_decimal_commas_is_read_in_the_unit_of_the_book() -> None:
    raw = b"recipe;sample;pulled_at;pull (kN);failure\nR2;1;2031-04-18;6,27;pulled out\n"

    table = read_log(raw, LAYOUTS["pulls"])
    log = parse_log(table, LAYOUTS["pulls"])

    assert table.decimal_comma is True
    assert log.values["pull_newton"] == ["6270"]
    assert log.as_typed[0]["pull_newton"] == "6,27 kN"


def test_labels_and_dates_say_nothing_about_decimals() -> None:
    raw = b'operator,note\n"mate, 1,234","0,84 then 0.84"\n'

    assert read_log(raw, LAYOUTS["operators"]).decimal_comma is None
