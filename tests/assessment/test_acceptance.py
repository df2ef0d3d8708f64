"""A terminal as made is held against each criterion, with value, limit, source and verdict."""

import pytest

from lugbook.assessment.acceptance import (
    AsMade,
    CriterionResult,
    DropBudget,
    ProofPull,
    accept_as_made,
    against_checklist,
    against_drop_budget,
    against_equal_length,
    against_proof_pull,
    against_recipe,
    against_siblings,
    word_acceptance,
)
from lugbook.assessment.criteria import EQUAL_LENGTH_100
from lugbook.assessment.pull_minima import UL, minimum_for
from lugbook.assessment.workmanship import CHECKLIST, summarise_workmanship
from lugbook.units.sizes import read_size

AREA = 67.431  # 2/0 AWG: 30 mm of it, stranded, is 7.82 microohm (reference table of equal lengths)
CODES = ("recipe", "workmanship", "equal length", "similar joints", "drop budget", "proof pull", "torque")
ALL_GOOD = {item.code: "yes" for item in CHECKLIST}


def made(microohm: float, u_microohm: float = 0.1, length_metre: float | None = 0.030) -> AsMade:
    return AsMade(microohm, u_microohm, length_metre, AREA)


@pytest.mark.parametrize(
    ("microohm", "verdict"),
    [
        pytest.param(6.0, "met", id="well below"),
        pytest.param(8.3, "met", id="1.06 times"),
        pytest.param(8.5, "in doubt", id="1.087 times, less than two uncertainties below 1.1"),
        pytest.param(8.7, "in doubt", id="1.112 times, less than two above"),
        pytest.param(8.9, "not met", id="1.14 times"),
    ],
)
def test_a_reading_is_held_against_an_equal_length_of_its_conductor(microohm: float, verdict: str) -> None:
    found = against_equal_length(made(microohm))

    assert found.verdict == verdict
    assert (found.value, found.limit) == (pytest.approx(microohm / 7.82, abs=0.001), 1.1)
    assert found.source == "DL/T 765.1, written for piercing clamps, used here by analogy, 2001 edition"
    assert found.provenance == "seen in a quoted copy"


def test_the_sentence_of_an_equal_length_has_all_its_numbers() -> None:
    assert against_equal_length(made(6.0)).says == (
        "6.00 µΩ is 0.77 times the 7.82 µΩ of 30 mm of its conductor; the limit is 1.1 times."
    )


def test_the_owner_may_choose_the_stricter_equal_length() -> None:
    assert against_equal_length(made(8.3), EQUAL_LENGTH_100).verdict == "not met"


def test_without_a_length_there_is_no_equal_length() -> None:
    found = against_equal_length(made(6.0, length_metre=None))

    assert (found.verdict, found.value) == ("not judged", None)
    assert found.says == "The length between the probes was not noted, so there is nothing to compare with."


@pytest.mark.parametrize(
    ("siblings", "verdict", "ratio"),
    [
        pytest.param([6.1, 5.9], "met", 6.0 / 5.9, id="alike"),
        pytest.param([6.1], "met", 1.0, id="one other is enough, and this the lowest"),
        pytest.param([3.0, 6.5], "not met", 2.0, id="twice the lowest"),
        pytest.param([4.0, 6.5], "in doubt", 1.5, id="just half again"),
    ],
)
def test_a_reading_is_held_against_the_lowest_of_those_made_alike(
    siblings: list[float], verdict: str, ratio: float
) -> None:
    found = against_siblings(made(6.0), siblings)

    assert (found.verdict, found.value, found.limit) == (verdict, pytest.approx(ratio), 1.5)


def test_half_again_exactly_is_still_met_where_the_reading_is_taken_as_exact() -> None:
    assert against_siblings(made(6.0, 0.0), [4.0]).verdict == "met"
    assert against_siblings(made(6.01, 0.0), [4.0]).verdict == "not met"


