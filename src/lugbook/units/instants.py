"""When something was: a local or UTC time as typed, turned into one instant in UTC."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta, timezone, tzinfo
from functools import lru_cache
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from lugbook.errors import (
    DateTwoMeanings,
    Refusal,
    TimeImpossible,
    TimeNever,
    TimeOutOfRange,
    TimeTooFine,
    TimeTwice,
    TimeUnreadable,
    ZoneUnknown,
)

_FIRST_YEAR, _LAST_YEAR = 1970, 2199
_EPOCH_ORDINAL = date(1970, 1, 1).toordinal()

# The common form, which datetime.fromisoformat reads fast and as we mean it; of its own accord it also reads
# week dates, and cuts a seventh digit in silence.
_COMMON_FORM = re.compile(
    r"[0-9]{4}-[0-9]{2}-[0-9]{2}[T ][0-9]{2}:[0-5][0-9](?::[0-5][0-9](?:\.[0-9]{1,6})?)?Z?"
)
_DATE = (
    r"(?:(?P<year>[0-9]{4})([-/])(?P<month>[0-9]{1,2})\2(?P<day>[0-9]{1,2})"
    r"|(?P<first>[0-9]{1,2})([./])(?P<second_part>[0-9]{1,2})\6(?P<year_last>[0-9]{4}))"
)
_CLOCK = r"(?P<hour>[0-9]{1,2}):(?P<minute>[0-9]{2})(?::(?P<second>[0-9]{2})(?:[.,](?P<fraction>[0-9]+))?)?"
_OFFSET = r"(?:(?P<utc>Z|UTC)|(?P<sign>[+-])(?P<off_hour>[0-9]{2})(?::?(?P<off_minute>[0-9]{2}))?)"
_ANY_FORM = re.compile(rf"{_DATE}(?:[T ]{_CLOCK} ?{_OFFSET}?)?", re.IGNORECASE)
_LONGEST_TEXT = 64
_LARGEST_OFFSET = timedelta(hours=15)  # no place on Earth is further from UTC
_NOON = time(12)
_WHOLE_HOUR = ":00:00.000000"


@dataclass(frozen=True, slots=True)
class Instant:
    """One instant."""

    utc_text: str  # "2031-04-18T12:32:05.000000Z", always six digits
    as_typed: str | None  # what was typed; None only where it was exactly utc_text


def read_instant(text: str, zone: str = "UTC") -> Instant:
    """The instant that `text` means; a time without an offset is read on the clocks of `zone` (an IANA name).

    Read are ISO dates and times ("2031-04-18", "2031-04-18 14:32", "2031-04-18T14:32:05.5+02:00") and dates
    with points, day first ("18.04.2031 14:32"). A date alone is noon there. A date with slashes is read only
    where it can be read in one way.

    Raises TimeUnreadable, TimeImpossible, TimeTooFine, TimeOutOfRange, DateTwoMeanings, TimeTwice, TimeNever,
    ZoneUnknown.
    """
    clocks = read_zone(zone)
    return _instant_in_common_form(text, clocks) or _instant(text, clocks)


def read_instants(
    texts: Sequence[str], zone: str = "UTC"
) -> tuple[list[str | None], dict[int, str], dict[int, Refusal]]:
    """A whole column: UTC texts (None where the cell is empty), as typed by index, refusals by index.

    As read_instant for each text, but a refused text is None in the list and its refusal stands in the third.
    """
    clocks = read_zone(zone)
    utc_texts: list[str | None] = []
    as_typed: dict[int, str] = {}
    refusals: dict[int, Refusal] = {}
    known: dict[str, Instant | Refusal | None] = {}
    for index, text in enumerate(texts):
        utc_text = _utc_text_by_the_hour(text, clocks)
        if utc_text is not None:
            utc_texts.append(utc_text)
            if utc_text != text:
                as_typed[index] = text
            continue
        if text not in known:
            known[text] = _instant_or_refusal(text, clocks)
        found = known[text]
        if isinstance(found, Instant):
            utc_texts.append(found.utc_text)
            if found.as_typed is not None:
                as_typed[index] = found.as_typed
            continue
        utc_texts.append(None)
        if found is not None:
            refusals[index] = found
    return utc_texts, as_typed, refusals


@lru_cache(maxsize=64)
def read_zone(name: str) -> ZoneInfo:
    """The clocks of an IANA time zone such as "Europe/Lisbon". Raises ZoneUnknown."""
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError) as error:  # OSError: the name of a folder of zones
        raise ZoneUnknown(name) from error


def day_of(utc_text: str) -> float:
    """Days since 1970-01-01 UTC of an instant's `utc_text`."""
    day = date.fromisoformat(utc_text[:10]).toordinal() - _EPOCH_ORDINAL
    hour, minute, second = int(utc_text[11:13]), int(utc_text[14:16]), float(utc_text[17:26])
    return day + (hour * 3600 + minute * 60 + second) / 86_400


def _utc_text_by_the_hour(text: str, zone: ZoneInfo) -> str | None:
    """As `_instant_in_common_form`, where only the hour differs between the zone and UTC: much faster."""
    if not _COMMON_FORM.fullmatch(text):
        return None
    utc_hour = _utc_hour(text[:13], read_zone("UTC") if text[-1] == "Z" else zone)
    if utc_hour is None:
        return None
    rest = text[13:].rstrip("Z")
    return utc_hour + rest + _WHOLE_HOUR[len(rest) :] + "Z"


