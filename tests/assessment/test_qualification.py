"""A recipe is qualified, provisional, refused or not judged by what its samples show."""

import pytest
from invented_samples import evidence, looks, pulls, resistances

from lugbook.assessment.pull_minima import IEC, SHARE_OF_WIRE
from lugbook.assessment.qualification import barrel_fit, qualify_recipe
from lugbook.assessment.qualification_words import word_proof
from lugbook.errors import ItemUnknown
from lugbook.units.sizes import read_size


def codes(found: object) -> set[str]:
    return {reason.code for reason in found.reasons}  # type: ignore[attr-defined]


def test_five_good_samples_with_resistance_and_looks_qualify() -> None:
    found = qualify_recipe(evidence())

    assert found.verdict == "qualified"
    assert (found.pull.count, found.pull.mean) == (5, 4000)
    assert found.pull.lower_bound == pytest.approx(3092.3, abs=0.05)  # see test_samples
    assert found.length_ratio.mean == pytest.approx(6.0 / 7.82, abs=0.001)
    assert [word_proof(reason) for reason in found.reasons] == [
        "The mean of 4000 N is 25 % of what the conductor can hold (annealed copper).",
        "From 5 samples, 99 % of such crimps hold at least 3090 N (95 % confidence), at or above the 667 N of ABYC "
        "E-11.",
        "ABYC E-11 asks for 150 lbf: that is 667 N, 4 % of what this conductor can hold.",
        "The minimum of ABYC E-11 for this size is from memory, to be checked.",
        "5 samples read on average 0.77 times an equal length of its conductor, within the limit of 1.1 times.",
    ]


@pytest.mark.parametrize(
    ("changed", "verdict", "code"),
    [
        pytest.param({"newtons": (4000.0, 4100.0, 3900.0, 4050.0, 600.0)}, "refused", "below minimum", id="one low"),
        pytest.param({"newtons": (600.0,)}, "refused", "below minimum", id="one sample, low"),
        pytest.param(
            {"pulls": pulls((4000, 4100, 3950, 4050, 3900), "lug cracked")}, "refused", "lug cracked", id="cracked"
        ),
        pytest.param({"looks": looks(5, "no cracks", on=[3])}, "refused", "serious fault", id="a serious fault"),
        pytest.param(
            {"resistances": resistances((11, 12, 11.5, 12.2, 11.8))}, "refused", "resistance high", id="conducts badly"
        ),
        pytest.param({"newtons": ()}, "not judged", "no samples", id="no sample"),
        pytest.param({"newtons": (4000.0,)}, "not judged", "one sample", id="one sample"),
        pytest.param({"newtons": (4000.0,) * 5}, "not judged", "all equal", id="all equal"),
        pytest.param({"standard": None}, "not judged", "no minimum", id="no standard chosen"),
        pytest.param({"joining": "soldered"}, "not judged", "not crimped", id="soldered"),
        pytest.param({"newtons": (4000.0, 4100.0, 3900.0)}, "provisional", "few samples", id="three"),
        pytest.param({"newtons": (4000.0, 4100.0, 3900.0, 4050.0)}, "provisional", "few samples", id="four"),
        pytest.param({"standard": IEC, "newtons": (4100, 4900, 4500, 5300, 5700)}, "provisional", "pull not proved",
                     id="all pass, the bound does not"),
        pytest.param({"resistances": ()}, "provisional", "no resistance", id="not measured"),
        pytest.param({"resistances": resistances((8, 12, 7))}, "provisional", "resistance in doubt", id="scatter"),
        pytest.param({"resistances": resistances((12.0,))}, "provisional", "resistance in doubt", id="one is high"),
        pytest.param({"looks": ()}, "provisional", "not looked at", id="not looked at"),
        pytest.param({"newtons": (4010, 3990, 4025, 2500, 3985, 4005)}, "provisional", "outlier", id="one apart"),
        pytest.param(
            {"newtons": (3000, 3010, 3020, 3005, 3015, 5000, 5010, 5020, 5005, 5015)},
            "provisional", "normality doubted", id="two kinds",
        ),
        pytest.param({"barrel": read_size("4/0 AWG")}, "provisional", "barrel loose", id="barrel too large"),
        pytest.param({"barrel": read_size("1/0 AWG")}, "provisional", "barrel tight", id="barrel too small"),
        pytest.param({"looks": looks(5, "no ears", on=[1, 2])}, "qualified", "minor fault", id="ears are said only"),
        pytest.param(
            {"looks": looks(5, "no ears", on=[1, 2, 3])}, "provisional", "frequent fault", id="ears on most of them"
        ),
    ],
)  # fmt: skip
def test_one_fact_changes_the_verdict(changed: dict[str, object], verdict: str, code: str) -> None:
    found = qualify_recipe(evidence(**changed))  # type: ignore[arg-type]

    assert (found.verdict, code in codes(found)) == (verdict, True)
    if verdict != "qualified":
        assert found.reasons[0].code == code


