"""How cut lists and costs look as JSON, as tables and in words."""

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lugbook.jobs.materials import CostPlan, CutPlan, PlannedCable

Table = tuple[tuple[str, ...], list[list[str]]]


def facts_of_cuts(plan: "CutPlan") -> dict[str, Any]:
    """The facts of a cut list, for JSON."""
    return {
        "cables": [_facts_of_cable(one) for one in plan.cables],
        "conductors": [
            {
                "conductor": cut.conductor, "needed_metre": cut.needed_metre, "started_metre": cut.started_metre,
                "left_metre": cut.left_metre, "least_proven": cut.proven,
                "most_above_percent": round(cut.most_above_percent, 2),
                "reels": [
                    {
                        "reel": reel.reel, "length_metre": reel.length_metre, "left_metre": reel.left_metre,
                        "pieces": [
                            {"cable": piece.name, "metre": round(piece.length_metre, 3)} for piece in reel.pieces
                        ],
                    }
                    for reel in cut.reels
                ],
            }
            for cut in plan.lists
        ],
        "not_cut": list(plan.left_out),
    }  # fmt: skip


def _facts_of_cable(cable: "PlannedCable") -> dict[str, Any]:
    parts = {part.what.replace(" ", "_"): round(part.metre, 3) for part in cable.cut.parts}
    return {
        "cable": cable.tag, "conductor": cable.conductor, "cut_metre": cable.metre, "parts_metre": parts,
        "shorter_than_stated": cable.is_short,
    }  # fmt: skip


def cables_table(plan: "CutPlan") -> Table:
    """Each cable with its cut length and what that is made of."""
    rows = [
        [
            one.tag, one.conductor, f"{one.metre:.3f}",
            " + ".join(f"{part.what} {part.metre:.3f}" for part in one.cut.parts),
        ]
        for one in plan.cables
    ]  # fmt: skip
    return ("cable", "conductor", "cut m", "made of, m"), rows


def reels_table(plan: "CutPlan") -> Table:
    """Each reel started, with the pieces that come off it in order."""
    rows = [
        [
            cut.conductor, f"{reel.reel}, {reel.length_metre:g} m",
            ", ".join(f"{piece.name} {piece.length_metre:.3f}" for piece in reel.pieces), f"{reel.left_metre:.3f}",
        ]
        for cut in plan.lists for reel in cut.reels
    ]  # fmt: skip
    return ("conductor", "reel", "pieces, longest first, m", "left m"), rows


def sentences_of_cuts(plan: "CutPlan") -> list[str]:
    """How much cable is started, and whether less would do."""
    said = []
    for cut in plan.lists:
        best = (
            "no less can hold the pieces"
            if cut.proven
            else f"no more than {cut.most_above_percent:.1f} % above the least possible"
        )
        said.append(
            f"{cut.conductor}: {cut.needed_metre:.3f} m from {cut.started_metre:g} m started, "
            f"{cut.left_metre:.3f} m left; {best}."
        )
    said += [f"Not cut: {sentence}" for sentence in plan.left_out]
    return [*said, *_sentences_of_short(plan.cables)]


def _sentences_of_short(cables: "Sequence[PlannedCable]") -> list[str]:
    return [
        f"{one.tag} comes out at {one.metre:g} m, shorter than its own length of {one.stated_metre:g} m: look again at "
        "its route, its bends and its length."
        for one in cables
        if one.is_short
    ]


def facts_of_costs(plan: "CostPlan") -> dict[str, Any]:
    """The facts of the costs, for JSON; money as decimal text."""
    from lugbook.assessment.costing import line_cost

    summary = plan.summary
    return {
        "cables": [_facts_of_cable(one) for one in plan.cables],
        "materials": [
            {
                "what": one.what, "quantity": str(one.quantity), "unit": one.unit,
                "price_each": str(one.price_each.amount) if one.price_each else None,
                "cost": str(line_cost(one)) if one.price_each else None,
            }
            for one in plan.materials
        ],
        "currency": summary.total.currency if summary.total else None,
        "total": str(summary.total.amount) if summary.total else None,
        "quoted": str(summary.quoted.amount) if summary.quoted else None,
        "saved": str(summary.saved.amount) if summary.saved else None,
        "without_price": list(summary.unpriced),
        "without_recipe": list(plan.without_recipe),
        "without_quote": list(plan.without_quote),
        "mispriced": list(plan.mispriced),
    }  # fmt: skip


def materials_table(plan: "CostPlan") -> Table:
    """Each material with its quantity and what it costs."""
    from lugbook.assessment.costing import line_cost

    rows = [
        [
            one.what, f"{one.quantity}", one.unit,
            f"{one.price_each.amount:.2f} {one.price_each.currency}" if one.price_each else "not known",
            f"{line_cost(one):.2f}" if one.price_each else "",
        ]
        for one in plan.materials
    ]  # fmt: skip
    return ("material", "quantity", "", "each", "cost"), rows


def sentences_of_costs(plan: "CostPlan") -> list[str]:
    """The sum beside the quoted price, and what is not in it."""
    from lugbook.assessment.costing import word_costs

    said = [word_costs(plan.summary)]
    if plan.without_recipe:
        said.append(
            f"Without a planned recipe, so without lugs and sealing: {', '.join(plan.without_recipe)}."
        )
    if plan.without_quote:
        said.append(
            f"No price was quoted for {', '.join(plan.without_quote)}: nothing is set beside the cost."
        )
    return [*said, *plan.mispriced, *_sentences_of_short(plan.cables)]
