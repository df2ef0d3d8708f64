"""How numbers, times and chances are said: no more digits than are known."""

from __future__ import annotations

import math
from datetime import UTC, datetime
from decimal import Context, Decimal

from lugbook.units.instants import read_zone
from lugbook.units.symbols import shown

_MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)
_NOT_KNOWN = "not known"
_WIDE = Context(prec=700)  # any two floats side by side


def word_number(value: float, digits: int = 3) -> str:
    """The number to so many significant digits, never with an exponent: 1234.5 to 3 is "1230"."""
    if not math.isfinite(value):
        return _NOT_KNOWN
    return format(Decimal(f"{value:.{digits - 1}e}") + 0, "f")  # + 0: no minus sign on nothing


def word_with_uncertainty(value: float, sd: float, unit: str) -> str:
    """Number and uncertainty in `unit`: two significant digits of `sd`, and the number to the same place.

    "84.2 ± 1.3 µΩ"; "1230 ± 130 µΩ". Where `sd` is 0 or not finite the number stands alone with three
    significant digits. After GUM 7.2.6: one or two digits of the uncertainty, the number rounded to agree.
    """
    if not math.isfinite(value):
        return _NOT_KNOWN
    if not math.isfinite(sd) or sd <= 0:
        return f"{word_number(value)} {shown(unit)}".rstrip()
    rounded_sd = Decimal(f"{sd:.1e}")
    place = Decimal(1).scaleb(int(f"{sd:.1e}".split("e")[1]) - 1)
    rounded = Decimal(repr(value)).quantize(place, context=_WIDE) + 0
    return f"{rounded:f} ± {rounded_sd:f} {shown(unit)}".rstrip()


def word_chance(probability: float) -> str:
    """A probability in whole percent: "97 %", and never a "0 %" or "100 %" that nobody can know."""
    if not math.isfinite(probability):
        return _NOT_KNOWN
    if probability < 0.01:
        return "under 1 %"
    if probability > 0.99:
        return "over 99 %"
    return f"{probability * 100:.0f} %"


def word_date(utc_text: str, zone: str = "UTC") -> str:
    """The day of an instant on the calendar of `zone`: "18 April 2031"."""
    moment = _on_the_clocks_of(zone, utc_text)
    return f"{moment.day} {_MONTHS[moment.month - 1]} {moment.year}"


def word_time(utc_text: str, zone: str = "UTC") -> str:
    """An instant on the clocks of `zone`, to the minute, as `read_instant` reads it: "2031-04-18 14:32"."""
    return f"{_on_the_clocks_of(zone, utc_text):%Y-%m-%d %H:%M}"


def _on_the_clocks_of(zone: str, utc_text: str) -> datetime:
    return datetime.fromisoformat(utc_text[:26]).replace(tzinfo=UTC).astimezone(read_zone(zone))
