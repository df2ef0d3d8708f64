"""What a handful of samples says of itself: mean, scatter, bound, what stands apart, whether it looks normal."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import log, sqrt
from statistics import NormalDist, fmean, stdev

from lugbook.inference.tolerance import CONFIDENCE, SHARE, lower_bound, student_quantile

OUTLIER_LEVEL = 0.05
NORMALITY_FROM = 8  # samples; below it the published points of the test do not hold
# Stephens 1986, table for mean and sd unknown, 5 % and 1 % (memory; 5 % also seen in a quoted copy of its formula).
DOUBT_AT = 0.752
STRONG_DOUBT_AT = 1.035
_NORMAL = NormalDist()


@dataclass(frozen=True, slots=True)
class SampleSummary:
    """A sample in the unit of its values; None where the samples are too few to say."""

    count: int
    mean: float | None  # None of no sample
    sd: float | None  # n - 1 in the denominator; None of fewer than two
    lowest: float | None
    highest: float | None
    lower_bound: float | None  # None of fewer than two, or where all are equal
    share: float  # of all pieces that reach the bound
    confidence: float
    all_equal: bool  # two or more without any scatter: a stop of the gauge, or one value copied
    outliers: tuple[int, ...]  # places in the sample, farthest first; still counted in all of the above
    normality: str  # "fits", "doubted", "strongly doubted", "too few to say"


def summarise_samples(
    values: Sequence[float], share: float = SHARE, confidence: float = CONFIDENCE
) -> SampleSummary:
    """All of it at once; nothing is left out of mean, scatter and bound. Raises NotAShare."""
    count = len(values)
    mean = fmean(values) if count else None
    sd = stdev(values) if count > 1 else None
    equal = count > 1 and max(values) == min(values)
    bound = None
    if mean is not None and sd is not None and not equal:
        bound = lower_bound(mean, sd, count, share, confidence)
    return SampleSummary(
        count=count,
        mean=mean,
        sd=0.0 if equal else sd,
        lowest=min(values, default=None),
        highest=max(values, default=None),
        lower_bound=bound,
        share=share,
        confidence=confidence,
        all_equal=equal,
        outliers=find_outliers(values),
        normality=doubt_normality(values),
    )


def find_outliers(values: Sequence[float], level: float = OUTLIER_LEVEL) -> tuple[int, ...]:
    """Places of values that stand apart from the rest, farthest first, by the generalised ESD test.

    Rosner 1983, e-Handbook 1.3.5.17.3: take away the value farthest from the mean, R_i = max |x - mean| / s,
    up to r times; outliers are all up to the last i with R_i > lambda_i,
    lambda_i = (m - 1) t / sqrt((m - 2 + t^2) m), m values left, t = t'(1 - level / (2 m); m - 2).
    r is a fifth of the values, at least one, at most ten; with r = 1 it is Grubbs's test, two-sided.
    For n >= 3; its level holds from about 15 up, and is said to be near below. Example: the 54 values of
    Rosner 1983 have three.
    """
    left = dict(enumerate(values))
    taken: list[int] = []
    found = 0
    for _ in range(min(10, max(1, len(values) // 5))):
        if len(left) < 3 or (sd := stdev(left.values())) == 0:
            break
        mean = fmean(left.values())
        farthest = max(left, key=lambda place: abs(left[place] - mean))
        apart = abs(left[farthest] - mean) / sd > _farthest_expected(len(left), level)
        taken.append(farthest)
        del left[farthest]
        found = len(taken) if apart else found
    return tuple(taken[:found])


def _farthest_expected(count: int, level: float) -> float:
    t = student_quantile(1 - level / (2 * count), count - 2)
    return (count - 1) * t / sqrt((count - 2 + t * t) * count)


def anderson_darling(values: Sequence[float]) -> float:
    """Modified Anderson-Darling distance of a sample from a normal one of its own mean and sd.

    A* = A^2 (1 + 0.75/n + 2.25/n^2), A^2 = -n - sum (2i - 1)(ln F(x_i) + ln(1 - F(x_(n+1-i)))) / n, values in
    order. Stephens 1986 (seen in quoted copies of the formula); above 0.752 in 5 % of normal samples, for n >= 8.
    """
    ordered, mean, sd, n = sorted(values), fmean(values), stdev(values), len(values)
    below = [_NORMAL.cdf((value - mean) / sd) for value in ordered]
    above = [_NORMAL.cdf((mean - value) / sd) for value in reversed(ordered)]
    total = sum(
        (2 * i + 1) * (log(max(low, 1e-300)) + log(max(high, 1e-300)))
        for i, (low, high) in enumerate(zip(below, above, strict=True))
    )
    return (-n - total / n) * (1 + 0.75 / n + 2.25 / n**2)


def doubt_normality(values: Sequence[float]) -> str:
    """One of the words of `SampleSummary.normality`, for a tail bound leans on the shape it assumes."""
    if len(values) < NORMALITY_FROM or max(values) == min(values):
        return "too few to say"
    distance = anderson_darling(values)
    if distance > STRONG_DOUBT_AT:
        return "strongly doubted"
    return "doubted" if distance > DOUBT_AT else "fits"
