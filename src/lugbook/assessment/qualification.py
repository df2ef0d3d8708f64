"""Whether a recipe is proved by its samples."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import sqrt

from lugbook.assessment.criteria import EQUAL_LENGTH_110, Criterion
from lugbook.assessment.pull_minima import PullMinimum, conductor_newton
from lugbook.assessment.reasons import Reason
from lugbook.assessment.workmanship import checklist_item
from lugbook.inference.samples import SampleSummary, summarise_samples
from lugbook.inference.tolerance import (
    CONFIDENCE,
    SHARE,
    passes_needed,
    share_proved_by_passes,
    student_quantile,
)
from lugbook.physics.conductors import conductor_microohm
from lugbook.units.sizes import Size

QUALIFIED = "qualified"
PROVISIONAL = "provisional"
REFUSED = "refused"
NOT_JUDGED = "not judged"

CRIMPED = "crimped"
JOININGS = (CRIMPED, "soldered", "clamped")
FAILURES = ("conductor broke", "pulled out", "lug cracked", "not to failure")

FROM_SAMPLES = "the samples"
OUR_RULE = "our rule"
FEWEST_TO_QUALIFY = 5  # our rule: four or fewer say too little of the scatter
LOOSE_BELOW, TIGHT_ABOVE = 0.88, 1.10  # conductor over barrel area; SAE cable in an AWG barrel is 0.88 and up

# What each fact forces, weightiest first; a fact that is not here forces nothing.
_FORCES = {
    REFUSED: {"below minimum", "lug cracked", "serious fault", "resistance high"},
    NOT_JUDGED: {"not crimped", "no minimum", "no samples", "one sample", "all equal"},
    PROVISIONAL: {
        "pull not proved",
        "few samples",
        "outlier",
        "normality doubted",
        "resistance in doubt",
        "no resistance",
        "not looked at",
        "frequent fault",
        "barrel loose",
        "barrel tight",
    },
}


@dataclass(frozen=True, slots=True)
class SamplePull:
    """One sample pulled."""

    sample: str
    newton: float  # the greatest force it held
    failure: str  # one of FAILURES


@dataclass(frozen=True, slots=True)
class SampleResistance:
    """One sample measured."""

    sample: str
    microohm: float  # at 20 degC, between two probes
    length_metre: float  # between the same probes, along the cable


@dataclass(frozen=True, slots=True)
class SampleLook:
    """One sample looked at."""

    sample: str
    faults: tuple[str, ...]  # codes of the checklist lines answered no; empty where it was good


@dataclass(frozen=True, slots=True)
class RecipeEvidence:
    """All that is known of a recipe when it is judged."""

    size: Size
    area_mm2: float  # metal of the conductor: measured or stated, else nominal
    tinned: bool = False
    joining: str = CRIMPED
    barrel: Size | None = None  # the size the lug is made for; None where not known
    pulls: tuple[SamplePull, ...] = ()
    resistances: tuple[SampleResistance, ...] = ()
    looks: tuple[SampleLook, ...] = ()
    minimum: PullMinimum | None = (
        None  # of the standard the owner chose; None: none chosen, or none covers the size
    )
    equal_length: Criterion = EQUAL_LENGTH_110
    share: float = SHARE
    confidence: float = CONFIDENCE


@dataclass(frozen=True, slots=True)
class Qualification:
    """The verdict on a recipe."""

    verdict: str
    reasons: tuple[Reason, ...]  # weightiest first; qualification_words says them
    pull: SampleSummary  # newton; of the samples pulled to failure
    minimum: PullMinimum | None
    length_ratio: SampleSummary  # resistance over that of an equal length of conductor


def qualify_recipe(evidence: RecipeEvidence) -> Qualification:
    """The verdict on a recipe, with all facts that speak for or against it.

    refused: a sample held less than the minimum, a lug cracked, a serious fault was seen, or the resistance is
    surely over its limit. These need no number of samples.
    not judged: joined otherwise than by crimping, no minimum, fewer than two samples pulled to failure, or all
    of them equal.
    provisional: all samples passed, but the lower tolerance bound is below the minimum, there are fewer than
    five, one stands apart, they do not look normal, resistance or looks are missing or in doubt, a fault
    that is not serious was seen in half of those looked at, or the barrel does not match the conductor.
    qualified: none of these. A sample only held, not pulled to failure, is a pass or a fail and no more.
    Raises NotAShare; ItemUnknown for a fault that is not on the checklist.
    """
    to_failure = [pull.newton for pull in evidence.pulls if pull.failure != "not to failure"]
    summary = summarise_samples(to_failure, evidence.share, evidence.confidence)
    ratios = summarise_samples(length_ratios(evidence), evidence.share, evidence.confidence)
    facts = [
        *_about_joining(evidence),
        *_about_pulls(evidence, summary),
        *_about_resistance(evidence, ratios),
        *_about_looks(evidence),
    ]
    codes = {fact.code for fact in facts}
    verdict = next((verdict for verdict, forcing in _FORCES.items() if codes & forcing), QUALIFIED)
    facts.sort(key=lambda fact: _weight(fact.code))
    return Qualification(verdict, tuple(facts), summary, evidence.minimum, ratios)


def length_ratios(evidence: RecipeEvidence) -> list[float]:
    """Resistance of each sample over that of as much of its conductor: R l^-1 rho^-1 A, none below is better."""
    return [
        read.microohm / conductor_microohm(read.length_metre, evidence.area_mm2, tinned=evidence.tinned)
        for read in evidence.resistances
    ]


def barrel_fit(barrel: Size, conductor_mm2: float) -> str:
    """ "fits", "loose" (less metal than the barrel is made for: under-crimped) or "tight". Our assumption."""
    filled = conductor_mm2 / barrel.area_mm2
    return "loose" if filled < LOOSE_BELOW else "tight" if filled > TIGHT_ABOVE else "fits"


def _weight(code: str) -> int:
    return next((rank for rank, forcing in enumerate(_FORCES.values()) if code in forcing), len(_FORCES))


def _about_joining(evidence: RecipeEvidence) -> Iterator[Reason]:
    if evidence.joining != CRIMPED:
        yield Reason("not crimped", {"joining": evidence.joining}, OUR_RULE)
    if evidence.barrel is not None:
        fit = barrel_fit(evidence.barrel, evidence.area_mm2)
        if fit != "fits":
            numbers: dict[str, float | str] = {
                "barrel": evidence.barrel.text,
                "conductor": evidence.size.text,
                "filled_percent": 100 * evidence.area_mm2 / evidence.barrel.area_mm2,
            }
            yield Reason(f"barrel {fit}", numbers, OUR_RULE)


def _about_pulls(evidence: RecipeEvidence, summary: SampleSummary) -> Iterator[Reason]:
    yield from _about_count(summary)
    yield from _about_failures(evidence.pulls)
    if summary.mean is not None:
        strength = conductor_newton(evidence.area_mm2)
        yield Reason("held", {"newton": summary.mean, "percent": 100 * summary.mean / strength}, FROM_SAMPLES)
    yield from _about_shape(evidence.pulls, summary)
    if evidence.minimum is None:
        yield Reason("no minimum", {"size": evidence.size.text}, OUR_RULE)
    else:
        yield from _against_minimum(evidence, evidence.minimum, summary)


def _about_count(summary: SampleSummary) -> Iterator[Reason]:
    if summary.count == 0:
        yield Reason("no samples", {}, FROM_SAMPLES)
    elif summary.count == 1:
        yield Reason("one sample", {}, FROM_SAMPLES)
    elif summary.all_equal:
        numbers = {"count": float(summary.count), "newton": float(summary.mean or 0)}
        yield Reason("all equal", numbers, FROM_SAMPLES)
    elif summary.count < FEWEST_TO_QUALIFY:
        proved = share_proved_by_passes(summary.count, summary.confidence)
        numbers = {
            "count": float(summary.count),
            "proved_percent": 100 * proved,
            "confidence_percent": 100 * summary.confidence,
            "fewest": float(FEWEST_TO_QUALIFY),
        }
        yield Reason("few samples", numbers, OUR_RULE)


def _about_failures(pulls: Sequence[SamplePull]) -> Iterator[Reason]:
    counts = {failure: sum(pull.failure == failure for pull in pulls) for failure in FAILURES}
    if counts["lug cracked"]:
        cracked = [pull.sample for pull in pulls if pull.failure == "lug cracked"]
        yield Reason("lug cracked", {"sample": cracked[0], "count": float(len(cracked))}, FROM_SAMPLES)
    modes = {failure: count for failure, count in counts.items() if count and failure != "not to failure"}
    if len(modes) > 1:
        yield Reason("failures mixed", {mode: float(count) for mode, count in modes.items()}, FROM_SAMPLES)
    if held := [pull.newton for pull in pulls if pull.failure == "not to failure"]:
        yield Reason("only held", {"count": float(len(held)), "newton": min(held)}, FROM_SAMPLES)


def _about_shape(pulls: Sequence[SamplePull], summary: SampleSummary) -> Iterator[Reason]:
    to_failure = [pull for pull in pulls if pull.failure != "not to failure"]
    for place in summary.outliers:
        apart = to_failure[place]
        others = [pull.newton for pull in to_failure if pull is not apart]
        numbers: dict[str, float | str] = {
            "sample": apart.sample,
            "newton": apart.newton,
            "others_newton": sum(others) / len(others),
        }
        yield Reason("outlier", numbers, "Grubbs's test, Rosner 1983 for several, 5 %")
    if summary.normality in ("doubted", "strongly doubted"):
        how: dict[str, float | str] = {
            "how": summary.normality,
            "count": float(summary.count),
            "share_percent": 100 * summary.share,
            "confidence_percent": 100 * summary.confidence,
            "passes": float(passes_needed(summary.share, summary.confidence)),
        }
        yield Reason("normality doubted", how, "Anderson-Darling test, Stephens 1986")


def _against_minimum(
    evidence: RecipeEvidence, minimum: PullMinimum, summary: SampleSummary
) -> Iterator[Reason]:
    low = [
        pull for pull in evidence.pulls if pull.newton < minimum.newton and pull.failure != "not to failure"
    ]
    if low:
        worst = min(low, key=lambda pull: pull.newton)
        numbers: dict[str, float | str] = {
            "sample": worst.sample,
            "newton": worst.newton,
            "count": float(len(low)),
            "minimum_newton": minimum.newton,
            "standard": minimum.standard,
        }
        yield Reason("below minimum", numbers, minimum.cited)
    elif summary.lower_bound is not None:
        numbers = {
            "bound_newton": summary.lower_bound,
            "share_percent": 100 * summary.share,
            "confidence_percent": 100 * summary.confidence,
            "count": float(summary.count),
            "minimum_newton": minimum.newton,
            "standard": minimum.standard,
        }
        proved = summary.lower_bound >= minimum.newton
        yield Reason("pull proved" if proved else "pull not proved", numbers, minimum.cited)
    percent = 100 * minimum.newton / conductor_newton(evidence.area_mm2)
    worth: dict[str, float | str] = {
        "standard": minimum.standard,
        "stated": minimum.stated,
        "newton": minimum.newton,
        "percent": percent,
    }
    yield Reason("worth", worth, minimum.cited)
    if minimum.from_memory:
        yield Reason("minimum from memory", {"standard": minimum.standard}, minimum.cited)


def _about_resistance(evidence: RecipeEvidence, ratios: SampleSummary) -> Iterator[Reason]:
    if ratios.mean is None:
        yield Reason("no resistance", {}, OUR_RULE)
        return
    limit = evidence.equal_length.limit
    least = ratios.mean
    if ratios.count > 1 and ratios.sd is not None:
        t = student_quantile(ratios.confidence, ratios.count - 1)
        least -= t * ratios.sd / sqrt(ratios.count)
    numbers = {"ratio": ratios.mean, "limit": limit, "count": float(ratios.count)}
    if ratios.mean <= limit:
        code = "resistance good"
    elif least > limit and ratios.count > 1:
        code = "resistance high"
    else:
        code = "resistance in doubt"
    yield Reason(code, numbers, evidence.equal_length.cited)


def _about_looks(evidence: RecipeEvidence) -> Iterator[Reason]:
    if not evidence.looks:
        yield Reason("not looked at", {}, OUR_RULE)
    seen = [(checklist_item(code), look.sample) for look in evidence.looks for code in look.faults]
    for item in dict.fromkeys(item for item, _ in seen):
        samples = [sample for other, sample in seen if other is item]
        numbers: dict[str, float | str] = {
            "fault": item.fault,
            "sample": samples[0],
            "count": float(len(samples)),
            "looked_at": float(len(evidence.looks)),
        }
        often = len(samples) > 1 and 2 * len(samples) >= len(evidence.looks)
        code = "serious fault" if item.serious else "frequent fault" if often else "minor fault"
        yield Reason(code, numbers, item.source)
