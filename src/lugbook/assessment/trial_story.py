"""A trial as finished numbers for a picture: each die setting with its samples, its minimum and its bound."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from lugbook.assessment.comparing import compare_recipes
from lugbook.assessment.pull_minima import PullMinimum, conductor_newton
from lugbook.assessment.qualification import RecipeEvidence, SamplePull, length_ratios, qualify_recipe
from lugbook.assessment.qualification_words import word_proof


@dataclass(frozen=True, slots=True)
class TriedSetting:
    """One die setting."""

    recipe: str
    die: str
    pulls: tuple[SamplePull, ...]
    mean_newton: float | None
    bound_newton: float | None  # None where the samples are too few, or all equal
    strength_newton: float  # what the conductor can hold, annealed copper
    minimum: PullMinimum | None  # of the standard the owner chose
    ratios: tuple[float, ...]  # resistance over that of an equal length, one a sample measured
    ratio_limit: float
    faulty: int  # samples with a fault
    looked_at: int


@dataclass(frozen=True, slots=True)
class TrialStory:
    """Everything a picture of a trial shows."""

    title: str
    subtitle: str
    settings: tuple[TriedSetting, ...]  # in the order asked for
    share_percent: float  # of all such crimps that reach the bound
    confidence_percent: float


def tell_trial(recipes: Sequence[tuple[str, str, RecipeEvidence]]) -> TrialStory:
    """The story of recipes given as name, die setting and evidence."""
    settings = tuple(_setting(*recipe) for recipe in recipes)
    comparison = compare_recipes({name: evidence for name, _, evidence in recipes})
    names = ", ".join(one.recipe for one in settings)
    title = f"use {comparison.chosen}" if comparison.chosen else "no choice"
    why = comparison.reasons[0]
    if len(settings) == 1:
        judged = comparison.recipes[0].qualification
        title, why = judged.verdict, judged.reasons[0]
    first = recipes[0][2]
    return TrialStory(
        f"{names}: {title}",
        word_proof(why),
        settings,
        100 * first.share,
        100 * first.confidence,
    )


def _setting(name: str, die: str, evidence: RecipeEvidence) -> TriedSetting:
    judged = qualify_recipe(evidence)
    return TriedSetting(
        recipe=name,
        die=die,
        pulls=evidence.pulls,
        mean_newton=judged.pull.mean,
        bound_newton=judged.pull.lower_bound,
        strength_newton=conductor_newton(evidence.area_mm2),
        minimum=evidence.minimum,
        ratios=tuple(length_ratios(evidence)),
        ratio_limit=evidence.equal_length.limit,
        faulty=sum(bool(look.faults) for look in evidence.looks),
        looked_at=len(evidence.looks),
    )
