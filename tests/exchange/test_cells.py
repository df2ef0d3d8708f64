"""Cells: values where they are sound, faults where they are not, all at once."""

import pytest

from lugbook.errors import ZoneUnknown
from lugbook.exchange.faults import Fault, word_fault
from lugbook.exchange.layouts import LAYOUTS
from lugbook.exchange.logs_in import ParsedLog, parse_log, read_log

READING = {
    "span": "C12A/crimp",
    "round": "2031",
    "taken_at": "2031-04-18T12:00:00.000000Z",
    "drop_millivolt": "0.84",
    "current_ampere": "100",
    "joint_celsius": "20.5",
    "voltage_instrument": "MV1",
    "current_instrument": "CL1",
}


def parsed(kind: str, /, **cells: str) -> ParsedLog:
    """One row of a table of that kind."""
    line = ",".join('"' + cell.replace('"', '""') + '"' for cell in cells.values())
    raw = f"{','.join(cells)}\n{line}\n".encode()
    return parse_log(read_log(raw, LAYOUTS[kind]), LAYOUTS[kind])


def reading(**cells: str) -> ParsedLog:
    return parsed("readings", **{**READING, **cells})


def sentences(log: ParsedLog) -> list[str]:
    return [word_fault(fault) for fault in log.faults]


def test_a_plain_reading_is_read_as_it_stands() -> None:
    log = reading()

    assert {heading: log.values[heading][0] for heading in READING} == READING
    assert log.as_typed == {}
    assert log.faults == ()


def test_absent_columns_hold_their_defaults() -> None:
    log = reading()

    defaults = {
        heading: log.values[heading][0] for heading in ("polarity", "repeat", "confirmed", "stage", "note")
    }
    assert defaults == {"polarity": "forward", "repeat": 1, "confirmed": False, "stage": None, "note": None}


def test_an_empty_cell_is_none_or_its_default() -> None:
    log = reading(joint_celsius="", repeat="", note="")

    assert log.values["joint_celsius"] == [None]
    assert log.values["repeat"] == [1]
    assert log.values["note"] == [None]
    assert log.faults == ()


@pytest.mark.parametrize(
    ("column", "typed", "value"),
    [
        ("drop_millivolt", "840 µV", "0.840"),
        ("drop_millivolt", "1 234.5", "1234.5"),
        ("joint_celsius", "72.5 F", "22.5"),  # (72.5 - 32) x 5/9 = 22.5
        ("taken_at", "2031-04-18 14:32+02:00", "2031-04-18T12:32:00.000000Z"),
    ],
)
def test_what_was_typed_is_kept_where_the_value_differs(column: str, typed: str, value: str) -> None:
    log = reading(**{column: typed})

    assert log.values[column] == [value]
    assert log.as_typed == {0: {column: typed}}


@pytest.mark.parametrize(("typed", "value"), [("0.84 mV", "0.84"), ("\N{MINUS SIGN}0.84", "-0.84")])
def test_the_same_number_in_the_same_unit_is_not_kept_twice(typed: str, value: str) -> None:
    log = reading(drop_millivolt=typed)

    assert log.values["drop_millivolt"] == [value]
    assert log.as_typed == {}


def test_a_number_under_a_heading_with_a_unit_is_kept_with_that_unit() -> None:
    log = parsed(
        "pulls", recipe="R2", sample="1", pulled_at="2031-04-18", pull_lbf="500", failure="pulled out"
    )

    # NIST SP 811 (2008) B.8: 1 lbf = 4.448 221 615 260 5 N
    assert float(str(log.values["pull_newton"][0])) == pytest.approx(2224.11080763025)
    assert log.as_typed[0]["pull_newton"] == "500 lbf"


@pytest.mark.parametrize(
    ("typed", "value"), [("yes", True), ("Yes", True), ("TRUE", True), ("no", False), ("false", False)]
)
def test_yes_and_no_are_read_as_people_write_them(typed: str, value: bool) -> None:
    assert reading(confirmed=typed).values["confirmed"] == [value]


def test_choices_are_read_without_case_and_underscores() -> None:
    log = reading(stage="As_Found", polarity="REVERSE")

    assert (log.values["stage"], log.values["polarity"]) == (["as found"], ["reverse"])


@pytest.mark.parametrize("label", ["=1+1", "+BATT", "-BATT", "@x", "<b>", '3/8" stud', "κ 4 °C"])
def test_any_printable_label_is_a_label(label: str) -> None:
    assert reading(span=label).values["span"] == [label]


