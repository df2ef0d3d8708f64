"""What the materials of a set of cables cost, beside a quoted price for bought ones."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from lugbook.errors import CurrenciesMixed


@dataclass(frozen=True, slots=True)
class Price:
    """Money, in the owner's currency."""

    amount: Decimal
    currency: str  # as the owner writes it: "EUR"


@dataclass(frozen=True, slots=True)
class Material:
    """One line of the list of materials: lugs, sleeves by the piece; cable, loom, heat shield by the metre."""

    what: str
    quantity: Decimal
    unit: str  # "piece" or "m"
    price_each: Price | None  # per unit; None where not known


@dataclass(frozen=True, slots=True)
class CostSummary:
    """The sum of the lines that have a price."""

    total: Price | None  # None where no line has a price
    unpriced: tuple[str, ...]  # lines without one: the total is too low by them
    quoted: Price | None
    saved: (
        Price | None
    )  # quoted less total; below zero where bought ones are cheaper; None while a price lacks


def sum_costs(
    materials: Sequence[Material], quoted: Price | None = None, *, all_listed: bool = True
) -> CostSummary:
    """Add up the lines, and set the sum beside a quoted price. Labour and tools are in neither.

    While a line has no price, or not all that is needed is listed, nothing is known of a saving.
    Raises CurrenciesMixed where prices, the quoted one too, are not in one currency.
    """
    prices = [line.price_each for line in materials if line.price_each is not None]
    currencies = list(dict.fromkeys(price.currency for price in [*prices, *([quoted] if quoted else [])]))
    if len(currencies) > 1:
        raise CurrenciesMixed(currencies)
    total = None
    if prices:
        amount = sum((line_cost(line) for line in materials if line.price_each), Decimal(0))
        total = Price(amount, currencies[0])
    unpriced = tuple(line.what for line in materials if line.price_each is None)
    whole = all_listed and not unpriced
    saved = Price(quoted.amount - total.amount, currencies[0]) if whole and quoted and total else None
    return CostSummary(total, unpriced, quoted, saved)


def line_cost(line: Material) -> Decimal:
    """Quantity times price, to the cent; nothing where there is no price."""
    if line.price_each is None:
        return Decimal(0)
    return (line.quantity * line.price_each.amount).quantize(Decimal("0.01"))


def word_costs(summary: CostSummary) -> str:
    """One or two sentences; what is without a price is said."""
    if summary.total is None:
        return "No material has a price, so there is no cost."
    said = f"Materials come to {_money(summary.total)}"
    if summary.quoted and summary.saved:
        way = "less" if summary.saved.amount >= 0 else "more"
        gap = Price(abs(summary.saved.amount), summary.saved.currency)
        said += f", {_money(gap)} {way} than the {_money(summary.quoted)} quoted for bought cables"
    if summary.unpriced:
        said += f"; without a price, and not in it: {', '.join(summary.unpriced)}"
    if summary.quoted and not summary.saved:
        said += (
            f". Until all has its price, nothing is said of a saving on the {_money(summary.quoted)} quoted for bought "
            "cables"
        )
    return f"{said}. Labour and tools are not in it."


def _money(price: Price) -> str:
    return f"{price.amount:.2f} {price.currency}"
