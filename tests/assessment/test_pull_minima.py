"""Pull minima side by side, what covers which size, and what a pass is worth in words."""

import pytest

from lugbook.assessment.pull_minima import (
    ABYC,
    IEC,
    STANDARDS,
    UL,
    conductor_newton,
    force_stated,
    minima_for,
    minimum_for,
    most_proof_newton,
    word_minimum,
    word_worth,
)
from lugbook.errors import SizeNotCovered, StandardUnknown
from lugbook.units.sizes import read_size


def test_the_minima_of_one_size_stand_side_by_side_and_differ_by_more_than_ten() -> None:
    found = minima_for(read_size("2/0 AWG"))

    assert [minimum.standard for minimum in found] == list(STANDARDS)
    assert [word_minimum(minimum) for minimum in found] == [
        "ABYC E-11: 150 lbf (667 N) held 60 s; from memory, to be checked",
        "UL 486A-486B: 300 lbf (1330 N) held 60 s",
        "SAE AS7928: 750 lbf (3340 N); from memory, to be checked",
        "IEC 61238-1: 60 N per mm2 of copper, at most 20 kN (4050 N); worked out by us from the rule",
        "60 % of wire: 60 % of the wire's strength (9760 N); worked out by us from the rule; wire taken as annealed "
        "copper, 35 000 psi",
    ]
    assert found[-1].newton / found[0].newton == pytest.approx(14.6, abs=0.1)


def test_a_battery_cable_is_read_in_the_tables_by_its_number_and_by_its_own_area() -> None:
    found = {minimum.standard: minimum for minimum in minima_for(read_size("SAE 2/0"))}

    assert found[ABYC].stated == "150 lbf"
    assert found[ABYC].note == "the table is for AWG; an SAE cable of that number has less metal"
    assert found[IEC].newton == pytest.approx(60 * 63.39, abs=1)  # 125 100 circular mils


def test_a_metric_size_is_covered_by_the_rules_alone() -> None:
    assert [minimum.standard for minimum in minima_for(read_size("70 mm2"))] == [
        "IEC 61238-1",
        "60 % of wire",
    ]


def test_a_measured_area_goes_into_the_rules_and_not_into_the_tables() -> None:
    found = {minimum.standard: minimum.newton for minimum in minima_for(read_size("2/0 AWG"), 60.0)}

    assert found[IEC] == pytest.approx(3600)
    assert found[ABYC] == pytest.approx(667.2, abs=0.1)


@pytest.mark.parametrize(("area_mm2", "newton"), [(333.0, 19_980.0), (333.4, 20_000.0), (400.0, 20_000.0)])
def test_the_rule_by_area_ends_at_20_kilonewtons(area_mm2: float, newton: float) -> None:
    assert minimum_for(IEC, read_size("400 mm2"), area_mm2).newton == pytest.approx(newton)


@pytest.mark.parametrize(("size", "noted"), [("10 mm2", False), ("9.9 mm2", True)])
def test_below_ten_mm2_the_rule_is_marked_as_out_of_reach(size: str, noted: bool) -> None:
    assert bool(minimum_for(IEC, read_size(size)).note) == noted


def test_a_size_that_the_chosen_standard_does_not_cover_is_refused() -> None:
    with pytest.raises(SizeNotCovered) as refused:
        minimum_for(ABYC, read_size("70 mm2"))

    assert str(refused.value) == (
        "ABYC E-11 states no pull minimum for 70 mm2; IEC 61238-1 and 60 % of wire cover it: choose one."
    )


def test_a_standard_that_is_none_of_ours_is_refused() -> None:
    with pytest.raises(StandardUnknown) as refused:
        minimum_for("ABYC E-12", read_size("2/0 AWG"))

    assert str(refused.value) == (
        '"ABYC E-12" is not a pull standard here (did you mean ABYC E-11?); choose ABYC E-11, UL 486A-486B, '
        "SAE AS7928, IEC 61238-1 or 60 % of wire."
    )
    assert refused.value.exit_code == 2


def test_a_pass_is_worth_what_it_is_beside_the_conductor() -> None:
    # 35 000 psi of 67.43 mm2 is 3658 lbf (16 270 N); 150 of it is 4 %.
    size = read_size("2/0 AWG")
    minimum = minimum_for(ABYC, size)

    assert conductor_newton(size.area_mm2) == pytest.approx(3658 * 4.44822, rel=2e-4)
    assert word_worth(minimum.newton, size.area_mm2, force_stated(minimum)) == (
        "150 lbf is 4 % of what this conductor can hold (about 16300 N, annealed copper)"
    )
    assert word_worth(8000, size.area_mm2) == (
        "8000 N is 49 % of what this conductor can hold (about 16300 N, annealed copper)"
    )
    assert force_stated(minimum_for(IEC, size)) == "4050 N"


def test_a_load_to_be_held_is_four_fifths_of_the_sample_minimum() -> None:
    assert most_proof_newton(minimum_for(UL, read_size("2/0 AWG"))) == pytest.approx(
        0.8 * 300 * 4.44822, rel=1e-5
    )