def test_our_own_mark_before_a_formula_is_taken_off_and_other_apostrophes_stay() -> None:
    log = reading(span="'=1+1", round="'round", note="''tis")

    assert log.values["span"] == ["=1+1"]
    assert log.values["round"] == ["'round"]
    assert log.values["note"] == ["'tis"]  # as `write_table` writes 'tis


def test_a_label_of_64_characters_is_read_and_one_of_65_is_a_fault() -> None:
    assert reading(span="x" * 64).faults == ()
    assert len(reading(span="x" * 65).faults) == 1


def test_a_note_of_5000_characters_is_read_and_one_of_5001_is_a_fault() -> None:
    assert reading(note="x" * 5000).faults == ()
    assert len(reading(note="x" * 5001).faults) == 1


OVERLOAD = (
    'Line 2, drop_millivolt: the meter showed overload ("{}"); '
    "take the row out, or read again on a higher range."
)


@pytest.mark.parametrize("typed", ["OL", "O.L", "0L", "ol", "-OL", "---", "overload", "OVER", "over-range"])
def test_an_overloaded_meter_is_a_fault_that_says_so(typed: str) -> None:
    assert sentences(reading(drop_millivolt=typed)) == [OVERLOAD.format(typed)]


FAULTY = [
    ("span", "", "Line 2, span: the cell is empty; expected 1 to 64 printable characters."),
    (
        "drop_millivolt",
        "",
        'Line 2, drop_millivolt: the cell is empty; expected a millivolt drop like "0.84 mV".',
    ),
    ("taken_at", "", 'Line 2, taken_at: the cell is empty; expected a time like "2031-04-18 14:32".'),
    ("stage", "later", 'Line 2, stage: read "later"; expected one of as found, as left.'),
    ("repeat", "0", 'Line 2, repeat: read "0"; expected a whole number from 1 to 1000.'),
    ("repeat", "1.5", 'Line 2, repeat: read "1.5"; expected a whole number from 1 to 1000.'),
    ("confirmed", "maybe", 'Line 2, confirmed: read "maybe"; expected yes or no.'),
    ("span", "a\nb", 'Line 2, span: "a b" holds a line break; type it without.'),
    ("note", "a\nb", 'Line 2, note: "a b" holds a line break; type it without.'),
    (
        "span",
        "C12A\u202ecrimp",
        'Line 2, span: "C12A crimp" holds the unprintable character U+202E; type it without.',
    ),
    ("note", "a\x1bb", 'Line 2, note: "a b" holds the unprintable character U+001B; type it without.'),
    (
        "round",
        "20\N{NO-BREAK SPACE}31",
        'Line 2, round: "20 31" holds the unprintable character U+00A0; type it without.',
    ),
    ("round", "x" * 70, f'Line 2, round: "{"x" * 40}..." has 70 characters; 64 at most.'),
    (
        "drop_millivolt",
        "soon",
        'Line 2, drop_millivolt: "soon" is not a number for the millivolt drop; type it like "0.84 mV".',
    ),
]


@pytest.mark.parametrize(("column", "typed", "sentence"), FAULTY)
def test_a_cell_that_cannot_be_is_a_fault(column: str, typed: str, sentence: str) -> None:
    log = reading(**{column: typed})

    assert sentences(log) == [sentence]
    assert log.values[column] == [None]


def test_a_fault_holds_what_was_read_and_expected() -> None:
    log = reading(stage="later")

    assert log.faults == (Fault(2, "stage", "later", "one of as found, as left"),)


def test_all_faults_of_a_table_come_at_once_by_line_and_column() -> None:
    raw = b"preamble\nspan,serviced_at,action\nC1,2031-02-30,cleaned\nC2,2031-04-18,cleaned\n,soon,polished\n"

    log = parse_log(read_log(raw, LAYOUTS["services"]), LAYOUTS["services"])

    assert [(fault.line, fault.column) for fault in log.faults] == [
        (3, "serviced_at"),
        (5, "span"),
        (5, "serviced_at"),
        (5, "action"),
    ]
    assert log.faulty_rows == {0, 2}
    assert log.values["span"] == ["C1", "C2", None]


