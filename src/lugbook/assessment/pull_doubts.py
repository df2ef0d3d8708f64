"""Whether a pull typed for a conductor is believable, before it is written down."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median

from lugbook.assessment.pull_minima import NEWTON_PER_LBF, conductor_newton
from lugbook.units.wording import word_number

NEWTON_PER_KGF = 9.80665  # exact
_SLIPS = {
    "typed in kgf, meant in lbf": NEWTON_PER_KGF / NEWTON_PER_LBF,
    "typed in lbf, meant in kgf": NEWTON_PER_LBF / NEWTON_PER_KGF,
    "typed in lbf, meant in N": NEWTON_PER_LBF,
    "typed in N, meant in lbf": 1 / NEWTON_PER_LBF,
    "typed in kgf, meant in N": NEWTON_PER_KGF,
    "typed in N, meant in kgf": 1 / NEWTON_PER_KGF,
}
_POINT_SLIPPED = (10.0, 0.1, 100.0, 0.01)
_SLIP_WITHIN = 0.10  # the ratio lies so near to that of a slip; samples scatter by some percent
_APART = 5.0  # beyond this many times the others, either way, it is no mere scatter (our assumption)


@dataclass(frozen=True, slots=True)
class PullDoubt:
    """Why a force should be looked at again."""

    code: str  # "no force", "beyond conductor", "apart"
    pull_newton: float
    against_newton: float  # what the conductor can hold, or the middle of the other samples
    slip: str  # '' or the question whether it was a certain slip


def doubt_pull(
    pull_newton: float, area_mm2: float | None, others_newton: Sequence[float] = (), unit: str = ""
) -> PullDoubt | None:
    """None where the force is believable for a conductor of `area_mm2` whose other samples held `others_newton`.

    Beyond the strength of annealed copper it may be a slip of a unit, or a conductor harder or larger than its
    name; to be confirmed, not refused for good. None of an unknown area is beyond it. One other sample is enough
    to compare with: five times as much or as little is doubted, and so is what lies a unit apart (2.2, 4.4, 9.8).
    `unit` is the one it was typed in, '' where not known: a slip of another unit is not guessed at.
    """
    if not pull_newton > 0:
        return PullDoubt("no force", pull_newton, 0.0, "")
    others = [other for other in others_newton if other > 0]
    middle = median(others) if others else 0.0
    ratio = pull_newton / middle if others else 1.0
    slip = _slip(ratio, unit)
    strength = conductor_newton(area_mm2) if area_mm2 else 0.0
    if area_mm2 and pull_newton > strength:
        return PullDoubt("beyond conductor", pull_newton, strength, slip)
    is_apart = not 1 / _APART < ratio < _APART or _units_apart(ratio)
    return PullDoubt("apart", pull_newton, middle, slip) if is_apart else None


def word_pull_doubt(found: PullDoubt) -> str:
    """One sentence, without the name of the sample."""
    typed = f"{word_number(found.pull_newton)} N"
    if found.code == "no force":
        return f"{found.pull_newton:g} N is no pull; type the greatest force the sample held"
    perhaps = f": {found.slip}?" if found.slip else "; look again at the number and its unit"
    against = word_number(found.against_newton)
    if found.code == "beyond conductor":
        return f"{typed} is more than this conductor can hold (about {against} N, annealed copper){perhaps}"
    times = word_number(found.pull_newton / found.against_newton, 2)
    return f"{typed} is {times} times what the other samples held ({against} N){perhaps}"


def units_mixed(units: Sequence[str]) -> str:
    """'' or a sentence for samples of one trial whose forces were typed in different units, in order of typing."""
    kinds = list(dict.fromkeys(units))
    if len(kinds) < 2:
        return ""
    counted = ", ".join(f"{sum(unit == kind for unit in units)} in {kind}" for kind in kinds)
    return (
        f"The forces were typed in different units ({counted}); all were turned into newtons: "
        "look again that each was read in the unit typed."
    )


def _slip(ratio: float, unit: str) -> str:
    """The slips that make such a ratio, as a question; '' for none."""
    units = [name for name in _units_apart(ratio) if not unit or name.startswith(f"typed in {unit},")]
    asked = [f"was it {units[0]}"] if units else []
    if any(_is_near(ratio, factor) for factor in _POINT_SLIPPED):
        asked.insert(0, "did the decimal point slip")
    return ", or ".join(asked)


def _units_apart(ratio: float) -> list[str]:
    """The mixed units that make such a ratio, the nearest first."""
    near = [name for name, factor in _SLIPS.items() if _is_near(ratio, factor)]
    return sorted(near, key=lambda name: abs(ratio / _SLIPS[name] - 1))


def _is_near(ratio: float, factor: float) -> bool:
    return abs(ratio / factor - 1) < _SLIP_WITHIN
