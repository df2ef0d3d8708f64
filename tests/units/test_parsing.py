"""A typed number means one number in the field's unit, or is refused with a sentence that says why."""

import pytest

from lugbook import errors
from lugbook.units.fields import (
    COUNTS,
    CURRENT_AMPERE,
    DROP_MILLIVOLT,
    JOINT_CELSIUS,
    LENGTH_METRE,
    LIMIT_MICROOHM,
    PERCENT_OF_READING,
    PULL_NEWTON,
    STUD_MILLIMETRE,
    TORQUE_NEWTON_METRE,
    ZERO_MILLIVOLT,
    Field,
)
from lugbook.units.parsing import Measured, read_many, read_measured


@pytest.mark.parametrize(
    ("text", "field", "decimal_text"),
    [
        pytest.param("0.84 mV", DROP_MILLIVOLT, "0.84", id="as a person types it"),
        pytest.param("0.840mV", DROP_MILLIVOLT, "0.840", id="digits kept, no space"),
        pytest.param("  0.84\tmV ", DROP_MILLIVOLT, "0.84", id="spaces around"),
        pytest.param("0.84 millivolts", DROP_MILLIVOLT, "0.84", id="unit in words"),
        pytest.param("100 A", CURRENT_AMPERE, "100", id="whole number"),
        pytest.param("100 Amps", CURRENT_AMPERE, "100", id="sloppy unit"),
        pytest.param("31 °C", JOINT_CELSIUS, "31", id="degree sign"),
        pytest.param("31 ℃", JOINT_CELSIUS, "31", id="one sign for degree Celsius"),
        pytest.param("31 C", JOINT_CELSIUS, "31", id="bare C is no coulomb here"),
        pytest.param("−5 degC", JOINT_CELSIUS, "-5", id="true minus sign"),
        pytest.param("25 \u00b5\u03a9", LIMIT_MICROOHM, "25", id="micro sign and omega"),
        pytest.param("25 \u03bc\u2126", LIMIT_MICROOHM, "25", id="mu and ohm sign"),
        pytest.param("25 uohm", LIMIT_MICROOHM, "25", id="microohm in ASCII"),
        pytest.param("12 Nm", TORQUE_NEWTON_METRE, "12", id="Nm is no textile count"),
        pytest.param("12 N·m", TORQUE_NEWTON_METRE, "12", id="dotted product"),
    ],
)
def test_a_number_in_the_fields_own_unit_is_kept_as_it_is(text: str, field: Field, decimal_text: str) -> None:
    assert read_measured(text, field) == Measured(decimal_text, None)


@pytest.mark.parametrize(
    ("text", "field", "decimal_text"),
    [
        pytest.param("840 uV", DROP_MILLIVOLT, "0.840", id="a smaller prefix keeps its digits"),
        pytest.param("840 µV", DROP_MILLIVOLT, "0.840", id="micro sign"),
        pytest.param("0.00084 V", DROP_MILLIVOLT, "0.84", id="a greater prefix adds none"),
        pytest.param("8.4E-04 V", DROP_MILLIVOLT, "0.84", id="exponent of a logger"),
        pytest.param("0.15 kA", CURRENT_AMPERE, "150", id="kiloampere"),
        pytest.param("0.025 milliohm", LIMIT_MICROOHM, "25", id="milliohm"),
        # 300 x 4.4482216152605 N, exact.
        pytest.param("300 lbf", PULL_NEWTON, "1334.46648457815", id="pounds of force"),
        pytest.param("100 kgf", PULL_NEWTON, "980.665", id="kilograms of force"),
        pytest.param("2.4 kN", PULL_NEWTON, "2400", id="kilonewton"),
        pytest.param("4 ft", LENGTH_METRE, "1.2192", id="feet"),
        pytest.param("1250 mm", LENGTH_METRE, "1.250", id="millimetres"),
        pytest.param('0.375 "', STUD_MILLIMETRE, "9.525", id="inches by sign"),
        # 9 x 0.3048 x 4.4482216152605 N m, exact.
        pytest.param("9 ft-lb", TORQUE_NEWTON_METRE, "12.2023615349826036", id="as torque wrenches say it"),
        pytest.param("68 degF", JOINT_CELSIUS, "20", id="Fahrenheit that ends"),
        pytest.param("72 F", JOINT_CELSIUS, "22.2222222222", id="Fahrenheit that does not"),
        pytest.param("293.15 K", JOINT_CELSIUS, "20", id="kelvin"),
    ],
)
def test_a_number_in_another_unit_is_converted_and_kept_as_typed(
    text: str, field: Field, decimal_text: str
) -> None:
    assert read_measured(text, field) == Measured(decimal_text, text)


