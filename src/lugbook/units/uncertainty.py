"""How doubts about numbers become standard uncertainties and add up (GUM, JCGM 100:2008).

Clause numbers and the example of 4.3.7 are from memory; H.2 was checked against a copy of its numbers.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence


def rectangular_sd(half_width: float) -> float:
    """Standard uncertainty where all that is known are bounds: a / sqrt 3, GUM 4.3.7, unit of `half_width`.

    Example, GUM 4.3.7: bounds of 0.40e-6 per degC around 16.52e-6 give 0.23e-6 per degC.
    """
    return half_width / math.sqrt(3)


def one_sided_sd(width: float) -> float:
    """Standard uncertainty where the truth lies at most `width` to one side of the estimate, which stays.

    (b+ + b-) / sqrt 12 with b- = 0, GUM 4.3.8.
    """
    return width / math.sqrt(12)


def combined_sd(
    sensitivities: Sequence[float],
    sds: Sequence[float],
    correlations: Mapping[tuple[int, int], float] | None = None,
) -> float:
    """Standard uncertainty of a result from those of what went into it, GUM equation 16.

    u^2 = sum (c_i u_i)^2 + 2 sum_(i<j) c_i c_j u_i u_j r_ij, with c_i = `sensitivities`, u_i = `sds` and
    r_ij = `correlations` by the pair (i, j), i < j; a pair left out has none.
    First order: the result must be nearly straight over a few u_i. Example, GUM H.2: a resistance of
    127.732 ohm has 0.071 ohm.
    """
    return math.sqrt(max(covariance(sensitivities, sensitivities, sds, correlations), 0.0))


def covariance(
    first: Sequence[float],
    second: Sequence[float],
    sds: Sequence[float],
    correlations: Mapping[tuple[int, int], float] | None = None,
) -> float:
    """Covariance of two results that were made from the same inputs, GUM equation H.9 (first order).

    sum_i sum_j a_i b_j u_i u_j r_ij, with a_i = `first` and b_i = `second` the sensitivities of the two results.
    Example, GUM H.2: resistance and reactance from the same volts, amperes and phase correlate by -0.588.
    """
    one = [sensitivity * sd for sensitivity, sd in zip(first, sds, strict=True)]
    other = [sensitivity * sd for sensitivity, sd in zip(second, sds, strict=True)]
    total = sum(a * b for a, b in zip(one, other, strict=True))
    for (i, j), correlation in (correlations or {}).items():
        total += (one[i] * other[j] + one[j] * other[i]) * correlation
    return total


def effective_freedom(variance_shares: Sequence[float], degrees_of_freedom: Sequence[float]) -> float:
    """Degrees of freedom of a combined uncertainty, Welch and Satterthwaite, GUM equation G.2b; inf where all are.

    1 / sum(share_i^2 / nu_i), share_i = (c_i u_i)^2 / u^2. Example: NIST e-Handbook 2.6.3 prints 42.
    """
    total = sum(share**2 / nu for share, nu in zip(variance_shares, degrees_of_freedom, strict=True))
    return 1 / total if total > 0 else math.inf