def test_siblings_need_two() -> None:
    found = against_siblings(made(6.0), [])

    assert found.verdict == "not judged"
    assert (
        found.says == "No other terminal of this recipe has been read, so there is nothing to compare with."
    )
    assert against_siblings(made(6.0), [5.0, 7.0]).says == (
        "6.00 µΩ is 1.20 times the lowest of the 3 made alike (5.00 µΩ); the limit is 1.5 times."
    )


def budget(rest_millivolt: float | None) -> DropBudget:
    return DropBudget(200, 360, rest_millivolt, "ABYC E-11", "seen in one quoted copy")


@pytest.mark.parametrize(
    ("microohm", "rest_millivolt", "verdict", "value"),
    [
        pytest.param(6.0, 300.0, "met", 301.2, id="the circuit is within"),
        pytest.param(6.0, 400.0, "not met", 401.2, id="the circuit is over"),
        pytest.param(6.0, None, "not judged", 1.2, id="the rest is not known"),
        pytest.param(2000.0, None, "not met", 400.0, id="one terminal takes it all"),
    ],
)
def test_a_circuit_is_held_against_its_drop_budget(
    microohm: float, rest_millivolt: float | None, verdict: str, value: float
) -> None:
    found = against_drop_budget(made(microohm), budget(rest_millivolt))

    assert (found.verdict, found.value, found.limit, found.unit) == (verdict, pytest.approx(value), 360, "mV")


def test_a_drop_is_said_with_what_is_known_of_the_rest() -> None:
    assert against_drop_budget(made(6.0), budget(300.0)).says == (
        "At 200 A this terminal takes 1.20 mV of the 360 mV its circuit may lose; "
        "its cables and crimps in all come to 301 mV."
    )
    assert against_drop_budget(made(6.0), budget(None)).says == (
        "At 200 A this terminal takes 1.20 mV of the 360 mV its circuit may lose; "
        "what the rest of the circuit takes is not known."
    )
    assert (
        against_drop_budget(made(6.0), None).says
        == "The circuit has no drop budget, or its current is not known."
    )


@pytest.mark.parametrize(
    ("recipe_verdict", "verdict"),
    [("qualified", "met"), ("provisional", "in doubt"), ("refused", "not met"), ("not judged", "not judged")],
)
def test_a_terminal_is_as_good_as_its_recipe_is_proved(recipe_verdict: str, verdict: str) -> None:
    found = against_recipe("R1", recipe_verdict, "70", ["60", "70"])

    assert (found.verdict, found.says) == (verdict, f"The recipe R1 is {recipe_verdict}.")


def test_a_die_setting_that_was_never_tried_proves_nothing() -> None:
    found = against_recipe("R1", "qualified", "95", ["60", "70"])

    assert found.verdict == "not judged"
    assert found.says == (
        "The die setting 95 of this terminal was never tried on a sample (tried were 60, 70); pull samples of it."
    )
    assert "(no setting was)" in against_recipe("R1", "qualified", "95", []).says


@pytest.mark.parametrize(
    ("changed", "verdict", "says"),
    [
        pytest.param({}, "met", "10 of 10 lines good.", id="good"),
        pytest.param({"sealed": "not applicable"}, "met", "9 of 9 lines good.", id="one does not apply"),
        pytest.param(
            {"gap": "not answered"}, "not judged", "9 of 10 lines good; 1 not answered.", id="incomplete"
        ),
        pytest.param(
            {"gap": "no"}, "in doubt", "9 of 10 lines good; at fault: gap wrong.", id="lesser fault"
        ),
        pytest.param(
            {"no cracks": "no"}, "not met", "9 of 10 lines good; at fault: cracked.", id="serious fault"
        ),
    ],
)
def test_the_checklist_is_one_criterion(changed: dict[str, str], verdict: str, says: str) -> None:
    found = against_checklist(summarise_workmanship({**ALL_GOOD, **changed}))

    assert (found.verdict, found.says) == (verdict, says)


