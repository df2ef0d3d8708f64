"""Tolerance factors against published tables, and the bound against what it promises."""

import csv
from pathlib import Path

import numpy as np
import pytest

from lugbook.inference.tolerance import k_factor, lower_bound, passes_needed, student_quantile

LINES = (
    (Path(__file__).parent / "data/k_factors_one_sided_normal.csv").read_text(encoding="utf-8").splitlines()
)
FACTORS = list(csv.DictReader(line for line in LINES if not line.startswith("#")))


@pytest.mark.parametrize("row", FACTORS, ids=lambda row: f"n {row['n']}")
def test_a_factor_is_that_of_the_tables(row: dict[str, str]) -> None:
    count = int(row["n"])

    factors = {share: k_factor(count, share, 0.95) for share in (0.90, 0.95, 0.99)}

    assert factors[0.90] == pytest.approx(float(row["k_90_95"]), abs=0.0001)
    assert factors[0.95] == pytest.approx(float(row["k_95_95"]), abs=0.0001)
    assert factors[0.99] == pytest.approx(float(row["k_99_95"]), abs=0.0001)


@pytest.mark.parametrize(("count", "printed"), [(43, 1.8740), (6, 4.4111)])
def test_a_factor_is_that_of_the_handbook(count: int, printed: float) -> None:
    # NIST e-Handbook 7.2.6.3, share 0.90, confidence 0.99.
    assert k_factor(count, 0.90, 0.99) == pytest.approx(printed, abs=0.00006)


@pytest.mark.parametrize(
    ("freedom", "printed"), [(1, 12.706), (4, 2.776), (5, 2.571), (10, 2.228), (30, 2.042), (120, 1.980)]
)
def test_students_quantile_is_that_of_the_tables(freedom: int, printed: float) -> None:
    # Two-sided 5 % points, in every book of statistics.
    assert student_quantile(0.975, freedom) == pytest.approx(printed, abs=0.0006)


@pytest.mark.parametrize(("share", "published"), [(0.90, 29), (0.99, 299)])
def test_passes_alone_need_the_published_number_of_samples(share: float, published: int) -> None:
    assert passes_needed(share, 0.95) == published


@pytest.mark.parametrize("share", [0.90, 0.99])
@pytest.mark.parametrize("count", [3, 5, 10])
def test_the_bound_holds_as_often_as_it_says(count: int, share: float) -> None:
    pulls = np.random.default_rng(5).normal(4000, 200, (200_000, count))
    truly = 4000 + 200 * {0.90: -1.2815516, 0.99: -2.3263479}[share]

    bounds = pulls.mean(1) - k_factor(count, share) * pulls.std(1, ddof=1)

    assert np.mean(bounds <= truly) == pytest.approx(0.95, abs=0.005)
    assert lower_bound(4000, 200, count, share) == pytest.approx(4000 - 200 * k_factor(count, share))


def test_a_pooled_scatter_holds_as_often_as_it_says() -> None:
    # Four settings of five samples share one scatter: 16 degrees of freedom behind s, five samples behind each mean.
    pulls = np.random.default_rng(6).normal(0, 1, (200_000, 4, 5))

    scatter = np.sqrt(pulls.var(2, ddof=1).mean(1))
    bounds = pulls[:, 0].mean(1) - k_factor(5, 0.99, 0.95, freedom=16) * scatter

    assert np.mean(bounds <= -2.3263479) == pytest.approx(0.95, abs=0.005)
