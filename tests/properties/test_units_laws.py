"""Laws of numbers, sizes and times as typed: what is said is read back, and nothing typed breaks a reader."""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lugbook.errors import Refusal
from lugbook.units import fields
from lugbook.units.fields import Field, unit_of_heading
from lugbook.units.instants import day_of, read_instant, read_instants
from lugbook.units.parsing import Measured, read_many, read_measured
from lugbook.units.registry import convert
from lugbook.units.sizes import read_size
from lugbook.units.symbols import shown
from lugbook.units.wording import word_number, word_time, word_with_uncertainty

FIELDS = [value for value in vars(fields).values() if isinstance(value, Field)]
ZONES = ["UTC", "Europe/Lisbon", "Australia/Lord_Howe", "America/St_Johns", "Asia/Kathmandu", "Pacific/Apia"]

# What slips of a hand look like: digits, marks, units and a little of everything else.
typed = st.one_of(
    st.text(max_size=30),
    st.text(alphabet="0123456789.,-+eE /'\u00a0\u2212naifOL", max_size=14),
    st.builds(
        "{}{}{}".format,
        st.from_regex(r"[+-]?[0-9]{0,4}[.,]?[0-9]{0,4}([eE][+-]?[0-9]{1,3})?", fullmatch=True),
        st.sampled_from(["", " "]),
        st.sampled_from(
            ["mV", "MV", "µV", "V", "A", "degF", "C", "lbf", "lb", "ft-lb", "mm²", "kcmil", "%", "in"]
        ),
    ),
    st.from_regex(
        r"[0-9]{1,4}[-./][0-9]{1,2}[-./][0-9]{1,4}([T ][0-9]{1,2}:[0-9]{2}(:[0-9]{2})?)?Z?", fullmatch=True
    ),
    st.from_regex(r"(AWG|SAE)? ?[0-9]{0,3}/?[0-9]? ?(AWG|mm2|kcmil|MCM)?", fullmatch=True),
)


@st.composite
def decimals_within(draw: st.DrawFn, field: Field) -> str:
    number = draw(
        st.decimals(
            min_value=Decimal(repr(field.low)),
            max_value=Decimal(repr(field.high)),
            places=draw(st.integers(0 if field.low == int(field.low) else 9, 9)),
        )
    )
    return format(abs(number) if number == 0 else number, "f")


@given(st.data(), st.sampled_from(FIELDS))
def test_a_number_said_with_its_unit_reads_back_as_itself(data: st.DataObject, field: Field) -> None:
    decimal_text = data.draw(decimals_within(field))

    assert read_measured(f"{decimal_text} {shown(field.unit)}", field) == Measured(decimal_text, None)


def measured_or_sentence(text: str, field: Field, *, unit: str | None, comma: bool | None) -> Measured | str:
    try:
        return read_measured(text, field, unit=unit, decimal_comma=comma)
    except Refusal as refusal:
        return str(refusal)


@given(st.data(), st.sampled_from(FIELDS))
def test_the_column_reader_reads_as_the_single_reader(data: st.DataObject, field: Field) -> None:
    texts = data.draw(st.lists(st.one_of(decimals_within(field), typed), max_size=8))
    comma = data.draw(st.sampled_from([None, True, False]))
    unit = data.draw(st.sampled_from([None, *field.accepts]))

    decimals, as_typed, refusals = read_many(texts, field, unit=unit, decimal_comma=comma)

    for index, text in enumerate(texts):
        alone = measured_or_sentence(text, field, unit=unit, comma=comma) if text.strip() else None
        if isinstance(alone, Measured):
            assert (decimals[index], as_typed.get(index)) == (alone.decimal_text, alone.as_typed)
        else:
            assert decimals[index] is None
            assert (str(refusals[index]) if index in refusals else None) == alone


@given(st.data(), st.sampled_from(FIELDS))
def test_a_conversion_and_its_way_back_change_nothing(data: st.DataObject, field: Field) -> None:
    unit = data.draw(st.sampled_from(field.accepts))
    number = Decimal(data.draw(decimals_within(field)))

    there_and_back = convert(convert(number, unit, field.unit), field.unit, unit)

    assert float(there_and_back) == pytest.approx(float(number), rel=1e-11, abs=1e-9)


@given(st.decimals(min_value=-1000, max_value=1000, places=6))
def test_a_change_of_prefix_keeps_every_digit(number: Decimal) -> None:
    microvolt = convert(number, "mV", "uV")

    assert convert(microvolt, "uV", "mV").as_tuple() == number.as_tuple()