@pytest.mark.parametrize(
    ("text", "decimal_text"),
    [
        (".84 mV", "0.84"),
        ("5. mV", "5"),
        ("+0.84 mV", "0.84"),
        ("007 mV", "7"),
        ("-0.00 mV", "0.00"),
        ("1e2 mV", "100"),
    ],
)
def test_an_odd_spelling_of_a_number_becomes_the_plain_one(text: str, decimal_text: str) -> None:
    read = read_measured(text, DROP_MILLIVOLT)

    assert read.decimal_text == decimal_text
    assert read.as_typed == (None if text == "+0.84 mV" else text)


@pytest.mark.parametrize(
    ("text", "decimal_comma", "decimal_text"),
    [
        pytest.param("0,84", None, "0.84", id="comma that groups nothing"),
        pytest.param("4,2", None, "4.2", id="one digit after it"),
        pytest.param("0,840", None, "0.840", id="nothing starts a group with 0"),
        pytest.param("1234,567", None, "1234.567", id="four digits are no group"),
        pytest.param("1.234,5", None, "1234.5", id="both marks, comma last"),
        pytest.param("1,234.5", None, "1234.5", id="both marks, point last"),
        pytest.param("1 234,5", None, "1234.5", id="grouped by space"),
        pytest.param("1\u202f234", None, "1234", id="grouped by narrow no-break space"),
        pytest.param("1.234", None, "1.234", id="a point is a point until someone says otherwise"),
        pytest.param("1,234", True, "1.234", id="comma said to mark decimals"),
        pytest.param("1.234,5", True, "1234.5", id="then the point groups"),
        pytest.param("1,234", False, "1234", id="comma said to group"),
        pytest.param("1,234.5", False, "1234.5", id="then the point marks decimals"),
    ],
)
def test_commas_are_read_only_in_the_one_way_they_can_be_meant(
    text: str, decimal_comma: bool | None, decimal_text: str
) -> None:
    read = read_measured(text, PULL_NEWTON, unit="N", decimal_comma=decimal_comma)

    assert read.decimal_text == decimal_text


def test_a_bare_number_is_in_the_unit_of_its_heading() -> None:
    assert read_measured("300", PULL_NEWTON, unit="lbf").decimal_text == "1334.46648457815"


def test_a_unit_in_the_text_wins_over_the_heading() -> None:
    assert read_measured("300 N", PULL_NEWTON, unit="lbf") == Measured("300", None)


def test_a_measured_number_has_a_value() -> None:
    assert read_measured("840 uV", DROP_MILLIVOLT).value == 0.84