@lru_cache(maxsize=16_384)
def _utc_hour(hour_text: str, zone: ZoneInfo) -> str | None:
    """The hour in UTC ("2031-04-18T12") of an hour on the zone's clocks; None for every odd case."""
    try:
        hour, offset = datetime.fromisoformat(hour_text), _steady_offset(hour_text, zone)
    except ValueError:
        return None
    if offset is None or offset % timedelta(hours=1) or not _FIRST_YEAR + 1 < hour.year < _LAST_YEAR - 1:
        return None
    return (hour - offset).isoformat(timespec="hours")


def _instant_in_common_form(text: str, zone: ZoneInfo) -> Instant | None:
    """The instant of an ISO time on its zone's clocks or in UTC; None leaves every odd case to `_instant`."""
    if not _COMMON_FORM.fullmatch(text):
        return None
    try:
        if text[-1] == "Z":
            utc = datetime.fromisoformat(text[:-1])
        else:
            offset = _steady_offset(text[:13], zone)
            if offset is None:
                return None
            utc = datetime.fromisoformat(text) - offset
    except ValueError:
        return None
    if not _FIRST_YEAR < utc.year < _LAST_YEAR:
        return None
    utc_text = utc.isoformat(timespec="microseconds") + "Z"
    return Instant(utc_text, None if text == utc_text else text)


@lru_cache(maxsize=16_384)
def _steady_offset(hour_text: str, zone: ZoneInfo) -> timedelta | None:
    """What local time is ahead of UTC in that hour ("2031-04-18T14"); None where clocks changed in it."""
    start = datetime.fromisoformat(hour_text)
    ends = (start, start + timedelta(minutes=59, seconds=59, microseconds=999_999))
    offsets = {zone.utcoffset(end.replace(fold=fold)) for end in ends for fold in (0, 1)}
    return offsets.pop() if len(offsets) == 1 else None


def _instant_or_refusal(text: str, zone: ZoneInfo) -> Instant | Refusal | None:
    if not text.strip():
        return None
    try:
        return _instant_in_common_form(text, zone) or _instant(text, zone)
    except Refusal as refusal:
        return refusal


def _instant(text: str, zone: ZoneInfo) -> Instant:
    plain = text.strip()
    moment = _moment(plain, text)
    if not _FIRST_YEAR <= moment.year <= _LAST_YEAR:
        raise TimeOutOfRange(text, _FIRST_YEAR, _LAST_YEAR)
    offset = moment.utcoffset()
    if offset is None:
        offset = _offset_on_the_clocks(moment, zone, text)
    elif abs(offset) > _LARGEST_OFFSET:
        raise TimeImpossible(text)
    utc_text = (moment.replace(tzinfo=None) - offset).isoformat(timespec="microseconds") + "Z"
    return Instant(utc_text, None if plain == utc_text else plain)


def _moment(plain: str, text: str) -> datetime:
    """The time as written, with its offset where it states one."""
    parts = _ANY_FORM.fullmatch(" ".join(plain.split())) if len(plain) <= _LONGEST_TEXT else None
    if parts is None:
        raise TimeUnreadable(text)
    try:
        return _moment_of(parts, text)
    except ValueError as error:
        raise TimeImpossible(text) from error


def _moment_of(parts: re.Match[str], text: str) -> datetime:
    day = _date(parts, text)
    if parts["hour"] is None:
        return datetime.combine(day, _NOON)
    fraction = parts["fraction"] or "0"
    if len(fraction) > 6:
        raise TimeTooFine(text)
    hour, minute, second = int(parts["hour"]), int(parts["minute"]), int(parts["second"] or 0)
    clock = time(hour, minute, second, int(fraction.ljust(6, "0")), tzinfo=_stated_offset(parts))
    return datetime.combine(day, clock)


def _date(parts: re.Match[str], text: str) -> date:
    if parts["year"]:
        return date(int(parts["year"]), int(parts["month"]), int(parts["day"]))
    year, first, second = int(parts["year_last"]), int(parts["first"]), int(parts["second_part"])
    if parts[6] == ".":
        return date(year, second, first)
    if first <= 12 and second <= 12 and first != second:
        raise DateTwoMeanings(text, str(date(year, second, first)), str(date(year, first, second)))
    return date(year, first, second) if first <= 12 else date(year, second, first)


def _stated_offset(parts: re.Match[str]) -> tzinfo | None:
    if parts["utc"]:
        return UTC
    if parts["sign"] is None:
        return None
    hours, minutes = int(parts["off_hour"]), int(parts["off_minute"] or 0)
    if minutes > 59:
        raise ValueError("an offset has at most 59 minutes")
    offset = timedelta(hours=hours, minutes=minutes)
    return timezone(-offset if parts["sign"] == "-" else offset)


def _offset_on_the_clocks(moment: datetime, zone: ZoneInfo, text: str) -> timedelta:
    """What that local time is ahead of UTC; refused where the clocks showed it twice or never."""
    before = zone.utcoffset(moment)
    after = zone.utcoffset(moment.replace(fold=1))
    assert before is not None  # only a time without a date has none
    assert after is not None
    if before > after:
        raise TimeTwice(text.strip(), zone.key, _offset_text(before), _offset_text(after))
    if before < after:
        raise TimeNever(text.strip(), zone.key, _offset_text(before), _offset_text(after))
    return before


def _offset_text(offset: timedelta) -> str:
    minutes = round(offset.total_seconds() / 60)
    return f"{'-' if minutes < 0 else '+'}{abs(minutes) // 60:02d}:{abs(minutes) % 60:02d}"
