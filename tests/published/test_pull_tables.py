"""Pull minima against the copies of the standards they were taken from."""

import csv
from pathlib import Path

import pytest

from lugbook.assessment.criteria import RETENTION_SHARE
from lugbook.assessment.pull_minima import (
    ABYC,
    AS7928,
    IEC,
    SHARE_OF_WIRE,
    UL,
    conductor_newton,
    minima_for,
    minimum_for,
)
from lugbook.units.sizes import Size, read_size

DATA = Path(__file__).parent / "data"
NEWTON_PER_LBF = 4.44822  # NIST SP 811 (2008) B.8


def rows(name: str) -> list[dict[str, str]]:
    with (DATA / name).open(encoding="utf-8") as table:
        return list(csv.DictReader(table))


def size_called(name: str) -> Size:
    """Also the thin ones that no cable here has."""
    spelled = name if "kcmil" in name else f"{name} AWG"
    return Size(spelled, "AWG", 1.0, "1") if name in ("26", "28", "30") else read_size(spelled)


TABLES = [
    (ABYC, "abyc_e11_tensile.csv", "size_awg", "min_force_lbf", "min_force_n"),
    (UL, "ul486a_pullout.csv", "size", "ul486a_crimp_pullout_min_lbf", "ul486a_crimp_pullout_min_n"),
    (AS7928, "as7928_terminals.csv", "wire_awg", "tensile_min_lbf", "tensile_min_n"),
]
TABLED = [
    pytest.param(standard, row, size, lbf, newton, id=f"{standard} {row[size]}")
    for standard, name, size, lbf, newton in TABLES
    for row in rows(name)
    if "any size" not in row[size]
]


@pytest.mark.parametrize(("standard", "row", "size", "lbf", "newton"), TABLED)
def test_a_minimum_is_that_of_the_copy_with_its_provenance(
    standard: str, row: dict[str, str], size: str, lbf: str, newton: str
) -> None:
    minimum = minimum_for(standard, size_called(row[size]))

    assert minimum.stated == f"{row[lbf]} lbf"
    assert minimum.newton == pytest.approx(float(row[lbf]) * NEWTON_PER_LBF, rel=1e-5)
    # Copies print newtons to a tenth, or whole and cut off.
    assert minimum.newton == pytest.approx(float(row[newton]), abs=0.06 if "." in row[newton] else 1.01)
    assert minimum.provenance == row["provenance"]
    assert minimum.source.split(",")[0] in row["source"]
    assert minimum.from_memory == (row["provenance"] == "memory")


def test_no_table_has_a_size_that_its_copy_has_not() -> None:
    gauges = [*(str(n) for n in range(1, 31)), "1/0", "2/0", "3/0", "4/0"]
    sizes = [size_called(name) for name in gauges if name not in ("25", "27", "29")]
    sizes += [read_size(f"{n} kcmil") for n in (250, 300, 350, 400, 450, 500, 600, 750, 1000)]

    for standard, name, column, _, _ in TABLES:
        copied = {row[column] for row in rows(name) if "any size" not in row[column]}
        held = {
            size.text.removesuffix(" AWG")
            for size in sizes
            if standard in {minimum.standard for minimum in minima_for(size)}
        }
        assert held == copied, standard


@pytest.mark.parametrize("row", rows("iec61238_tensile.csv"), ids=lambda row: row["conductor_mm2"])
def test_the_rule_by_area_gives_what_was_worked_out_for_each_size(row: dict[str, str]) -> None:
    minimum = minimum_for(IEC, read_size(f"{row['conductor_mm2']} mm2"))

    assert minimum.newton == pytest.approx(float(row["min_tensile_n"]))
    assert minimum.provenance == row["provenance"]


@pytest.mark.parametrize("row", rows("pull_standards_compare.csv"), ids=lambda row: row["awg"])
def test_the_standards_stand_side_by_side_as_worked_out(row: dict[str, str]) -> None:
    size = read_size(f"{row['awg']} AWG")
    columns = {
        ABYC: "abyc_e11_lbf",
        UL: "ul486a_lbf",
        AS7928: "as7928_lbf",
        IEC: "iec61238_1_rule_lbf",
        SHARE_OF_WIRE: "nasa_60_percent_of_wire_lbf",
    }

    lbf = {minimum.standard: minimum.newton / NEWTON_PER_LBF for minimum in minima_for(size)}

    assert lbf == pytest.approx(
        {standard: float(row[column]) for standard, column in columns.items()}, abs=0.51
    )
    strength = conductor_newton(size.area_mm2)
    assert strength / NEWTON_PER_LBF == pytest.approx(float(row["annealed_wire_breaking_lbf"]), abs=0.51)
    abyc_percent = 100 * lbf[ABYC] * NEWTON_PER_LBF / strength
    assert abyc_percent == pytest.approx(float(row["abyc_percent_of_wire_strength"]), abs=0.06)


def test_the_share_of_the_wire_and_of_a_held_load_are_those_of_the_copy() -> None:
    by_size = {row["awg"]: row["rule"] for row in rows("nasa8739_crimp_pull.csv")}

    minimum = minimum_for(SHARE_OF_WIRE, read_size("2/0 AWG"))

    assert "60 percent of the tensile strength" in by_size["other sizes"]
    assert minimum.newton == pytest.approx(0.60 * conductor_newton(read_size("2/0 AWG").area_mm2))
    assert f"{RETENTION_SHARE.limit:g} percent" in by_size["retention pull on a good crimp"]
