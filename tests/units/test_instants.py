"""A typed time is one instant in UTC, or is refused with a sentence that says why."""

import pytest

from lugbook import errors
from lugbook.units.instants import Instant, day_of, read_instant, read_instants

LISBON = "Europe/Lisbon"  # UTC+0, and UTC+1 from the last Sunday of March to the last of October


@pytest.mark.parametrize(
    ("text", "zone", "utc_text"),
    [
        pytest.param("2031-04-18", LISBON, "2031-04-18T11:00:00.000000Z", id="a date is noon there"),
        pytest.param("2031-01-18", LISBON, "2031-01-18T12:00:00.000000Z", id="in winter too"),
        pytest.param("2031-04-18 14:32", LISBON, "2031-04-18T13:32:00.000000Z", id="local time"),
        pytest.param("2031-04-18T14:32:05.5", LISBON, "2031-04-18T13:32:05.500000Z", id="with a fraction"),
        pytest.param("2031-04-18T14:32:05,25", "UTC", "2031-04-18T14:32:05.250000Z", id="comma of ISO 8601"),
        pytest.param("2031-04-18 14:32Z", LISBON, "2031-04-18T14:32:00.000000Z", id="UTC wins over the zone"),
        pytest.param("2031-04-18 14:32 UTC", LISBON, "2031-04-18T14:32:00.000000Z", id="UTC in words"),
        pytest.param("2031-04-18T14:32+05:30", LISBON, "2031-04-18T09:02:00.000000Z", id="an offset wins"),
        pytest.param("2031-04-18T14:32-0300", LISBON, "2031-04-18T17:32:00.000000Z", id="offset, no colon"),
        pytest.param("2031-04-18T23:32-03", LISBON, "2031-04-19T02:32:00.000000Z", id="offset of hours"),
        pytest.param("18.04.2031 14:32", "UTC", "2031-04-18T14:32:00.000000Z", id="points: day first"),
        pytest.param("3.4.2031", "UTC", "2031-04-03T12:00:00.000000Z", id="points, one digit"),
        pytest.param("18/04/2031", "UTC", "2031-04-18T12:00:00.000000Z", id="slashes, no month 18"),
        pytest.param("04/18/2031 9:05", "UTC", "2031-04-18T09:05:00.000000Z", id="slashes, month first"),
        pytest.param("04/04/2031", "UTC", "2031-04-04T12:00:00.000000Z", id="slashes, both the same"),
        pytest.param("2031/04/18", "UTC", "2031-04-18T12:00:00.000000Z", id="slashes, year first"),
        pytest.param("2028-02-29", "UTC", "2028-02-29T12:00:00.000000Z", id="leap day"),
        pytest.param(
            "2031-10-26 00:59:59", LISBON, "2031-10-25T23:59:59.000000Z", id="before clocks go back"
        ),
        pytest.param("2031-10-26 02:00", LISBON, "2031-10-26T02:00:00.000000Z", id="after clocks went back"),
        pytest.param(
            "2031-03-30 00:59:59", LISBON, "2031-03-30T00:59:59.000000Z", id="before clocks go forward"
        ),
        pytest.param(
            "2031-03-30 02:00", LISBON, "2031-03-30T01:00:00.000000Z", id="after clocks went forward"
        ),
        pytest.param(
            "2031-10-26 01:30+01:00", LISBON, "2031-10-26T00:30:00.000000Z", id="the first of the two"
        ),
        pytest.param("2031-10-26 01:30+00:00", LISBON, "2031-10-26T01:30:00.000000Z", id="the second"),
    ],
)
def test_a_time_is_read_on_the_clocks_of_its_place(text: str, zone: str, utc_text: str) -> None:
    assert read_instant(text, zone) == Instant(utc_text, text)


def test_the_books_own_form_is_not_kept_twice() -> None:
    text = "2031-04-18T12:32:05.000000Z"

    assert read_instant(text, LISBON) == Instant(text, None)