@pytest.mark.parametrize(
    ("text", "field", "kind", "sentence"),
    [
        pytest.param(
            "heavy",
            DROP_MILLIVOLT,
            errors.NotANumber,
            '"heavy" is not a number for the millivolt drop; type it like "0.84 mV".',
            id="no number",
        ),
        pytest.param(
            "9**9**9 m",
            LENGTH_METRE,
            errors.NotANumber,
            '"9**9**9 m" is not a number for the length; type it like "1.25 m".',
            id="an expression is not evaluated",
        ),
        pytest.param(
            "NaN mV",
            DROP_MILLIVOLT,
            errors.NotFinite,
            '"NaN mV" is not a finite number, so it cannot be the millivolt drop; '
            'leave it out, or type what was read, like "0.84 mV".',
            id="not a number",
        ),
        pytest.param(
            "OL",
            CURRENT_AMPERE,
            errors.NotFinite,
            '"OL" is not a finite number, so it cannot be the current; '
            'leave it out, or type what was read, like "100 A".',
            id="overload of a meter",
        ),
        pytest.param(
            "0.84",
            DROP_MILLIVOLT,
            errors.UnitMissing,
            'The millivolt drop "0.84" has no unit; type it with its unit, like "0.84 mV".',
            id="no unit",
        ),
        pytest.param(
            "4.2 MV",
            DROP_MILLIVOLT,
            errors.UnitUnknown,
            'The millivolt drop "4.2 MV" has a unit it cannot have (MV is megavolt); type it in mV, µV or V.',
            id="megavolt",
        ),
        pytest.param(
            "300 lb",
            PULL_NEWTON,
            errors.UnitUnknown,
            'The pull force "300 lb" has a unit it cannot have (lb is a mass; lbf is the force); '
            "type it in N, kN, lbf or kgf.",
            id="a mass",
        ),
        pytest.param(
            "3 furlongs",
            COUNTS,
            errors.UnitUnknown,
            'The number of counts "3 furlongs" has a unit it cannot have; type it in counts.',
            id="no unit of ours",
        ),
        pytest.param(
            "1,234 mV",
            DROP_MILLIVOLT,
            errors.TwoMeanings,
            'The millivolt drop "1,234 mV" can mean 1.234 or 1234; type the one you mean, without a comma.',
            id="comma",
        ),
        pytest.param(
            "70 %",
            PERCENT_OF_READING,
            errors.OutOfRange,
            'The accuracy "70 %" is outside 0 % to 50 %; look again at the number and its unit.',
            id="too great",
        ),
        pytest.param(
            "1e400 V",
            ZERO_MILLIVOLT,
            errors.OutOfRange,
            'The reading at zero current "1e400 V" is outside -1000 mV to 1000 mV; '
            "look again at the number and its unit.",
            id="far too great",
        ),
    ],
)
def test_what_cannot_be_read_is_refused_in_a_plain_sentence(
    text: str, field: Field, kind: type[errors.Refusal], sentence: str
) -> None:
    with pytest.raises(kind) as refused:
        read_measured(text, field)

    assert str(refused.value) == sentence


@pytest.mark.parametrize(
    "text",
    [
        "",
        "mV",
        "0.84 mV 5 mV",
        "3 ft 2 in",
        "1.2.3 mV",
        "1,2,3 mV",
        "0x1F mV",
        "٣ mV",
        "１ mV",
        "1_000 mV",
        "1/2 mV",
        "1e-99 mV",
        "0." + "0" * 80 + "1 mV",
        "--1 mV",
        "1 e2 mV",
        "0.84 mV\nmV",
        "\x00 mV",
    ],
)
def test_nothing_else_is_taken_for_a_number(text: str) -> None:
    with pytest.raises(errors.Refusal):
        read_measured(text, DROP_MILLIVOLT)


@pytest.mark.parametrize("text", ["0.1 A", "10000 A"], ids=["lowest", "highest"])
def test_the_ends_of_a_range_belong_to_it(text: str) -> None:
    assert read_measured(text, CURRENT_AMPERE).as_typed is None


@pytest.mark.parametrize("text", ["0.09999 A", "10000.1 A", "99.9 mA"])
def test_just_beyond_the_ends_of_a_range_is_refused(text: str) -> None:
    with pytest.raises(errors.OutOfRange):
        read_measured(text, CURRENT_AMPERE)


@pytest.mark.parametrize("dialect", [("0.84", "-1.5"), ("0,84", "-1,5")], ids=["points", "commas"])
def test_a_column_gives_its_numbers_its_gaps_and_its_refusals(dialect: tuple[str, str]) -> None:
    first, second = dialect
    comma = "," in first
    cells = [first, "", second, "heavy", "840 uV", "heavy", " "]

    decimals, as_typed, refusals = read_many(cells, DROP_MILLIVOLT, unit="mV", decimal_comma=comma or None)

    assert decimals == ["0.84", None, "-1.5", None, "0.840", None, None]
    assert as_typed == ({0: first, 2: second} if comma else {}) | {4: "840 uV"}
    assert {index: type(refusal) for index, refusal in refusals.items()} == {
        3: errors.NotANumber,
        5: errors.NotANumber,
    }


def test_a_column_without_a_unit_in_its_heading_has_one_in_each_cell() -> None:
    decimals, _, refusals = read_many(["300 N", "300"], PULL_NEWTON, unit=None, decimal_comma=None)

    assert decimals == ["300", None]
    assert isinstance(refusals[1], errors.UnitMissing)
