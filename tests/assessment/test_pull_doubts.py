"""A pull that cannot be, or that looks like a slip of a unit, is doubted before it is written."""

import pytest

from lugbook.assessment.pull_doubts import doubt_pull, units_mixed, word_pull_doubt

AREA = 67.43  # 2/0 AWG, whose annealed copper holds 16 270 N
OTHERS = (4000.0, 4100.0, 3900.0)


@pytest.mark.parametrize(
    ("newton", "others", "sentence"),
    [
        pytest.param(0.0, (), "0 N is no pull; type the greatest force the sample held", id="nothing"),
        pytest.param(
            20_000.0, (),
            "20000 N is more than this conductor can hold (about 16300 N, annealed copper); "
            "look again at the number and its unit", id="beyond the conductor",
        ),
        pytest.param(
            17_800.0, OTHERS,
            "17800 N is more than this conductor can hold (about 16300 N, annealed copper): "
            "was it typed in lbf, meant in N?", id="beyond, by a unit",
        ),
        pytest.param(
            8800.0, OTHERS,
            "8800 N is 2.2 times what the other samples held (4000 N): was it typed in kgf, meant in lbf?", id="kgf",
        ),
        pytest.param(
            1814.0, OTHERS,
            "1810 N is 0.45 times what the other samples held (4000 N): was it typed in lbf, meant in kgf?", id="lbf",
        ),
        pytest.param(
            790.0, (4000.0,),
            "790 N is 0.20 times what the other samples held (4000 N); look again at the number and its unit",
            id="under a fifth of a single other, by no slip",
        ),
        pytest.param(
            40.5, OTHERS,
            "40.5 N is 0.010 times what the other samples held (4000 N): did the decimal point slip?", id="two places",
        ),
        pytest.param(
            40_000.0 / 9.6, (400.0,),
            "4170 N is 10 times what the other samples held (400 N): did the decimal point slip, or was it typed in "
            "kgf, meant in N?", id="ten times may be a point or a unit",
        ),
    ],
)  # fmt: skip
def test_what_cannot_be_believed_is_said_in_one_sentence(
    newton: float, others: tuple[float, ...], sentence: str
) -> None:
    found = doubt_pull(newton, AREA, others)

    assert found is not None
    assert word_pull_doubt(found) == sentence


@pytest.mark.parametrize(
    ("newton", "area_mm2", "others"),
    [
        pytest.param(16_200.0, AREA, (), id="just below what the conductor holds"),
        pytest.param(4400.0, AREA, OTHERS, id="ten percent above the others"),
        pytest.param(6800.0, AREA, OTHERS, id="apart, but by no unit"),
        pytest.param(2800.0, AREA, OTHERS, id="a weak sample"),
        pytest.param(50_000.0, None, (), id="a conductor of unknown area"),
    ],
)
def test_what_can_be_is_believed(newton: float, area_mm2: float | None, others: tuple[float, ...]) -> None:
    assert doubt_pull(newton, area_mm2, others) is None


@pytest.mark.parametrize(
    ("ratio", "unit", "slip"),
    [
        pytest.param(2.2, "kgf", "was it typed in kgf, meant in lbf", id="kgf for lbf"),
        pytest.param(2.2, "N", "", id="no unit that was typed"),
        pytest.param(2.2, "lbf", "", id="the other way round"),
        pytest.param(4.87, "lbf", "was it typed in lbf, meant in N", id="4.45 within a tenth"),
        pytest.param(0.1, "lbf", "did the decimal point slip", id="a tenth is no slip of pounds"),
    ],
)
def test_only_a_slip_of_the_unit_that_was_typed_is_guessed_at(ratio: float, unit: str, slip: str) -> None:
    found = doubt_pull(1000.0 * ratio, AREA, (1000.0,), unit)

    assert found is not None
    assert found.slip == slip


def test_what_is_more_than_a_tenth_off_every_slip_is_believed_up_to_five_times() -> None:
    assert doubt_pull(2460.0, AREA, (1000.0,)) is None
    assert doubt_pull(3900.0, AREA, (1000.0,)) is None
    assert doubt_pull(4950.0, AREA, (1000.0,)) is None
    assert doubt_pull(5050.0, AREA, (1000.0,)) is not None


def test_samples_typed_in_two_units_are_pointed_at() -> None:
    assert units_mixed(["lbf", "lbf", "lbf"]) == ""
    assert units_mixed(["lbf", "lbf", "kgf"]) == (
        "The forces were typed in different units (2 in lbf, 1 in kgf); all were turned into newtons: "
        "look again that each was read in the unit typed."
    )
