"""A picture of a trial shows each sample, the bounds and the minima, and is the same bytes each time."""

import pytest

from lugbook.assessment.pull_minima import minimum_for
from lugbook.assessment.qualification import RecipeEvidence, SampleLook, SamplePull, SampleResistance
from lugbook.assessment.trial_story import TrialStory, tell_trial
from lugbook.errors import PictureFormatUnknown
from lugbook.reports.trial_plot import beside, draw_trial
from lugbook.units.sizes import read_size

SIZE = read_size("2/0 AWG")


def evidence(*newtons: float, measured: bool = True, standard: str | None = "ABYC E-11") -> RecipeEvidence:
    """Samples of 2/0 AWG that pulled out at those forces, each 1.02 times an equal length."""
    names = [str(number) for number in range(1, len(newtons) + 1)]
    return RecipeEvidence(
        size=SIZE,
        area_mm2=SIZE.area_mm2,
        pulls=tuple(
            SamplePull(name, newton, "pulled out") for name, newton in zip(names, newtons, strict=True)
        ),
        resistances=tuple(SampleResistance(name, 20.0, 0.076) for name in names) if measured else (),
        looks=tuple(SampleLook(name, ("no ears",) if name == "1" else ()) for name in names),
        minimum=minimum_for(standard, SIZE) if standard else None,
    )


@pytest.fixture
def story() -> TrialStory:
    return tell_trial(
        [
            ("R12", "12 hex", evidence(8000, 8200, 8100, 7900, 8050)),
            ("R13", "13 hex", evidence(9900, 10300, 10100, 10000, 10200)),
        ]
    )


@pytest.mark.parametrize(
    ("file_format", "begins"), [("svg", b"<?xml"), ("png", b"\x89PNG"), ("pdf", b"%PDF")]
)
def test_each_format_is_drawn_twice_alike(story: TrialStory, file_format: str, begins: bytes) -> None:
    picture = draw_trial(story, file_format)

    assert picture.startswith(begins)
    assert draw_trial(story, file_format) == picture


def test_the_picture_says_what_was_concluded_and_marks_what_is_from_memory(story: TrialStory) -> None:
    drawn = draw_trial(story, "svg").decode()

    assert "R12, R13: use R13" in drawn
    assert "ABYC E-11, 150 lbf, from memory" in drawn
    assert "1/5 faulty" in drawn
    assert "99 % of such crimps hold, 95 % sure" in drawn


def test_a_trial_of_which_little_is_known_says_so() -> None:
    bare = tell_trial([("R1", "13 hex", evidence(measured=False, standard=None))])

    drawn = draw_trial(bare, "svg").decode()

    assert "R1: not judged" in drawn
    for text in ("no pull standard chosen", "not measured", "not seen"):
        assert text in drawn


def test_a_setting_whose_resistance_was_not_measured_says_so_beside_one_that_was() -> None:
    both = tell_trial(
        [("R1", "13 hex", evidence(9900, 10300, 10100)), ("R2", "14 hex", evidence(8000, 8200, measured=False))]
    )

    assert draw_trial(both, "svg").decode().count(">not measured<") == 1


def test_samples_stand_side_by_side_around_their_setting() -> None:
    assert beside(2, 0) == []
    assert beside(2, 1) == [2.0]
    assert beside(2, 3) == pytest.approx([1.78, 2.0, 2.22])


def test_another_format_is_refused(story: TrialStory) -> None:
    with pytest.raises(PictureFormatUnknown):
        draw_trial(story, "doc")
