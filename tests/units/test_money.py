"""A price is an amount with its currency."""

import pytest

from lugbook.errors import NotAPrice
from lugbook.units.money import read_price


@pytest.mark.parametrize(
    ("text", "amount", "currency"),
    [
        ("4.20 EUR", "4.20", "EUR"),
        ("4,20 eur", "4.20", "EUR"),
        ("12GBP", "12", "GBP"),
        (" 007.5  usd ", "7.5", "USD"),
    ],
)
def test_a_price_is_read_as_typed(text: str, amount: str, currency: str) -> None:
    assert read_price(text) == (amount, currency)


@pytest.mark.parametrize(
    "text", ["4.20", "EUR", "4.200 EUR", "1,234 EUR", "-4 EUR", "4 EURO", "", "1e3 EUR", "٤ EUR"]
)
def test_what_is_no_price_is_refused(text: str) -> None:
    with pytest.raises(NotAPrice):
        read_price(text)