@given(st.data(), st.sampled_from(FIELDS))
def test_what_is_read_is_a_plain_decimal_within_its_range(data: st.DataObject, field: Field) -> None:
    text, unit = data.draw(typed), data.draw(st.sampled_from([None, *field.accepts]))

    try:
        read = read_measured(text, field, unit=unit)
    except Refusal:
        return

    assert set(read.decimal_text) <= set("-0123456789.")
    assert not (read.value == 0 and read.decimal_text.startswith("-"))
    assert field.low <= read.value <= field.high
    assert read_measured(read.decimal_text, field, unit=field.unit, decimal_comma=False) == Measured(
        read.decimal_text, None
    )


def sentence_of_refusal(reader: Callable[[], object]) -> str:
    """'' where the reader reads; any other exception passes through and fails the test."""
    try:
        reader()
    except Refusal as refusal:
        return str(refusal)
    return ""


@given(typed, st.sampled_from(FIELDS), st.sampled_from(["UTC", "Europe/Lisbon"]))
def test_nothing_typed_does_anything_but_read_or_be_refused(text: str, field: Field, zone: str) -> None:
    readers: list[Callable[[], object]] = [
        lambda: read_measured(text, field),
        lambda: read_measured(text, field, unit=field.unit, decimal_comma=True),
        lambda: read_size(text),
        lambda: read_instant(text, zone),
        lambda: read_instant("2031-04-18", text),
        lambda: unit_of_heading(text, field),
    ]

    sentences = [sentence for reader in readers if (sentence := sentence_of_refusal(reader))]

    assert all("\n" not in sentence and len(sentence) < 300 for sentence in sentences)


@given(typed)
def test_a_size_that_was_read_has_a_name_that_reads_as_itself(text: str) -> None:
    try:
        size = read_size(text)
    except Refusal:
        return

    assert read_size(size.text) == size
    assert size.area_mm2 == float(size.area_text) > 0


@given(
    st.datetimes(datetime(1970, 1, 2), datetime(2199, 12, 30)),
    st.sampled_from(ZONES),
)
def test_a_time_on_the_clocks_is_read_as_the_zone_database_has_it(local: datetime, zone: str) -> None:
    text = local.isoformat(sep=" ")
    try:
        utc_text = read_instant(text, zone).utc_text
    except Refusal:
        there = {local.replace(tzinfo=ZoneInfo(zone), fold=fold).utcoffset() for fold in (0, 1)}
        assert len(there) == 2
        return

    back = datetime.fromisoformat(utc_text[:-1]).replace(tzinfo=UTC).astimezone(ZoneInfo(zone))
    assert back.replace(tzinfo=None) == local
    assert read_instants([text, utc_text], zone)[0] == [utc_text, utc_text]


@given(st.datetimes(datetime(1970, 1, 2), datetime(2199, 12, 30)), st.sampled_from(ZONES))
def test_a_time_said_reads_back_to_the_minute(moment: datetime, zone: str) -> None:
    utc_text = moment.isoformat(timespec="microseconds") + "Z"

    try:
        back = read_instant(word_time(utc_text, zone), zone).utc_text
    except Refusal:  # an hour that came twice cannot be said without its offset
        return

    assert timedelta(0) <= moment - datetime.fromisoformat(back[:-1]) < timedelta(minutes=1)
    assert day_of(back) == pytest.approx(day_of(utc_text), abs=1 / 1440)


@given(st.datetimes(datetime(1970, 1, 2), datetime(2199, 12, 30)), st.datetimes(datetime(1970, 1, 2)))
def test_days_count_in_the_order_of_time(first: datetime, second: datetime) -> None:
    first_day, second_day = (day_of(m.isoformat(timespec="microseconds") + "Z") for m in (first, second))

    assert (first_day < second_day) == (first < second) or abs(first - second) < timedelta(milliseconds=1)


@given(st.floats(), st.floats())
def test_any_number_can_be_said_without_an_exponent(value: float, sd: float) -> None:
    for said in (word_number(value), word_with_uncertainty(value, sd, "microohm")):
        assert "e" not in said.replace("not known", "").lower()


@given(st.floats(-1e9, 1e9), st.floats(1e-6, 1e6))
def test_a_number_said_with_its_uncertainty_is_within_a_digit_of_it(value: float, sd: float) -> None:
    said_value, said_sd = word_with_uncertainty(value, sd, "").split(" ± ")

    assert float(said_sd) == pytest.approx(sd, rel=0.051)
    assert float(said_value) == pytest.approx(value, abs=0.0501 * float(said_sd) + 1e-12 * abs(value))
