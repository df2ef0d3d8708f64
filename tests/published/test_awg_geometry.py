"""AWG diameters and areas against published tables."""

import csv
from pathlib import Path

import pytest

from lugbook.physics.conductors import awg_diameter_mm
from lugbook.units.sizes import read_size

DATA = Path(__file__).parent / "data"
# ASTM B258 formula, its diameters as rounded there, and the areas of Floyd, Electric Circuit Fundamentals.
GAUGES = list(csv.DictReader((DATA / "awg_copper_20c.csv").read_text(encoding="utf-8").splitlines()))
# SAE J1127/J1128 minimum areas beside AWG stranded areas.
SAE = list(csv.DictReader((DATA / "awg_vs_sae_cmil.csv").read_text(encoding="utf-8").splitlines()))
MM2_PER_CIRCULAR_MIL = 5.067075e-4  # NIST SP 811 (2008) B.8


def gauge_number(name: str) -> int:
    return 1 - int(name[0]) if name.endswith("/0") else int(name)


@pytest.mark.parametrize("row", GAUGES, ids=lambda row: row["awg"])
def test_a_gauge_has_the_diameter_of_the_standard(row: dict[str, str]) -> None:
    diameter_mil = awg_diameter_mm(gauge_number(row["awg"])) / 0.0254

    assert diameter_mil == pytest.approx(float(row["diameter_b258_rounded_mil"]), abs=0.0501)
    assert diameter_mil == pytest.approx(float(row["diameter_exact_mil"]), abs=0.00051)


@pytest.mark.parametrize(("number", "mil"), [(-3, 460.0), (36, 5.0)], ids=["4/0", "36"])
def test_the_two_gauges_that_define_the_series_are_exact(number: int, mil: float) -> None:
    assert awg_diameter_mm(number) / 0.0254 == pytest.approx(mil, rel=1e-12)


@pytest.mark.parametrize("row", GAUGES, ids=lambda row: row["awg"])
def test_a_gauge_has_the_published_area(row: dict[str, str]) -> None:
    size = read_size(f"{row['awg']} AWG")

    assert size.area_mm2 / MM2_PER_CIRCULAR_MIL == pytest.approx(float(row["floyd_area_cmil"]), rel=5e-4)
    assert size.area_mm2 == pytest.approx(float(row["area_exact_mm2"]), abs=0.0002)


@pytest.mark.parametrize("row", SAE, ids=lambda row: row["size"])
def test_battery_cable_of_the_same_number_has_the_smaller_published_area(row: dict[str, str]) -> None:
    sae, awg = read_size(f"SAE {row['size']}"), read_size(f"{row['size']} AWG")

    assert sae.area_mm2 / MM2_PER_CIRCULAR_MIL == pytest.approx(float(row["sae_min_area_cmil"]), rel=1e-4)
    assert awg.area_mm2 / MM2_PER_CIRCULAR_MIL == pytest.approx(float(row["awg_area_cmil"]), rel=0.02)
    assert sae.area_mm2 < awg.area_mm2
