"""Conversions are exact, and Pint is asked only where one is needed."""

import subprocess
import sys
from decimal import Decimal

import pytest

from lugbook.units.registry import convert


@pytest.mark.parametrize(
    ("number", "unit", "target", "converted"),
    [
        pytest.param("0.840", "mV", "mV", "0.840", id="same unit"),
        pytest.param("840", "uV", "mV", "0.840", id="prefix, digits kept"),
        pytest.param("0.84", "V", "mV", "840", id="prefix, none added"),
        # 4.4482216152605 x 300.125, exact.
        pytest.param("300.125", "lbf", "N", "1335.0225122800575625", id="exact product"),
        pytest.param("0.1", "degF", "degC", "-17.7222222222", id="no end: 12 digits"),
        pytest.param("0", "K", "degC", "-273.15", id="absolute zero"),
    ],
)
def test_a_conversion_is_exact_where_it_ends(number: str, unit: str, target: str, converted: str) -> None:
    assert f"{convert(Decimal(number), unit, target):f}" == converted


def test_a_number_in_its_own_unit_needs_no_pint() -> None:
    program = (
        "import sys\n"
        "from lugbook.units.fields import DROP_MILLIVOLT\n"
        "from lugbook.units.parsing import read_measured\n"
        "read_measured('0.84 mV', DROP_MILLIVOLT)\n"
        "print('pint' in sys.modules)\n"
        "read_measured('840 uV', DROP_MILLIVOLT)\n"
        "print('pint' in sys.modules)\n"
    )

    said = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True).stdout

    assert said.split() == ["False", "True"]
