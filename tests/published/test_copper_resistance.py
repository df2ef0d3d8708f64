"""Resistance of copper conductors against published tables."""

import csv
from pathlib import Path

import pytest

from lugbook.physics.conductors import conductor_microohm
from lugbook.physics.joints import microohm_at_20_celsius
from lugbook.physics.materials import STRANDED_FACTOR, TINNED_FACTOR
from lugbook.units.sizes import read_size

DATA = Path(__file__).parent / "data"
THOUSAND_FEET = 304.8  # metre
MM2_PER_CIRCULAR_MIL = 5.067075e-4  # NIST SP 811 (2008) B.8


def rows(name: str) -> list[dict[str, str]]:
    with (DATA / name).open(encoding="utf-8") as table:
        return list(csv.DictReader(table))


def half_a_digit(printed: str) -> float:
    return 0.501 * 10.0 ** -len(printed.partition(".")[2])


@pytest.mark.parametrize("row", rows("awg_copper_20c.csv"), ids=lambda row: row["awg"])
def test_a_solid_wire_has_the_resistance_of_the_handbooks(row: dict[str, str]) -> None:
    area_mm2 = read_size(f"{row['awg']} AWG").area_mm2

    ohm = conductor_microohm(THOUSAND_FEET, area_mm2, stranded=False) / 1e6

    # Floyd prints the resistance of the exact diameter.
    floyd = row["floyd_r_20c_ohm_per_kft"]
    assert ohm == pytest.approx(float(floyd), abs=half_a_digit(floyd), rel=3e-4)
    # NBS Handbook 100 takes the diameter rounded to a tenth of a mil, then prints three or four figures.
    nbs = row["nbs_hb100_r_20c_ohm_per_kft"]
    of_the_diameter = 2 * 0.05 / float(row["diameter_exact_mil"])
    assert ohm == pytest.approx(float(nbs), abs=of_the_diameter * ohm + half_a_digit(nbs))


@pytest.mark.parametrize("row", rows("iec60228_class5.csv"), ids=lambda row: row["nominal_mm2"])
def test_solid_copper_of_the_nominal_area_is_a_little_below_the_flexible_cable_limit(
    row: dict[str, str],
) -> None:
    ohm_per_km = conductor_microohm(1000.0, float(row["nominal_mm2"]), stranded=False) / 1e6

    limit = float(row["class5_plain_max_r_20c_ohm_per_km"])
    assert 0.86 * limit < ohm_per_km < limit


@pytest.mark.parametrize("row", rows("iec60228_class5.csv"), ids=lambda row: row["nominal_mm2"])
def test_the_allowance_for_tin_lies_where_the_limits_for_coated_cable_lie(row: dict[str, str]) -> None:
    plain, coated = (float(row[f"class5_{which}_max_r_20c_ohm_per_km"]) for which in ("plain", "coated"))

    assert coated / plain == pytest.approx(TINNED_FACTOR, abs=0.008)


HEAVY = [row for row in rows("nec_ch9_table8.csv") if float(row["area_cmil"]) > 26_000]


@pytest.mark.parametrize("row", rows("nec_ch9_table8.csv"), ids=lambda r: f"{r['size']}x{r['strands']}")
def test_the_code_tables_at_75_degrees_come_back_to_ours_at_20(row: dict[str, str]) -> None:
    area_mm2 = float(row["area_cmil"]) * MM2_PER_CIRCULAR_MIL

    published = microohm_at_20_celsius(float(row["r_75c_uncoated_ohm_per_kft"]) * 1e6, 75.0)
    ours = conductor_microohm(THOUSAND_FEET, area_mm2, stranded=int(row["strands"]) > 1)

    assert published == pytest.approx(ours, rel=0.012)


@pytest.mark.parametrize("row", HEAVY, ids=lambda row: row["size"])
def test_tinned_cable_of_the_code_tables_is_near_ours(row: dict[str, str]) -> None:
    area_mm2 = float(row["area_cmil"]) * MM2_PER_CIRCULAR_MIL

    published = float(row["r_75c_coated_ohm_per_kft"]) * 1e6
    ours = conductor_microohm(THOUSAND_FEET, area_mm2, tinned=True, celsius=75.0)

    assert published == pytest.approx(ours, rel=0.025)


def test_stranding_adds_to_4_0_what_the_code_tables_add() -> None:
    # 0.0608 ohm per 1000 ft at 75 degC is 0.0500 at 20; solid 4/0 is 0.04901.
    stranded_over_solid = 0.0500 / 0.04901

    assert stranded_over_solid == pytest.approx(STRANDED_FACTOR, abs=0.001)


@pytest.mark.parametrize(
    ("celsius", "factor"), [(5, 1.064), (50, 0.893), (75, 0.820)], ids=["5 degC", "50 degC", "75 degC"]
)
def test_the_way_to_20_degrees_agrees_with_the_rounder_factors_of_the_cable_standard(
    celsius: float, factor: float
) -> None:
    # IEC 60228 uses 250 / (230 + t), which is up to 0.32 % from the IACS coefficient at 75 degC.
    assert microohm_at_20_celsius(1.0, celsius) == pytest.approx(factor, rel=0.004)


@pytest.mark.parametrize("celsius", [-20.0, 0.0, 20.0, 40.0, 75.0, 100.0])
def test_the_way_to_20_degrees_is_the_234_5_rule_to_four_figures(celsius: float) -> None:
    assert microohm_at_20_celsius(1.0, celsius) == pytest.approx(254.5 / (234.5 + celsius), rel=1.1e-4)


@pytest.mark.parametrize(
    "row",
    [row for row in rows("equal_length_resistance.csv") if "class 5" not in row["conductor"]],
    ids=lambda row: row["conductor"],
)
def test_a_short_length_of_cable_has_the_resistance_worked_out_from_the_standards(
    row: dict[str, str],
) -> None:
    area_mm2 = read_size(f"{row['conductor']} AWG").area_mm2

    solid = conductor_microohm(0.0762, area_mm2, stranded=False)
    stranded = conductor_microohm(0.030, area_mm2, stranded=True)

    assert solid == pytest.approx(float(row["uohm_for_76_2mm"]), abs=0.0051)
    assert stranded == pytest.approx(float(row["uohm_for_30mm_stranded_plus_2_percent"]), abs=0.0051)
