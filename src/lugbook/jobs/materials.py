"""What planned cables take: how long to cut them, from which reels, what all of it costs."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from math import ceil

from lugbook.assessment.costing import CostSummary, Material, Price, sum_costs
from lugbook.assessment.cut_lengths import CutLength, cut_length
from lugbook.assessment.cutting import CutList, Piece, Reel, plan_cuts
from lugbook.errors import NothingCalled, NothingToCut, PieceTooLong, PriceByOther, StockTooShort
from lugbook.jobs.directory import Directory, Row
from lugbook.records.store import Book
from lugbook.records.tables import Cable, CableEnd, Conductor, Lug, Recipe, Terminal
from lugbook.records.tables import Price as PriceRow
from lugbook.records.tables import Reel as ReelRow

LOOM, HEAT_SHIELD = "loom", "heat shield"
PIECE, METRE = "piece", "m"


@dataclass(frozen=True)
class PlannedCable:
    """One cable to be cut."""

    tag: str
    conductor: str
    cut: CutLength
    stated_metre: float  # its own length, lug to lug

    @property
    def metre(self) -> float:
        """As it is to be cut: up to the next whole millimetre."""
        return ceil(1000 * self.cut.metre - 1e-6) / 1000

    @property
    def is_short(self) -> bool:
        """Its parts come to less than its own length."""
        return self.metre < self.stated_metre - 1e-6


@dataclass(frozen=True)
class CutPlan:
    """The cables and what comes off which reel."""

    cables: tuple[PlannedCable, ...]
    lists: tuple[CutList, ...]  # one a conductor
    left_out: tuple[str, ...]  # sentences: what the reels cannot give


@dataclass(frozen=True)
class CostPlan:
    """What the cables take and cost."""

    cables: tuple[PlannedCable, ...]
    materials: tuple[Material, ...]
    summary: CostSummary
    without_recipe: tuple[str, ...]  # cables whose lugs and sealing are not known
    without_quote: tuple[str, ...]  # cables with no quoted price; then nothing is set beside the cost
    mispriced: tuple[str, ...]  # sentences: prices for another unit, which are not counted


def plan_cut_list(book: Book, tags: Sequence[str], *, build: str | None = None) -> CutPlan:
    """The cut list of some cables; with no tag, of all that have no terminal yet.

    What the reels cannot give is left out and said. Raises NothingCalled, NothingToCut, LengthImpossible;
    PieceTooLong or StockTooShort where nothing can be cut.
    """
    with book.reading() as connection:
        directory = Directory(connection)
        planned = [_planned(directory, row) for row in _cables(directory, tags, build)]
        reels = [
            Reel(
                row["name"], row["length_metre"], directory.name(Conductor, row["conductor_id"]), row["count"]
            )
            for row in directory.rows(ReelRow).values()
        ]
    pieces = [Piece(one.tag, one.metre, one.conductor) for one in planned]
    lists, left_out = _cut_what_can_be(pieces, reels)
    if not lists:
        raise left_out[0][1]
    sentences = [
        str(refusal) if isinstance(refusal, PieceTooLong) else f"{conductor}: {refusal}"
        for conductor, refusal in left_out
    ]
    return CutPlan(tuple(planned), tuple(lists), tuple(sentences))


def _cut_what_can_be(
    pieces: Sequence[Piece], reels: Sequence[Reel]
) -> tuple[list[CutList], list[tuple[str, PieceTooLong | StockTooShort]]]:
    """A cut list a conductor without the pieces that are too long, and of which conductor what could not be cut."""
    lists: list[CutList] = []
    left_out: list[tuple[str, PieceTooLong | StockTooShort]] = []
    for conductor in dict.fromkeys(piece.conductor for piece in pieces):
        wanted = [piece for piece in pieces if piece.conductor == conductor]
        while wanted:
            try:
                lists += plan_cuts(wanted, reels)
                break
            except PieceTooLong as refusal:
                left_out.append((conductor, refusal))
                wanted = [piece for piece in wanted if piece.name != refusal.piece]
            except StockTooShort as refusal:
                left_out.append((conductor, refusal))
                break
    return lists, left_out


def plan_costs(book: Book, tags: Sequence[str], *, build: str | None = None) -> CostPlan:
    """What some cables cost, or all that have no terminal yet, beside what was quoted for them.

    A price for another unit is not counted and said. Raises NothingCalled, NothingToCut, LengthImpossible,
    CurrenciesMixed.
    """
    with book.reading() as connection:
        directory = Directory(connection)
        rows = _cables(directory, tags, build)
        planned = [_planned(directory, row) for row in rows]
        prices = {row["name"]: row for row in directory.rows(PriceRow).values()}
        counted = _pieces(directory, rows)
    metres: dict[str, Decimal] = {}
    for one in planned:
        metres[one.conductor] = metres.get(one.conductor, Decimal(0)) + Decimal(f"{one.metre:.3f}")
    for what, column in ((LOOM, "loom_metre"), (HEAT_SHIELD, "heat_shield_metre")):
        metre = sum((Decimal(repr(row[column])) for row in rows if row[column]), Decimal(0))
        if metre:
            metres[what] = metre
    wanted = [(what, metre, METRE) for what, metre in metres.items()]
    wanted += [(what, Decimal(n), PIECE) for what, n in counted.items()]
    materials = tuple(
        Material(what, quantity, unit, _price(prices, what, unit)) for what, quantity, unit in wanted
    )
    mispriced = [_priced_by_other(prices, what, unit) for what, _, unit in wanted]
    without_recipe = tuple(row["tag"] for row in rows if row["recipe_id"] is None)
    unquoted = tuple(row["tag"] for row in rows if row["quoted_amount"] is None)
    return CostPlan(
        tuple(planned),
        materials,
        sum_costs(materials, None if unquoted else _quoted(rows), all_listed=not without_recipe),
        without_recipe,
        unquoted,
        tuple(filter(None, mispriced)),
    )


def _cables(directory: Directory, tags: Sequence[str], build: str | None) -> list[Row]:
    build_id = directory.named_build(build)["id"] if build else None
    every = [
        row for row in directory.rows(Cable).values()
        if build_id in (None, directory.history.current(row["build_id"]))
    ]  # fmt: skip
    known = {row["tag"]: row for row in every}
    for tag in tags:
        if tag not in known:
            raise NothingCalled("cable", tag, "cable", list(known))
    if tags:
        return [known[tag] for tag in dict.fromkeys(tags)]
    current = directory.history.current
    ends = {current(row["cable_end_id"]) for row in directory.rows(Terminal).values()}
    made = {current(directory.row(CableEnd, end)["cable_id"]) for end in ends}
    unmade = [row for row in every if row["id"] not in made]
    if not unmade:
        raise NothingToCut
    return unmade


def _planned(directory: Directory, row: Row) -> PlannedCable:
    """A cable whose route was not measured is as long as its lug-to-lug length."""
    cut = cut_length(
        row["route_metre"] if row["route_metre"] is not None else row["length_metre"],
        service_loop_metre=row["service_loop_metre"] or 0.0,
        bends=row["bends"] or 0,
        bend_radius_metre=(row["bend_radius_millimetre"] or 0.0) / 1000,
        trim_metre=(row["trim_millimetre"] or 0.0) / 1000,
    )
    return PlannedCable(row["tag"], directory.name(Conductor, row["conductor_id"]), cut, row["length_metre"])


def _pieces(directory: Directory, rows: Sequence[Row]) -> Mapping[str, int]:
    """Lugs and sealing of the cables whose recipe is planned: two of each."""
    counted: dict[str, int] = {}
    for row in rows:
        if row["recipe_id"] is not None:
            recipe = directory.row(Recipe, row["recipe_id"])
            for what in filter(None, (directory.name(Lug, recipe["lug_id"]), recipe["sealing"])):
                counted[what] = counted.get(what, 0) + 2
    return counted


def _price(prices: Mapping[str, Row], what: str, unit: str) -> Price | None:
    row = prices.get(what)
    if row is None or _priced_by_other(prices, what, unit):
        return None
    return Price(Decimal(repr(row["amount"])), row["currency"])


def _priced_by_other(prices: Mapping[str, Row], what: str, unit: str) -> str:
    """Why the price of something does not count; '' where it does, or there is none."""
    row = prices.get(what)
    if row is None or (row["unit"] == "piece") == (unit == PIECE):
        return ""
    return str(PriceByOther(what, row["unit"], "piece" if unit == PIECE else "metre"))


def _quoted(rows: Sequence[Row]) -> Price | None:
    """The sum of what was quoted. Raises CurrenciesMixed."""
    lines = [
        Material(
            row["tag"], Decimal(1), PIECE, Price(Decimal(repr(row["quoted_amount"])), row["quoted_currency"])
        )
        for row in rows
    ]
    return sum_costs(lines).total
