"""What may be typed may be stored: the ranges of the fields lie within the CHECKs of their columns."""

import re

import pytest
from sqlalchemy import CheckConstraint

from lugbook.records.tables import FACT_TABLES
from lugbook.units import fields
from lugbook.units.fields import METER_FIELDS, Field

BETWEEN = re.compile(r"(\w+) IS NULL OR .* AND \1 BETWEEN (\S+) AND (\S+)")
CHECKS = sorted(
    (str(table.__tablename__), found[1], float(found[2]), float(found[3]))
    for table in FACT_TABLES
    for rule in table.__table__.constraints
    if isinstance(rule, CheckConstraint) and (found := BETWEEN.fullmatch(str(rule.sqltext)))
)
FIELDS = [field for field in vars(fields).values() if isinstance(field, Field)]
FIELDS += [field for by_unit in METER_FIELDS.values() for field in by_unit.values()]
PAIRS = [
    pytest.param(field, low, high, id=f"{table}.{column}")
    for table, column, low, high in CHECKS
    for field in FIELDS
    if field.name == column
]


@pytest.mark.parametrize(("field", "low", "high"), PAIRS)
def test_a_number_that_may_be_typed_may_be_stored(field: Field, low: float, high: float) -> None:
    assert low <= field.low <= field.high <= high


def test_every_measured_field_has_its_column() -> None:
    stored = {column for _, column, _, _ in CHECKS}

    assert {field.name for field in FIELDS} - stored <= {"change_percent", "crimp_millimetre", "risk_percent"}
