"""How the budget of a reading looks as JSON and as a table with its words."""

import math
from typing import TYPE_CHECKING, Any

from lugbook.errors import listed

if TYPE_CHECKING:
    from lugbook.jobs.valuing import Valued

HEADINGS = ("component", "u µΩ", "u %", "share", "type", "shape", "belongs to", "freedom", "from")


def facts_of_budget(valued: "Valued") -> dict[str, Any]:
    """The facts of a budget, for JSON; an endless number of degrees of freedom is null."""
    budget = valued.budget
    facts = {
        "entry": valued.identity,
        "entries": list(valued.together),
        "span": valued.span,
        "microohm_20c": round(budget.microohm_20c, 6),
        "u_microohm": round(budget.u_microohm, 6),
        "own_u_microohm": round(budget.own_u_microohm, 6),
        "shared_u_microohm": round(budget.shared_u_microohm, 6),
        "coverage_factor": round(budget.coverage_factor, 4),
        "coverage": 0.95,
        "low_microohm": round(budget.low_microohm, 6),
        "high_microohm": round(budget.high_microohm, 6),
        "degrees_of_freedom": _finite(budget.degrees_of_freedom),
        "components": [
            {
                "component": one.part, "u_microohm": round(one.u_microohm, 6),
                "relative_percent": round(100 * one.relative_sd, 4), "share": round(one.variance_share, 4),
                "type": one.kind, "shape": one.shape, "shared_by_round": one.shared,
                "degrees_of_freedom": _finite(one.degrees_of_freedom), "source": one.source,
            }
            for one in budget.components
        ],
        "meters": [meter.__dict__ for meter in valued.meters],
    }  # fmt: skip
    share = valued.lug_share
    return facts if share is None else {**facts, "lug": {k: round(v, 6) for k, v in share.__dict__.items()}}


def rows_of_budget(valued: "Valued") -> list[list[str]]:
    """The lines of the table under HEADINGS."""
    from lugbook.units.wording import word_number

    belongs = "this reading" if len(valued.together) == 1 else "these readings"
    return [
        [
            one.part, word_number(one.u_microohm, 2), word_number(100 * one.relative_sd, 2),
            f"{100 * one.variance_share:.0f} %", one.kind, one.shape, "the round" if one.shared else belongs,
            "∞" if math.isinf(one.degrees_of_freedom) else f"{one.degrees_of_freedom:.0f}", one.source,
        ]
        for one in valued.budget.components
    ]  # fmt: skip


def sentences_of_budget(valued: "Valued") -> list[str]:
    """What the numbers come to, and what would make the reading worth more."""
    from lugbook.assessment.lug import word_lug_share
    from lugbook.units.wording import word_number, word_with_uncertainty

    budget = valued.budget
    value = word_with_uncertainty(budget.microohm_20c, budget.u_microohm, "microohm")
    interval = _interval(budget.low_microohm, budget.high_microohm, budget.u_microohm)
    own, shared = (word_number(u, 2) for u in (budget.own_u_microohm, budget.shared_u_microohm))
    freedom = budget.degrees_of_freedom
    alone = "this reading" if len(valued.together) == 1 else "these readings"
    said = [
        f"{valued.span}{_both_ways(valued)}: {value} at 20 °C (± one standard uncertainty: {own} µΩ of {alone} alone, "
        f"{shared} µΩ shared by the round).",
        f"95 % interval {interval} µΩ: coverage factor {budget.coverage_factor:.2f}, "
        f"{'endless' if math.isinf(freedom) else f'{freedom:.0f}'} degrees of freedom. Uncertainties after JCGM 100 "
        "(GUM), the interval from the parts' own distributions (JCGM 101).",
        *_what_would_help(valued),
    ]
    if valued.cable_known and valued.kind == "crimp":
        said.append(word_lug_share(valued.lug_share, valued.kind))
    for meter in valued.meters:
        if meter.calibration == "lapsed":
            said.append(f"The calibration of {meter.name} had lapsed on {meter.due_on}.")
        elif meter.calibration == "none on record":
            said.append(
                f"No calibration of {meter.name} is on record: its stated accuracy is taken on trust."
            )
    return said


def _both_ways(valued: "Valued") -> str:
    if len(valued.together) == 1:
        return ""
    return f", mean of both ways (entries {listed([str(entry) for entry in valued.together])})"


_REMEDIES = {
    "voltmeter, counts and last digit": "more current, or a meter with a finer last digit",
    "voltmeter, zero": "a reading at zero current (--zero), or one the other way round",
    "thermal voltage of the probes": "a reading at zero current (--zero), or one the other way round",
    "ammeter, counts and last digit": "more current",
    "ammeter, zero": "more current, or zeroing the clamp at the cable",
    "voltmeter, percent of reading": "a better voltmeter; between spans of one round this part cancels",
    "ammeter, percent of reading": "a better ammeter or a shunt; between spans of one round this part cancels",
    "where the probes stood": "marked places for the probes",
    "scatter of the repeats": "steadier contact of the probes",
    "temperature of the joint": "reading the temperature of the joint",
    "coefficient of the joint": "reading at a temperature near 20 °C, or near that of the other rounds",
}


def _what_would_help(valued: "Valued") -> list[str]:
    from lugbook.units.wording import word_chance

    first = valued.budget.components[0] if valued.budget.components else None
    if first is None or valued.budget.u_microohm < 0.01 * valued.budget.microohm_20c:
        return []
    most = f"Most of the doubt ({word_chance(first.variance_share)}) is the {first.part}"
    return [f"{most}; what helps is {_REMEDIES[first.part]}."]


def _interval(low: float, high: float, u: float) -> str:
    places = max(0, 1 - math.floor(math.log10(u))) if u > 0 else 3
    return f"{low:.{places}f} to {high:.{places}f}"


def _finite(value: float) -> float | None:
    return None if math.isinf(value) else round(value, 1)
