"""The documented headings, and that each column can be explained."""

import pytest
from lugbook.exchange.layout import Column, Layout

from lugbook.exchange.cells import expected_of
from lugbook.exchange.layouts import LAYOUTS
from lugbook.exchange.logs_in import parse_log, read_log
from lugbook.exchange.tables_out import write_table
from lugbook.records import tables_build, tables_measuring, tables_parts

# As documented; ? marks what may be left out.
DOCUMENTED = {
    "builds": "build description? zone?",
    "conductors": "conductor size tinned? strands? insulation_celsius? area_mm2? note?",
    "lugs": "lug barrel_size? stud_millimetre? material? plating? note?",
    "tools": "tool kind? note?",
    "operators": "operator note?",
    "instruments": "instrument kind percent_of_reading counts resolution unit "
    "calibrated_on? calibration_due? least? greatest? zero_offset? note?",
    "ranges": "instrument greatest percent_of_reading counts resolution unit",
    "recipes": "recipe conductor_size lug tool die presses strip_millimetre sealing? compound? note?",
    "cables": "build cable conductor length_metre from_place? to_place? note?",
    "landings": "build landing kind hardware? torque_newton_metre? note?",
    "terminals": "build cable_end recipe made_at operator? landing? note?",
    "spans": "build span kind place cable_end? landing? limit_microohm? probe_millimetre? placement_millimetre? note?",
    "readings": "span round taken_at drop_millivolt current_ampere joint_celsius voltage_instrument "
    "current_instrument build? thermometer? polarity? zero_millivolt? operator? stage? repeat? confirmed? note?",
    "pulls": "recipe sample pulled_at pull_newton failure kind? cable_end? build? hold_second? instrument? "
    "operator? note?",
    "services": "span serviced_at action build? operator? torque_newton_metre? note?",
}
EVERY_COLUMN = [(layout, column) for layout in LAYOUTS.values() for column in layout.columns]


def test_the_headings_are_as_documented() -> None:
    headings = {
        kind: " ".join(column.heading + ("" if column.needed else "?") for column in layout.columns)
        for kind, layout in LAYOUTS.items()
    }

    assert headings == DOCUMENTED


@pytest.mark.parametrize(("layout", "column"), EVERY_COLUMN, ids=lambda one: getattr(one, "heading", None))
def test_each_column_says_what_it_is_and_what_it_holds(layout: Layout, column: Column) -> None:
    assert column.says
    assert not column.says.endswith(".")
    assert expected_of(column)
    assert (column.shape == "measure") == (column.field is not None)
    assert (column.shape == "choice") == bool(column.words)
    assert column.blank_ok or column.needed
    assert column.field is None or column.shape != "measure" or column.field.name == column.heading
    assert set(layout.key) <= set(layout.headings)


def test_the_choices_are_those_of_the_book() -> None:
    choices = {(layout.kind, column.heading): column.words for layout, column in EVERY_COLUMN if column.words}

    assert choices == {
        ("instruments", "kind"): tables_measuring.INSTRUMENT_KINDS,
        ("landings", "kind"): tables_build.LANDING_KINDS,
        ("spans", "kind"): tables_build.SPAN_KINDS,
        ("cables", "from_place"): ("dry", "engine", "bilge", "exposed"),
        ("cables", "to_place"): ("dry", "engine", "bilge", "exposed"),
        ("spans", "place"): tables_build.PLACES,
        ("readings", "polarity"): tables_measuring.POLARITIES,
        ("readings", "stage"): tables_measuring.STAGES,
        ("pulls", "failure"): tables_parts.FAILURES,
        ("pulls", "kind"): tables_parts.PULL_KINDS,
        ("services", "action"): tables_measuring.ACTIONS,
    }


@pytest.mark.parametrize("layout", LAYOUTS.values(), ids=LAYOUTS)
def test_a_template_holds_every_heading_and_takes_a_row(layout: Layout) -> None:
    examples = {
        "label": "a",
        "note": "a",
        "time": "2031-04-18",
        "day": "2031-04-18",
        "yes or no": "no",
        "whole": "1",
        "size": "70 mm2",
        "zone": "UTC",
        "meter unit": "mV",
        "in meter unit": "0.01",
    }
    row = [
        column.words[0] if column.words else column.field.example if column.field else examples[column.shape]
        for column in layout.columns
    ]
    filled = write_table(layout.headings, []) + write_table(["x"] * len(row), [row]).split(b"\n", 1)[1]

    log = parse_log(read_log(filled, layout), layout)

    assert log.faults == ()
    assert list(log.values) == list(layout.headings)
