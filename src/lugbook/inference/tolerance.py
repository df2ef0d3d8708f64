"""What a few samples prove of all that will be made the same way: tolerance bounds and shares."""

from __future__ import annotations

from functools import lru_cache
from math import exp, inf, log, sqrt
from statistics import NormalDist

from lugbook.errors import NotAShare, TooFewSamples

CONFIDENCE = 0.95
SHARE = 0.99
_NORMAL = NormalDist()
_NODES = 600


def k_factor(
    count: int, share: float = SHARE, confidence: float = CONFIDENCE, *, freedom: int | None = None
) -> float:
    """One-sided tolerance factor of a normal sample: mean - k s is below a `share` of all, with `confidence`.

    k = t'(confidence; nu, delta) / sqrt n, delta = z_share sqrt n, t' the quantile of noncentral t.
    n = `count` samples behind the mean; nu = `freedom` degrees of freedom behind s, n - 1 unless s is pooled
    over several settings. For nu >= n - 1 >= 1 or, pooled, n >= 1; independent, normal samples.
    Example, NIST e-Handbook 7.2.6.3: n 43, share 0.90, confidence 0.99 gives 1.8740; n 6 gives 4.4111.

    Raises TooFewSamples, NotAShare.
    """
    freedom = count - 1 if freedom is None else freedom
    if count < 1 or freedom < 1:
        raise TooFewSamples(count)
    _check_share(share)
    _check_share(confidence)
    return _noncentral_t_quantile(confidence, freedom, _NORMAL.inv_cdf(share) * sqrt(count)) / sqrt(count)


def lower_bound(
    mean: float,
    sd: float,
    count: int,
    share: float = SHARE,
    confidence: float = CONFIDENCE,
    *,
    freedom: int | None = None,
) -> float:
    """What at least a `share` of all pieces reach, with `confidence`: mean - k s, unit of `mean` and `sd`.

    Below zero where so few samples prove nothing at all. Raises what `k_factor` raises.
    """
    return mean - k_factor(count, share, confidence, freedom=freedom) * sd


def student_quantile(probability: float, freedom: int) -> float:
    """The value that Student's t stays below with `probability`. Example: 0.975 with 5 gives 2.571."""
    _check_share(probability)
    if freedom < 1:
        raise TooFewSamples(freedom + 1)
    return _noncentral_t_quantile(probability, freedom, 0.0)


def share_proved_by_passes(passes: int, confidence: float = CONFIDENCE) -> float:
    """The share of all that will pass, at least, with `confidence`, after `passes` samples out of as many.

    share^n = 1 - confidence: if fewer passed, n passes in a row would be rarer than that. Whatever the
    distribution. Example: 3 passes prove no more than 37 %, 5 no more than 55 %. 0 after no sample.
    """
    _check_share(confidence)
    return (1 - confidence) ** (1 / passes) if passes > 0 else 0.0


def passes_needed(share: float = SHARE, confidence: float = CONFIDENCE) -> int:
    """Samples that must all pass to prove a `share` with `confidence` without assuming a distribution.

    The least n with share^n <= 1 - confidence. Example: 29 for 90 % and 299 for 99 %, at 95 % confidence.
    """
    _check_share(share)
    _check_share(confidence)
    needed = max(1, int(log(1 - confidence) / log(share)))
    while share**needed > (1 - confidence) * (1 + 1e-12):
        needed += 1
    return needed


def _check_share(share: float) -> None:
    if not 0 < share < 1:
        raise NotAShare(share)


@lru_cache(maxsize=4096)
def _noncentral_t_quantile(probability: float, freedom: int, delta: float) -> float:
    """The t with P(Z + delta <= t W) = `probability`, Z standard normal, W = chi_nu / sqrt nu.

    P = E_W Phi(t W - delta). Over u = ln W the integrand is smooth and dies away at both ends, where the
    trapezoid rule is exact to all digits that matter; then bisection, for P grows with t.
    """
    nodes = _chi_nodes(freedom)

    def below(t: float) -> float:
        return sum(weight * _NORMAL.cdf(t * w - delta) for w, weight in nodes)

    low, high = delta - 1.0, delta + 1.0
    while below(low) > probability:
        low -= high - low
    while below(high) < probability:
        high += high - low
    while high - low > 1e-9 * max(1.0, abs(high)):
        middle = (low + high) / 2
        low, high = (middle, high) if below(middle) < probability else (low, middle)
    return (low + high) / 2


@lru_cache(maxsize=256)
def _chi_nodes(freedom: int) -> tuple[tuple[float, float], ...]:
    """W = chi_nu / sqrt nu at equal steps of ln W, with weights that sum to one."""
    spread = 1 / sqrt(2 * freedom)
    low, high = -8 * spread - 30 / freedom, log(1 + 9 * spread)
    at = [low + (high - low) * step / _NODES for step in range(_NODES + 1)]
    density = [exp(freedom * (u - (exp(2 * u) - 1) / 2)) for u in at]
    total = sum(density) or inf
    return tuple((exp(u), weight / total) for u, weight in zip(at, density, strict=True))
