"""How many of one unit make another, asked of Pint once for each pair."""

from __future__ import annotations

from decimal import Context, Decimal
from fractions import Fraction
from functools import cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pint import UnitRegistry

# The whole of what Pint is told. Its own list has some thousand units, among them ones that turn a slip of
# the hand into a number (`Nm` the textile count, `k` Boltzmann's constant, `a` a year); here there are none.
# pound_force: NIST SP 811 (2008) B.8, exact. circular_mil: pi/4 of a square mil, 16 digits.
_DEFINITIONS = [
    "micro- = 1e-6 = u-",
    "milli- = 1e-3 = m-",
    "centi- = 1e-2 = c-",
    "kilo- = 1e3 = k-",
    "metre = [length] = m",
    "second = [time] = s",
    "kilogram = [mass] = kg",
    "ampere = [current] = A",
    "kelvin = [temperature]; offset: 0 = K",
    "degree_Celsius = kelvin; offset: 273.15 = degC",
    "degree_Fahrenheit = 5 / 9 * kelvin; offset: 233.15 + 200 / 9 = degF",
    "minute = 60 * second = min",
    "newton = kilogram * metre / second ** 2 = N",
    "volt = newton * metre / second / ampere = V",
    "ohm = volt / ampere",
    "inch = 0.0254 * metre = in",
    "foot = 12 * inch = ft",
    "pound_force = 4.4482216152605 * newton = lbf",
    "kilogram_force = 9.80665 * newton = kgf",
    "circular_mil = 5.067074790974977e-10 * metre ** 2 = cmil",
    "percent = 0.01",
]

# Symbols that are not Pint's own names.
_PINT_NAMES = {
    "N m": "newton * metre",
    "lbf ft": "lbf * foot",
    "lbf in": "lbf * inch",
    "mm2": "millimetre ** 2",
    "microohm": "microohm",
    "in": "inch",
    "min": "minute",
    "%": "percent",
}

_WIDE = Context(prec=100)
_TWELVE_DIGITS = Context(prec=12)


def convert(number: Decimal, unit: str, target: str) -> Decimal:
    """The number of `target` in `number` of `unit`, both symbols of `units.symbols`.

    Exact where the result ends within 40 digits; one that does not (most degF) is rounded to 12 significant
    digits. A change of decimal prefix keeps the digits as typed: 840 uV is 0.840 mV.
    """
    if unit == target:
        return number
    scale, offset = _scale_and_offset(unit, target)
    power = _power_of_ten(scale)
    if power is not None and not offset:
        return _WIDE.scaleb(number, Decimal(power))
    return _as_decimal(Fraction(number) * scale + offset)


@cache
def _scale_and_offset(unit: str, target: str) -> tuple[Fraction, Fraction]:
    """Scale and offset of target = scale * unit + offset; only temperature scales have an offset."""
    quantity = _registry().Quantity
    pint_unit, pint_target = _PINT_NAMES.get(unit, unit), _PINT_NAMES.get(target, target)
    zero, one = (Fraction(quantity(Fraction(n), pint_unit).to(pint_target).magnitude) for n in (0, 1))
    return one - zero, zero


@cache
def _registry() -> UnitRegistry[Fraction]:
    from pint import UnitRegistry

    return UnitRegistry(_DEFINITIONS, non_int_type=Fraction)  # Fraction: every conversion is exact


@cache
def _power_of_ten(scale: Fraction) -> int | None:
    """3 for 1000, -3 for 1/1000; None where the scale is not a power of ten."""
    power = len(str(scale.numerator)) - len(str(scale.denominator))
    return power if scale == Fraction(10) ** power else None


def _as_decimal(exact: Fraction) -> Decimal:
    places = max(_times_divided(exact.denominator, 2), _times_divided(exact.denominator, 5))
    ends = (exact * 10**places).denominator == 1 and places <= 40
    context = _WIDE if ends else _TWELVE_DIGITS
    return context.normalize(context.divide(Decimal(exact.numerator), Decimal(exact.denominator)))


def _times_divided(number: int, prime: int) -> int:
    times = 0
    while number % prime == 0:
        number, times = number // prime, times + 1
    return times