def test_a_number_needs_a_unit_where_the_heading_states_none() -> None:
    cells = {("drop" if heading == "drop_millivolt" else heading): cell for heading, cell in READING.items()}

    log = parsed("readings", **cells)

    assert sentences(log) == [
        'Line 2, drop_millivolt: The millivolt drop "0.84" has no unit; '
        'type it with its unit, like "0.84 mV".'
    ]


def test_times_are_read_on_the_clocks_of_one_zone() -> None:
    raw = b"span,serviced_at,action\nC1,2031-07-01 12:00,cleaned\n"

    log = parse_log(read_log(raw, LAYOUTS["services"]), LAYOUTS["services"], zone="Europe/Lisbon")

    assert log.values["serviced_at"] == ["2031-07-01T11:00:00.000000Z"]  # summer time: one hour before UTC


def test_times_are_read_on_the_clocks_of_the_zone_of_their_row() -> None:
    rows = b"C1,2031-07-01 12:00,cleaned\nC2,2031-07-01 12:00,cleaned\nC3,noon,cleaned\n"
    raw = b"span,serviced_at,action\n" + rows
    zones = ["Europe/Lisbon", "UTC", "Europe/Lisbon"]

    log = parse_log(read_log(raw, LAYOUTS["services"]), LAYOUTS["services"], zone=zones)

    assert log.values["serviced_at"] == ["2031-07-01T11:00:00.000000Z", "2031-07-01T12:00:00.000000Z", None]
    assert log.as_typed == {
        0: {"serviced_at": "2031-07-01 12:00"},
        1: {"serviced_at": "2031-07-01 12:00"},
    }
    assert [fault.line for fault in log.faults] == [4]


def test_an_unknown_zone_is_refused_not_guessed() -> None:
    raw = b"span,serviced_at,action\nC1,2031-07-01 12:00,cleaned\n"

    with pytest.raises(ZoneUnknown):
        parse_log(read_log(raw, LAYOUTS["services"]), LAYOUTS["services"], zone="Atlantis/Capital")


def test_a_zone_a_size_and_a_day_are_checked() -> None:
    builds = parsed("builds", build="Sallowmere", zone="Atlantis")
    conductors = parsed("conductors", conductor="a", size="AWG 2/0")
    no_size = parsed("conductors", conductor="a", size="fat")

    assert sentences(builds) == [
        'Line 2, zone: "Atlantis" is not a time zone; type an IANA name like "Europe/Lisbon", or UTC.'
    ]
    assert conductors.values["size"] == ["2/0 AWG"]
    assert conductors.as_typed == {0: {"size": "AWG 2/0"}}
    assert [fault.column for fault in no_size.faults] == ["size"]


METER = {"instrument": "PT1", "kind": "pull tester", "percent_of_reading": "1", "counts": "2"}


def test_the_resolution_of_a_meter_is_read_in_its_unit() -> None:
    log = parsed("instruments", **METER, resolution="10", unit="N", calibrated_on="18.04.2031")

    assert (log.values["resolution"], log.values["unit"]) == (["10"], ["N"])
    assert log.values["calibrated_on"] == ["2031-04-18"]
    assert log.as_typed == {0: {"calibrated_on": "18.04.2031"}}


def test_a_meter_in_another_unit_is_kept_in_that_of_its_kind() -> None:
    log = parsed("instruments", **METER, resolution="0.01", unit="kN")

    assert (log.values["resolution"], log.values["unit"]) == (["10"], ["N"])
    assert log.as_typed == {0: {"resolution": "0.01 kN", "unit": "kN"}}


@pytest.mark.parametrize(
    ("resolution", "unit", "sentence"),
    [
        ("10", "stone", 'Line 2, unit: read "stone"; expected one of mV, A, degC, N, N m.'),
        ("10", "", "Line 2, unit: the cell is empty; expected one of mV, A, degC, N, N m."),
        ("", "N", 'Line 2, resolution: the cell is empty; expected a number like "0.01".'),
    ],
)
def test_a_meter_needs_its_resolution_and_its_unit(resolution: str, unit: str, sentence: str) -> None:
    assert sentences(parsed("instruments", **METER, resolution=resolution, unit=unit)) == [sentence]


@pytest.mark.parametrize("typed", ["2031-04-18 14:32", "2031-02-29", "soon"])
def test_a_day_is_a_date_that_exists_without_a_time(typed: str) -> None:
    log = parsed("instruments", **METER, resolution="10", unit="N", calibrated_on=typed)

    assert [fault.column for fault in log.faults] == ["calibrated_on"]
