"""Conversion factors against NIST Special Publication 811 (2008), Appendix B.8."""

from decimal import Decimal

import pytest

from lugbook.units.registry import convert

# Factors as printed there, to seven figures.
FACTORS = [
    ("lbf", "N", "4.448222"),
    ("kgf", "N", "9.80665"),
    ("lbf ft", "N m", "1.355818"),
    ("lbf in", "N m", "0.1129848"),
    ("in", "mm", "25.4"),
    ("ft", "m", "0.3048"),
    ("cmil", "mm2", "0.0005067075"),
    ("kcmil", "mm2", "0.5067075"),
    ("min", "s", "60"),
]


@pytest.mark.parametrize(("unit", "target", "factor"), FACTORS, ids=[row[0] for row in FACTORS])
def test_a_unit_has_its_published_factor(unit: str, target: str, factor: str) -> None:
    half_a_digit = 0.501 * 10.0 ** -len(factor.partition(".")[2])

    assert float(convert(Decimal(1), unit, target)) == pytest.approx(float(factor), abs=half_a_digit)


@pytest.mark.parametrize(
    ("fahrenheit", "celsius"),
    [("-40", "-40"), ("32", "0"), ("68", "20"), ("212", "100"), ("72", "22.2222222222")],
)
def test_fahrenheit_has_its_fixed_points(fahrenheit: str, celsius: str) -> None:
    assert convert(Decimal(fahrenheit), "degF", "degC") == Decimal(celsius)
