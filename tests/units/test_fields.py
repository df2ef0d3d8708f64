"""A column heading says which field it is and in which unit, or that it is not that field."""

from decimal import Decimal

import pytest

from lugbook.units import fields, symbols
from lugbook.units.fields import (
    AREA_MM2,
    COUNTS,
    DROP_MILLIVOLT,
    JOINT_CELSIUS,
    METER_FIELDS,
    PERCENT_OF_READING,
    PULL_NEWTON,
    TORQUE_NEWTON_METRE,
    Field,
    unit_of_heading,
)
from lugbook.units.parsing import read_measured
from lugbook.units.registry import convert

FIELDS = [value for value in vars(fields).values() if isinstance(value, Field)]


@pytest.mark.parametrize(
    ("heading", "field", "unit"),
    [
        ("drop_millivolt", DROP_MILLIVOLT, "mV"),
        ("drop (mV)", DROP_MILLIVOLT, "mV"),
        ("drop [mV]", DROP_MILLIVOLT, "mV"),
        ("Drop mV", DROP_MILLIVOLT, "mV"),
        ("DROP_MILLIVOLT", DROP_MILLIVOLT, "mV"),
        ("drop_microvolt", DROP_MILLIVOLT, "uV"),
        (" drop ( µV ) ", DROP_MILLIVOLT, "uV"),
        ("pull_lbf", PULL_NEWTON, "lbf"),
        ("joint (°C)", JOINT_CELSIUS, "degC"),
        ("torque_newton_metre", TORQUE_NEWTON_METRE, "N m"),
        ("Torque (N·m)", TORQUE_NEWTON_METRE, "N m"),
        ("area_mm2", AREA_MM2, "mm2"),
        ("counts", COUNTS, "counts"),
        ("percent_of_reading", PERCENT_OF_READING, "%"),
    ],
)
def test_a_heading_states_its_unit(heading: str, field: Field, unit: str) -> None:
    assert unit_of_heading(heading, field) == unit


def test_a_heading_may_be_the_fields_and_state_no_unit() -> None:
    assert unit_of_heading("drop", DROP_MILLIVOLT) == ""


@pytest.mark.parametrize(
    "heading", ["pull_newton", "droplet mV", "drop (MV)", "drop_newton", "", "dropmV", "(mV)"]
)
def test_another_heading_is_not_the_fields(heading: str) -> None:
    assert unit_of_heading(heading, DROP_MILLIVOLT) is None


@pytest.mark.parametrize("field", FIELDS, ids=lambda field: f"{field.name} {field.unit}")
def test_the_example_of_each_field_is_read_as_it_stands(field: Field) -> None:
    assert read_measured(field.example, field).as_typed is None


@pytest.mark.parametrize("field", FIELDS, ids=lambda field: f"{field.name} {field.unit}")
def test_each_unit_of_each_field_can_be_converted_into_its_own(field: Field) -> None:
    for unit in field.accepts:
        assert convert(Decimal(300), unit, field.unit) > 0


def test_the_column_name_of_each_field_states_its_own_unit() -> None:
    for field in FIELDS:
        if field.name != "resolution":  # its unit stands in a column of its own
            assert unit_of_heading(field.name, field) == field.unit


def test_a_resolution_is_found_by_the_unit_its_instrument_reads_in() -> None:
    assert set(METER_FIELDS["resolution"]) == {"mV", "A", "degC", "N", "N m"}


def test_no_spelling_stands_for_two_units() -> None:
    spelt = [spelling for symbol, more in symbols._SPELLINGS.items() for spelling in (symbol, *more)]

    assert len(spelt) == len(set(spelt))
    for symbol, words in symbols._WORDS.items():
        assert all(symbols.symbol_of(word) == symbol for word in words)
