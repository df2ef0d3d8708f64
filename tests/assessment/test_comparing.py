"""Which of several recipes to use, or that the samples cannot tell."""

import random

import pytest
from invented_samples import evidence, looks, pulls, resistances

from lugbook.assessment.comparing import compare_recipes
from lugbook.assessment.pull_minima import ABYC, AS7928
from lugbook.assessment.qualification import RecipeEvidence
from lugbook.assessment.qualification_words import word_proof

WIDE = (3600.0, 3800.0, 4000.0, 4200.0, 4400.0)  # mean 4000 N, sd 316 N
NEAR = tuple(newton + 40 for newton in WIDE)


def sentences(found: object) -> list[str]:
    return [word_proof(reason) for reason in found.reasons]  # type: ignore[attr-defined]


def test_the_one_that_surely_holds_most_is_chosen() -> None:
    found = compare_recipes(
        {"A": evidence(), "B": evidence([newton + 400 for newton in (3800, 3900, 4000, 4100, 4200)])}
    )

    assert (found.chosen, found.decided_by, found.contenders, found.more_each) == ("B", "pull", ("B",), None)
    assert [row.name for row in found.recipes] == ["B", "A"]
    assert sentences(found) == [
        "Use B: with 95 % confidence no other holds more than 2 % more. Next is A, whose mean is 9.1 % less."
    ]


def test_nothing_is_chosen_while_one_that_could_be_best_has_fewer_than_three_samples() -> None:
    found = compare_recipes(
        {"A": evidence(), "B": evidence((4400, 4450)), "C": evidence(()), "D": evidence((1000,))}
    )

    assert (found.chosen, found.decided_by, found.more_each) == (None, "", 5)
    assert sentences(found)[0] == (
        "Nothing is chosen while one that could be the best has fewer than 3 samples pulled to failure (B has 2 and "
        "C has none): pull 3 more of B and 5 more of C, so that each has 5."
    )


def test_three_samples_are_enough_to_choose_by() -> None:
    found = compare_recipes({"A": evidence(), "B": evidence((4400, 4450, 4420))})

    assert found.chosen == "B"


def test_two_that_cannot_be_told_apart_take_more_samples() -> None:
    # Lead 120 N, 2 % of 4120 is 82.4 N: 2 (316.2 (1.645 + 0.842) / 202.4)^2 = 30.2, so 31 in all, 26 more.
    found = compare_recipes({"A": evidence(WIDE), "B": evidence([newton + 120 for newton in WIDE])})

    assert (found.chosen, found.decided_by, found.contenders, found.more_each) == (None, "", ("B", "A"), 26)
    assert sentences(found) == [
        "These samples cannot tell B from A: the means differ by 2.9 %, single samples scatter by 7.7 %. "
        "Pull 26 more samples of each."
    ]


