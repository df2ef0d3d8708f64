"""Published samples with outliers: the ones found there are found here."""

from pathlib import Path

import pytest

from lugbook.inference.samples import find_outliers

DATA = Path(__file__).parent / "data"


def values_of(name: str) -> list[float]:
    lines = (DATA / name).read_text(encoding="utf-8").splitlines()
    return [float(line) for line in lines if not line.startswith("#") and line != "value"]


@pytest.mark.parametrize(
    ("name", "outliers"),
    [
        pytest.param("grubbs_uranium.csv", [245.57], id="one, e-Handbook"),
        pytest.param("rosner_gesd_54.csv", [6.01, 5.42, 5.34], id="three of ten looked for, Rosner"),
        pytest.param("iglewicz_hoaglin_masking.csv", [8.3, 8.2], id="two that hide each other"),
    ],
)
def test_the_published_outliers_are_found(name: str, outliers: list[float]) -> None:
    values = values_of(name)

    assert [values[place] for place in find_outliers(values)] == outliers


def test_rosners_fourth_is_no_outlier_although_his_second_is_within_its_bound() -> None:
    # R 3.118 2.942 3.179 against lambda 3.158 3.151 3.143: only the third exceeds its bound, and takes the two
    # before it along.
    values = values_of("rosner_gesd_54.csv")

    assert len(find_outliers(values)) == 3
    assert find_outliers([value for value in values if value < 5.3]) == ()
