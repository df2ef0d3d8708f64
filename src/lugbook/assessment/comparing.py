"""Which of several recipes to use, by pull, then resistance, then looks."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from lugbook.assessment.qualification import (
    FEWEST_TO_QUALIFY,
    FROM_SAMPLES,
    OUR_RULE,
    REFUSED,
    Qualification,
    RecipeEvidence,
    length_ratios,
    qualify_recipe,
)
from lugbook.assessment.qualification_words import word_proof
from lugbook.assessment.reasons import Reason
from lugbook.errors import listed
from lugbook.inference.choosing import AS_GOOD, MOST_MORE, Choice, choose_best
from lugbook.inference.choosing import Standing as PullStanding

FEWEST_TO_CHOOSE = 3  # samples of each recipe that could be the best, below which none is chosen (our rule)
MUCH_WORSE = 0.10  # resistance above that of another, as a part of it, from which it is said (our assumption)


@dataclass(frozen=True, slots=True)
class ComparedRecipe:
    """One recipe among those compared."""

    name: str
    qualification: Qualification
    pull: PullStanding | None  # None where it was left out
    length_ratio: float | None  # mean resistance over that of an equal length; None where not measured
    faulty_samples: int  # samples with any fault
    looked_at: int
    left_out: Reason | None  # why it cannot be chosen


@dataclass(frozen=True, slots=True)
class Comparison:
    """The recipes in order, best lower bound first and those left out last, and what may be concluded."""

    recipes: tuple[ComparedRecipe, ...]
    chosen: str | None  # None where nothing may be chosen, or the samples cannot tell
    decided_by: str  # "pull", "resistance", "faults", '' where nothing was chosen
    contenders: tuple[str, ...]  # those that could not be told apart, leader first
    more_each: (
        int | None
    )  # samples of each of the first two contenders, or of those with too few, that would tell
    reasons: tuple[Reason, ...]  # qualification_words says them


def compare_recipes(candidates: Mapping[str, RecipeEvidence]) -> Comparison:
    """Compare recipes, or the die settings of one trial, by name.

    Left out: those that are refused, and those without a sample pulled to failure or with all pulls equal.
    Of the rest the one that holds most is chosen where its samples show it (`choosing.choose_best`). Where they
    cannot tell, the one that surely conducts best of those in doubt; else the only one of them without a fault,
    if at least half the samples of each other have one. Where several are surely as good as the best (within 2 %),
    the same two decide between them, and if they do not, the greatest mean. Nothing is chosen while one that could
    be the best has fewer than three samples pulled to failure.
    Share and confidence are those of the first candidate. Raises what `qualify_recipe` raises.
    """
    judged = {name: qualify_recipe(evidence) for name, evidence in candidates.items()}
    out = {name: why for name, found in judged.items() if (why := _why_left_out(name, found))}
    held = {name: evidence for name, evidence in candidates.items() if name not in out}
    share, confidence = next(((one.share, one.confidence) for one in candidates.values()), (0.99, 0.95))
    choice = choose_best({name: _forces(one) for name, one in held.items()}, share, confidence)
    conducting = _choose_by_conducting(held, confidence)
    few = _pulled_too_few(candidates, judged, choice) if len(choice.ranked) > 1 else {}
    chosen, decided_by = (None, "") if few else _decide(held, choice, confidence)
    rows = [_row(one.name, candidates, judged, one, None) for one in choice.ranked]
    rows += [_row(name, candidates, judged, None, why) for name, why in out.items()]
    return Comparison(
        recipes=tuple(rows),
        chosen=chosen,
        decided_by=decided_by,
        contenders=(chosen,) if chosen else tuple(dict.fromkeys([*choice.contenders, *few])),
        more_each=None
        if chosen
        else max((_more_of(count) for count in few.values()), default=choice.more_each),
        reasons=(
            _too_few(few) if few else _conclusion(choice, chosen, decided_by, confidence),
            *_warnings(candidates, chosen, conducting),
            *out.values(),
        ),
    )


def _forces(evidence: RecipeEvidence) -> list[float]:
    return [pull.newton for pull in evidence.pulls if pull.failure != "not to failure"]


def _why_left_out(name: str, found: Qualification) -> Reason | None:
    codes = {"no samples", "all equal"}
    for reason in found.reasons:
        if found.verdict == REFUSED or reason.code in codes:
            return Reason("left out", {"recipe": name, "why": word_proof(reason)}, reason.source)
    return None


def _choose_by_conducting(held: Mapping[str, RecipeEvidence], confidence: float) -> Choice:
    """By conductance over that of an equal length, where more is better."""
    conducting = {
        name: [1 / ratio for ratio in length_ratios(one) if ratio > 0] for name, one in held.items()
    }
    return choose_best(conducting, confidence=confidence, as_good=0.0)


def _decide(held: Mapping[str, RecipeEvidence], choice: Choice, confidence: float) -> tuple[str | None, str]:
    """The chosen one and what decided."""
    equals = [one.name for one in choice.ranked if one.as_good] if choice.chosen else list(choice.contenders)
    if len(equals) > 1:
        among = {name: held[name] for name in equals}
        if all(one.resistances for one in among.values()):
            best = _choose_by_conducting(among, confidence).chosen
            if best:
                return best, "resistance"
        best = _only_faultless(among)
        if best:
            return best, "faults"
    return choice.chosen, "pull" if choice.chosen else ""


def _only_faultless(among: Mapping[str, RecipeEvidence]) -> str | None:
    clean = [name for name, one in among.items() if one.looks and not _faulty(one)]
    spoiled = [name for name, one in among.items() if one.looks and 2 * _faulty(one) >= len(one.looks)]
    return clean[0] if len(clean) == 1 and len(spoiled) == len(among) - 1 else None


def _faulty(evidence: RecipeEvidence) -> int:
    return sum(bool(look.faults) for look in evidence.looks)


def _pulled_too_few(
    candidates: Mapping[str, RecipeEvidence], judged: Mapping[str, Qualification], choice: Choice
) -> dict[str, int]:
    """Samples pulled to failure of each recipe that could be the best and has fewer than FEWEST_TO_CHOOSE."""
    behind = {one.name for one in choice.ranked if not (one.in_doubt or one.as_good)}
    counts = {name: len(_forces(evidence)) for name, evidence in candidates.items()}
    return {
        name: count
        for name, count in counts.items()
        if count < FEWEST_TO_CHOOSE and name not in behind and judged[name].verdict != REFUSED
    }


def _more_of(count: int) -> int:
    return FEWEST_TO_QUALIFY - count


def _too_few(few: Mapping[str, int]) -> Reason:
    numbers: dict[str, float | str] = {
        "held": listed([f"{name} has {count or 'none'}" for name, count in few.items()]),
        "more": listed([f"{_more_of(count)} more of {name}" for name, count in few.items()]),
        "fewest": float(FEWEST_TO_CHOOSE),
        "each": float(FEWEST_TO_QUALIFY),
    }
    return Reason("too few to choose", numbers, OUR_RULE)


def _conclusion(choice: Choice, chosen: str | None, decided_by: str, confidence: float) -> Reason:
    order = sorted(choice.ranked, key=lambda one: (one.name not in choice.contenders, one.behind, one.name))
    if not order:
        return Reason("none left", {}, OUR_RULE)
    if len(order) == 1:
        return Reason("one left", {"first": order[0].name}, OUR_RULE)
    sure: dict[str, float | str] = {
        "confidence_percent": 100 * confidence,
        "as_good_percent": 100 * AS_GOOD,
    }
    if decided_by in ("resistance", "faults"):
        equals = [one.name for one in order if (one.as_good if choice.chosen else one.in_doubt)]
        numbers: dict[str, float | str] = {"chosen": str(chosen), "others": listed(equals)}
        return Reason(f"chosen by {decided_by}", numbers | (sure if choice.chosen else {}), FROM_SAMPLES)
    first, second = order[0], order[1]
    numbers = {"first": first.name, "second": second.name, "behind_percent": 100 * second.behind}
    if chosen:
        return Reason("chosen by pull", numbers | {"chosen": chosen} | sure, FROM_SAMPLES)
    if choice.pooled_sd:
        numbers["scatter_percent"] = 100 * choice.pooled_sd / first.mean
    if choice.more_each:
        numbers["more_each"] = float(choice.more_each)
    else:
        numbers["most_more"] = float(MOST_MORE)
    return Reason("cannot tell", numbers, FROM_SAMPLES)


def _warnings(
    candidates: Mapping[str, RecipeEvidence], chosen: str | None, conducting: Choice
) -> Sequence[Reason]:
    found = []
    by_name = {one.name: one for one in conducting.ranked}
    if chosen in by_name and not by_name[chosen].in_doubt:
        leader = min(conducting.ranked, key=lambda one: one.behind)
        more = leader.mean / by_name[chosen].mean - 1
        if more > MUCH_WORSE:
            numbers: dict[str, float | str] = {
                "other": leader.name,
                "chosen": chosen,
                "more_percent": 100 * more,
            }
            found.append(Reason("conducts worse", numbers, FROM_SAMPLES))
    minima = {(one.minimum.standard, one.minimum.newton) for one in candidates.values() if one.minimum}
    if len(minima) > 1:
        named = ", ".join(f"{standard} {newton:.0f} N" for standard, newton in sorted(minima))
        found.append(Reason("different minima", {"minima": named}, OUR_RULE))
    return found


def _row(
    name: str,
    candidates: Mapping[str, RecipeEvidence],
    judged: Mapping[str, Qualification],
    pull: PullStanding | None,
    left_out: Reason | None,
) -> ComparedRecipe:
    evidence = candidates[name]
    return ComparedRecipe(
        name=name,
        qualification=judged[name],
        pull=pull,
        length_ratio=judged[name].length_ratio.mean,
        faulty_samples=_faulty(evidence),
        looked_at=len(evidence.looks),
        left_out=left_out,
    )