def about(mean: float, count: int) -> list[float]:
    """So many pulls that scatter by about 300 N."""
    return [mean - 300, mean + 300] * (count // 2)


def test_the_two_that_are_named_are_those_that_cannot_be_told_apart() -> None:
    # Behind A's 4400 N: B by 120 N with 40 samples each, surely (1.66 x 300 sqrt(2/40) = 111 N); C by 130 N with four,
    # in doubt (1.66 x 300 sqrt(1/40 + 1/4) = 261 N).
    found = compare_recipes(
        {"A": evidence(about(4400, 40)), "B": evidence(about(4280, 40)), "C": evidence(about(4270, 4))}
    )

    assert (found.chosen, found.contenders) == (None, ("A", "C"))
    assert sentences(found)[0].startswith("These samples cannot tell A from C: the means differ by 3.0 %")


def test_recipes_that_surely_hold_alike_are_not_said_to_be_indistinguishable() -> None:
    # 40 N of 4040 is 1 %; with sixty samples each 1.66 x 100 sqrt(2/60) = 30 N is sure: A is behind, within 2 %.
    first, second = ([mean - 100, mean + 100] * 30 for mean in (4000, 4040))
    found = compare_recipes(
        {"A": evidence(first, resistances=resistances((4.0, 4.1, 3.9, 4.05))), "B": evidence(second)}
    )

    assert (found.chosen, found.decided_by) == ("A", "resistance")
    assert sentences(found)[0] == (
        "B and A hold alike (with 95 % confidence no other holds more than 2 % more); A surely conducts best of them: "
        "use it."
    )


def test_of_two_that_hold_alike_the_one_that_surely_conducts_better_is_chosen() -> None:
    found = compare_recipes(
        {"A": evidence(WIDE, resistances=resistances((4.0, 4.1, 3.9, 4.05))), "B": evidence(NEAR)}
    )

    assert (found.chosen, found.decided_by) == ("A", "resistance")
    assert sentences(found) == [
        "By pull B and A cannot be told apart; A surely conducts best of them: use it."
    ]


def test_of_two_that_hold_and_conduct_alike_the_one_without_a_fault_is_chosen() -> None:
    found = compare_recipes(
        {"A": evidence(WIDE), "B": evidence(NEAR, looks=looks(5, "no ears", on=[1, 2, 3]))}
    )

    assert (found.chosen, found.decided_by) == ("A", "faults")
    assert [(row.name, row.faulty_samples, row.looked_at) for row in found.recipes] == [
        ("B", 3, 5),
        ("A", 0, 5),
    ]


def test_one_fault_in_five_does_not_decide() -> None:
    found = compare_recipes({"A": evidence(WIDE), "B": evidence(NEAR, looks=looks(5, "no ears", on=[1]))})

    assert found.chosen is None


def test_what_is_refused_or_has_no_usable_sample_is_left_out_and_said() -> None:
    found = compare_recipes(
        {
            "A": evidence(),
            "B": evidence((5000, 5100, 4900, 5050, 600)),
            "C": evidence(()),
            "D": evidence((2000,) * 5),
        }
    )

    assert found.chosen is None
    assert [row.name for row in found.recipes if row.left_out is None] == ["A"]
    assert sentences(found) == [
        "Only A can be chosen, and there is nothing to compare it with.",
        "B is left out: Sample 5 held 600 N, less than the 667 N of ABYC E-11.",
        "C is left out: No sample was pulled to failure, so nothing is known of the crimp; pull five.",
        "D is left out: All 5 samples read 2000 N: no crimps are so alike. Look whether the tester stopped there, or "
        "one number was copied.",
    ]


def test_nothing_is_chosen_where_all_are_refused() -> None:
    found = compare_recipes(
        {"A": evidence((100, 110)), "B": evidence(pulls=pulls((4000, 4100), "lug cracked"))}
    )

    assert found.chosen is None
    assert sentences(found)[0] == "No recipe can be chosen: each was refused, or has no usable sample."


def test_a_chosen_one_that_conducts_surely_worse_is_chosen_with_a_warning() -> None:
    found = compare_recipes(
        {
            "A": evidence(resistances=resistances((4.0, 4.1, 3.9, 4.05))),
            "B": evidence((4900, 5000, 5100, 5050, 4950)),
        }
    )

    assert (found.chosen, found.decided_by) == ("B", "pull")
    assert sentences(found)[1] == "A surely conducts better: B has 50 % more resistance per equal length."


def test_two_minima_in_one_comparison_are_said() -> None:
    found = compare_recipes({"A": evidence(standard=ABYC), "B": evidence(standard=AS7928)})

    assert sentences(found)[-1] == (
        "The recipes are held against different minima (ABYC E-11 667 N, SAE AS7928 3336 N): "
        "choose one standard for all."
    )


@pytest.mark.parametrize("scatter", [0.03, 0.04, 0.05])
def test_the_best_of_four_die_settings_is_chosen_nine_times_in_ten_and_hardly_ever_another(
    scatter: float,
) -> None:
    """Five samples each, the best truly 10 % above; resistances alike (4 % scatter) and one sample in ten with ears."""
    chance = random.Random(17)

    def invent(mean: float) -> RecipeEvidence:
        eared = [n for n in range(1, 6) if chance.random() < 0.1]
        return evidence(
            [chance.gauss(mean, scatter * mean) for _ in range(5)],
            resistances=resistances([chance.gauss(6, 0.24) for _ in range(5)]),
            looks=looks(5, "no ears", on=eared),
        )

    chosen = [
        compare_recipes(
            {die: invent(4400 if die == "70" else 4000) for die in ("50", "60", "70", "80")}
        ).chosen
        for _ in range(300)
    ]

    assert chosen.count("70") >= 270
    assert sum(die not in ("70", None) for die in chosen) <= 3
