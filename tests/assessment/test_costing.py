"""What materials cost, in one currency, beside a quoted price."""

from decimal import Decimal

import pytest

from lugbook.assessment.costing import Material, Price, line_cost, sum_costs, word_costs
from lugbook.errors import CurrenciesMixed


def euro(amount: str) -> Price:
    return Price(Decimal(amount), "EUR")


LUGS = Material("lug 2/0 M8", Decimal(4), "piece", euro("3.35"))
LOOM = Material("loom", Decimal("2.5"), "m", euro("1.99"))
SHIELD = Material("heat shield", Decimal(1), "m", None)


def test_a_list_is_summed_and_what_has_no_price_is_said() -> None:
    # 4 x 3.35 = 13.40; 2.5 x 1.99 = 4.975, to the cent and to even 4.98: 18.38.
    found = sum_costs([LUGS, LOOM, SHIELD], quoted=euro("40"))

    assert (line_cost(LUGS), line_cost(LOOM), line_cost(SHIELD)) == (Decimal("13.40"), Decimal("4.98"), 0)
    assert found.total == euro("18.38")
    assert word_costs(found) == (
        "Materials come to 18.38 EUR; without a price, and not in it: heat shield. Until all has its price, nothing is "
        "said of a saving on the 40.00 EUR quoted for bought cables. Labour and tools are not in it."
    )
    assert found.saved is None


def test_a_saving_is_named_where_all_is_listed_and_priced() -> None:
    # By hand: 40.00 less 13.40 and 4.98.
    assert word_costs(sum_costs([LUGS, LOOM], quoted=euro("40"))) == (
        "Materials come to 18.38 EUR, 21.62 EUR less than the 40.00 EUR quoted for bought cables. "
        "Labour and tools are not in it."
    )
    assert sum_costs([LUGS, LOOM], quoted=euro("40"), all_listed=False).saved is None


def test_bought_cables_may_be_cheaper() -> None:
    assert word_costs(sum_costs([LUGS], quoted=euro("10"))) == (
        "Materials come to 13.40 EUR, 3.40 EUR more than the 10.00 EUR quoted for bought cables. "
        "Labour and tools are not in it."
    )


def test_without_a_price_there_is_no_cost() -> None:
    found = sum_costs([SHIELD], quoted=euro("40"))

    assert (found.total, found.saved) == (None, None)
    assert word_costs(found) == "No material has a price, so there is no cost."


def test_two_currencies_are_not_added() -> None:
    with pytest.raises(CurrenciesMixed) as refused:
        sum_costs([LUGS, LOOM], quoted=Price(Decimal(40), "GBP"))

    assert str(refused.value) == "Prices in EUR and GBP cannot be added up; state all in one currency."