def test_a_refusal_weighs_more_than_what_is_missing() -> None:
    found = qualify_recipe(evidence((600.0, 610.0), resistances=(), looks=(), standard=SHARE_OF_WIRE))

    assert found.verdict == "refused"
    assert [reason.code for reason in found.reasons][:1] == ["below minimum"]
    assert {"few samples", "no resistance", "not looked at"} <= codes(found)


def test_five_are_enough_where_four_are_not() -> None:
    four, five = (qualify_recipe(evidence((3900, 4000, 4100, 4000, 3950)[:count])) for count in (4, 5))

    assert (four.verdict, five.verdict) == ("provisional", "qualified")


def test_a_sample_only_held_is_in_no_mean_and_no_failure() -> None:
    held = pulls((500.0, 2000.0), "not to failure")
    found = qualify_recipe(evidence(pulls=pulls((3800, 3900, 4000, 4100, 4200)) + held))

    assert (found.verdict, found.pull.count, found.pull.mean) == ("qualified", 5, 4000)
    assert "only held" in codes(found)


def test_mixed_failures_are_said_and_force_nothing() -> None:
    mixed = pulls((4000, 4100, 3950)) + pulls((4050, 3900), "conductor broke")
    found = qualify_recipe(evidence(pulls=mixed))

    assert found.verdict == "qualified"
    sentences = [word_proof(reason) for reason in found.reasons]
    assert sentences[0] == (
        "The samples failed in different ways (conductor broke 2, pulled out 3): "
        "two causes in one sample, each with its own scatter."
    )


def test_tin_is_allowed_for_in_the_equal_length() -> None:
    bare, tinned = (qualify_recipe(evidence(tinned=tin)).length_ratio.mean for tin in (False, True))

    assert bare == pytest.approx(tinned * 1.025)


def test_a_fault_that_is_not_on_the_checklist_is_refused() -> None:
    with pytest.raises(ItemUnknown) as refused:
        qualify_recipe(evidence(looks=looks(1, "no crack", on=[1])))

    assert str(refused.value) == (
        '"no crack" is not on the checklist (did you mean no cracks?); its lines are conductor seen, strands whole, '
        "no insulation inside, gap, bell mouth, crimps placed, no ears, no cracks, sealed, square."
    )


@pytest.mark.parametrize(
    ("barrel", "conductor", "fit"),
    [
        pytest.param("2/0 AWG", "2/0 AWG", "fits", id="the same"),
        pytest.param("2/0 AWG", "SAE 2/0", "fits", id="battery cable of the same number, 6 % less"),
        pytest.param("8 AWG", "SAE 8", "fits", id="the thinnest of them, 12 % less"),
        pytest.param("70 mm2", "2/0 AWG", "fits", id="metric barrel, 4 % less"),
        pytest.param("2/0 AWG", "1/0 AWG", "loose", id="one size down"),
        pytest.param("2/0 AWG", "3/0 AWG", "tight", id="one size up"),
        pytest.param("3/0 AWG", "95 mm2", "tight", id="12 % more"),
    ],
)
def test_a_barrel_fits_its_own_size_and_not_the_next(barrel: str, conductor: str, fit: str) -> None:
    assert barrel_fit(read_size(barrel), read_size(conductor).area_mm2) == fit
