"""What a typed price means: an amount and its currency."""

from __future__ import annotations

import re

from lugbook.errors import NotAPrice

_PRICE = re.compile(r"(?P<whole>[0-9]{1,7})(?:[.,](?P<cents>[0-9]{1,2}))? ?(?P<currency>[A-Za-z]{3})")


def read_price(text: str) -> tuple[str, str]:
    """Amount as decimal text and currency in capitals: "4,20 eur" is ("4.20", "EUR"). Raises NotAPrice."""
    found = _PRICE.fullmatch(" ".join(text.split()))
    if found is None:
        raise NotAPrice(text)
    cents = f".{found['cents']}" if found["cents"] else ""
    return f"{int(found['whole'])}{cents}", found["currency"].upper()
