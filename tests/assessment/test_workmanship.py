"""The checklist: yes, no, not applicable and not answered are four things."""

import pytest

from lugbook.assessment.workmanship import CHECKLIST, summarise_workmanship, word_workmanship
from lugbook.errors import AnswerUnknown, ItemUnknown

ALL_GOOD = {item.code: "yes" for item in CHECKLIST}


def test_the_checklist_asks_what_published_criteria_ask_each_with_its_source() -> None:
    assert len(CHECKLIST) == len({item.code for item in CHECKLIST}) == 10
    assert all(item.question.endswith("?") and item.source and item.provenance for item in CHECKLIST)


@pytest.mark.parametrize(
    ("changed", "verdict", "serious", "sentence"),
    [
        pytest.param({}, "good", False, "Workmanship, 10 lines: 10 good.", id="all good"),
        pytest.param(
            {"sealed": "not applicable"}, "good", False, "Workmanship, 10 lines: 9 good and 1 not applicable.",
            id="not applicable is no gap",
        ),
        pytest.param(
            {"sealed": "not answered"}, "incomplete", False, "Workmanship, 10 lines: 9 good and 1 not answered.",
            id="not answered is one",
        ),
        pytest.param(
            {"no ears": "no", "gap": "not answered"}, "faults", False,
            "Workmanship, 10 lines: 8 good, 1 at fault (flash or ears) and 1 not answered.", id="a lesser fault",
        ),
        pytest.param(
            {"no cracks": "no", "no ears": "no"}, "faults", True,
            "Workmanship, 10 lines: 8 good and 2 at fault (flash or ears and cracked).", id="a serious fault",
        ),
    ],
)  # fmt: skip
def test_the_answers_come_to_a_verdict(
    changed: dict[str, str], verdict: str, serious: bool, sentence: str
) -> None:
    found = summarise_workmanship({**ALL_GOOD, **changed})

    assert (found.verdict, found.serious) == (verdict, serious)
    assert word_workmanship(found) == sentence


def test_a_line_left_out_is_not_answered_and_nothing_answered_is_not_judged() -> None:
    found = summarise_workmanship({})

    assert (found.verdict, len(found.unanswered)) == ("not judged", 10)
    assert word_workmanship(found) == "Workmanship not judged: nothing on the checklist was answered."


def test_a_line_that_is_not_on_the_checklist_is_refused() -> None:
    with pytest.raises(ItemUnknown):
        summarise_workmanship({"cracks": "yes"})


def test_an_answer_that_is_none_is_refused() -> None:
    with pytest.raises(AnswerUnknown) as refused:
        summarise_workmanship({"gap": "maybe"})

    assert str(refused.value) == '"maybe" is not an answer; answer yes, no, not applicable or not answered.'