@pytest.mark.parametrize(
    ("pull", "verdict", "says"),
    [
        pytest.param(None, "not judged", "No load was held on it.", id="none"),
        pytest.param(
            ProofPull(1000, 60, moved=False), "met",
            "1000 N held 60 s without movement. This is no sample pull: it does not say what the crimp would hold.",
            id="held",
        ),
        pytest.param(
            ProofPull(1000, 60, moved=True), "not met", "1000 N held 60 s, and it moved: cut it off and make it anew.",
            id="moved",
        ),
        pytest.param(
            ProofPull(1000, 60, moved=None), "not judged", "1000 N held 60 s; nobody noted whether it moved.",
            id="nobody looked",
        ),
        pytest.param(
            ProofPull(1000, 30, moved=False), "in doubt",
            "1000 N held 30 s without movement, for less than the 60 s asked or not timed.", id="too short",
        ),
        pytest.param(
            ProofPull(1000, None, moved=False), "in doubt",
            "1000 N without movement, for less than the 60 s asked or not timed.", id="not timed",
        ),
        pytest.param(
            ProofPull(1200, 60, moved=False), "in doubt",
            "1200 N held 60 s without movement, but more than the 1070 N that a terminal to stay in service should be "
            "asked: look at it again.", id="more than four fifths of the sample minimum",
        ),
    ],
)  # fmt: skip
def test_a_proof_pull_is_held_without_movement_and_no_more_is_said_of_it(
    pull: ProofPull | None, verdict: str, says: str
) -> None:
    found = against_proof_pull(pull, minimum_for(UL, read_size("2/0 AWG")))

    assert (found.verdict, found.says) == (verdict, says)
    assert found.limit == pytest.approx(1067.6, abs=0.1)


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        pytest.param({}, "accepted: 7 of 7 criteria met", id="all met"),
        pytest.param(
            dict.fromkeys(("drop budget", "proof pull", "torque", "similar joints"), "not judged"),
            "accepted: 3 of 7 criteria met, 4 not judged", id="proof, reading and look are met",
        ),
        pytest.param(
            dict.fromkeys(("drop budget", "proof pull", "torque", "equal length"), "not judged"),
            "accepted: 3 of 7 criteria met, 4 not judged", id="those made alike stand in for the equal length",
        ),
        pytest.param(
            {"recipe": "not judged"},
            "not judged: 6 of 7 criteria met, 1 not judged; it still takes the recipe's proof", id="unproved recipe",
        ),
        pytest.param(
            {"workmanship": "not judged"},
            "not judged: 6 of 7 criteria met, 1 not judged; it still takes the look", id="nobody looked",
        ),
        pytest.param(
            dict.fromkeys(("equal length", "similar joints"), "not judged"),
            "not judged: 5 of 7 criteria met, 2 not judged; it still takes a first reading with something to "
            "compare it with", id="never read",
        ),
        pytest.param(
            dict.fromkeys(set(CODES) - {"torque"}, "not judged"),
            "not judged: 1 of 7 criteria met, 6 not judged; it still takes the recipe's proof, a first reading "
            "with something to compare it with and the look", id="a torque alone",
        ),
        pytest.param(
            dict.fromkeys(CODES, "not judged"),
            "not judged: none of 7 criteria could be judged; it still takes the recipe's proof, a first reading "
            "with something to compare it with and the look", id="untouched",
        ),
        pytest.param(
            {"recipe": "in doubt", "torque": "not judged"},
            "in doubt: 5 of 7 criteria met, 1 in doubt, 1 not judged", id="one in doubt",
        ),
        pytest.param(
            {"recipe": "in doubt", "torque": "not met"},
            "not accepted: 5 of 7 criteria met, 1 not met, 1 in doubt", id="one not met",
        ),
    ],
)  # fmt: skip
def test_the_whole_is_as_good_as_its_worst_criterion_and_needs_proof_and_reading_and_look(
    changed: dict[str, str], said: str
) -> None:
    results = [CriterionResult(code, changed.get(code, "met"), None, None, "", "", "", "") for code in CODES]

    assert word_acceptance(accept_as_made(results)) == said