@pytest.mark.parametrize(
    ("text", "zone", "kind", "sentence"),
    [
        (
            "last spring",
            "UTC",
            errors.TimeUnreadable,
            '"last spring" is not a date or time that can be read; '
            'type it like "2031-04-18 14:32" or "2031-04-18".',
        ),
        (
            "2031-02-30",
            "UTC",
            errors.TimeImpossible,
            'There is no such day or time as "2031-02-30"; look again, and type it like "2031-04-18 14:32".',
        ),
        (
            "2016-12-31T23:59:60Z",
            "UTC",
            errors.TimeImpossible,
            'There is no such day or time as "2016-12-31T23:59:60Z"; '
            'look again, and type it like "2031-04-18 14:32".',
        ),
        (
            "2031-04-18T12:32:05.1234567Z",
            "UTC",
            errors.TimeTooFine,
            'The time "2031-04-18T12:32:05.1234567Z" has more than six digits after the second; '
            "type at most six.",
        ),
        (
            "0031-04-18",
            "UTC",
            errors.TimeOutOfRange,
            'The time "0031-04-18" is outside the years 1970 to 2199; look again at the year.',
        ),
        (
            "03/04/2025",
            "UTC",
            errors.DateTwoMeanings,
            'The date "03/04/2025" can mean 2025-04-03 or 2025-03-04; type the one you mean.',
        ),
        (
            "2031-10-26 01:30",
            LISBON,
            errors.TimeTwice,
            'The time "2031-10-26 01:30" came twice in Europe/Lisbon, when clocks went back; '
            "add +01:00 for the first or +00:00 for the second.",
        ),
        (
            "2031-03-30 01:30",
            LISBON,
            errors.TimeNever,
            'The time "2031-03-30 01:30" never came in Europe/Lisbon, when clocks went forward from +00:00 '
            "to +01:00; type a time that the clock showed.",
        ),
        (
            "2031-03-30 01:30",
            "Lisbon",
            errors.ZoneUnknown,
            '"Lisbon" is not a time zone; type an IANA name like "Europe/Lisbon", or UTC.',
        ),
    ],
    ids=lambda value: value.__name__ if isinstance(value, type) else None,
)
def test_a_time_that_is_no_one_instant_is_refused_in_a_plain_sentence(
    text: str, zone: str, kind: type[errors.Refusal], sentence: str
) -> None:
    with pytest.raises(kind) as refused:
        read_instant(text, zone)

    assert str(refused.value) == sentence


@pytest.mark.parametrize(
    "text",
    [
        "",
        "2031",
        "2031-04",
        "2031-W16-5",
        "20310418",
        "2031-04-1814:32",
        "2031-04-18 24:00",
        "2031-04-18 14:60",
        "2031-04-18T14",
        "2031-04-18 14:32+25:00",
        "2031-04-18 14:32+16:00",
        "2031-04-18 14:32+05:75",
        "2031-04-18 2:32 PM",
        "31.04.2031",
        "13/13/2031",
        "2027-02-29",
        "2200-01-01",
        "1969-12-31T23:00Z",
        "٢٠٣١-٠٤-١٨",
        "2031-04-18 14:32:05.",
    ],
)
def test_nothing_else_is_taken_for_a_time(text: str) -> None:
    with pytest.raises(errors.Refusal):
        read_instant(text)


@pytest.mark.parametrize("zone", ["", "Europe", "../UTC", "/etc/localtime", "no/where", "\x00", "x" * 300])
def test_nothing_else_is_taken_for_a_zone(zone: str) -> None:
    with pytest.raises(errors.ZoneUnknown):
        read_instant("2031-04-18", zone)


def test_a_whole_day_that_an_island_skipped_never_was() -> None:
    # Samoa moved over the date line at the end of 29 December 2011.
    with pytest.raises(errors.TimeNever):
        read_instant("2011-12-30", "Pacific/Apia")


def test_half_an_hour_that_comes_twice_is_seen() -> None:
    # Lord Howe Island puts its clocks back by 30 minutes, at 02:00 on the first Sunday of April.
    with pytest.raises(errors.TimeTwice):
        read_instant("2031-04-06 01:45", "Australia/Lord_Howe")

    assert read_instant("2031-04-06 01:15", "Australia/Lord_Howe").utc_text == "2031-04-05T14:15:00.000000Z"


def test_a_column_gives_its_times_its_gaps_and_its_refusals() -> None:
    cells = ["2031-04-18 14:32", "", "2031-10-26 01:30", "2031-04-18T13:32:00.000000Z", "2031-04-18"]

    utc_texts, as_typed, refusals = read_instants(cells, LISBON)

    assert utc_texts == [
        "2031-04-18T13:32:00.000000Z",
        None,
        None,
        "2031-04-18T13:32:00.000000Z",
        "2031-04-18T11:00:00.000000Z",
    ]
    assert as_typed == {0: "2031-04-18 14:32", 4: "2031-04-18"}
    assert [(index, type(refusal)) for index, refusal in refusals.items()] == [(2, errors.TimeTwice)]


@pytest.mark.parametrize(
    ("utc_text", "day"),
    [
        ("1970-01-01T00:00:00.000000Z", 0.0),
        ("1970-01-02T12:00:00.000000Z", 1.5),
        # Unix second 1 000 000 000 was 2001-09-09T01:46:40Z.
        ("2001-09-09T01:46:40.000000Z", 1_000_000_000 / 86_400),
        ("1970-01-01T00:00:00.500000Z", 0.5 / 86_400),
    ],
)
def test_days_are_counted_from_1970(utc_text: str, day: float) -> None:
    assert day_of(utc_text) == pytest.approx(day, rel=1e-15)
