"""A cut length is all that a cable needs, and each part is said."""

import pytest

from lugbook.assessment.cut_lengths import cut_length
from lugbook.errors import LengthImpossible


def test_a_cut_is_route_loop_bends_and_the_trim_of_two_ends() -> None:
    # Two quarter turns at 100 mm: 2 x 0.1571 m; 2.40 + 0.30 + 0.3142 + 2 x 0.05 = 3.1142 m.
    found = cut_length(2.40, service_loop_metre=0.30, bends=2, bend_radius_metre=0.100, trim_metre=0.05)

    assert found.metre == pytest.approx(3.1142, abs=5e-5)
    assert [(part.what, round(part.metre, 4), part.provenance) for part in found.parts] == [
        ("route", 2.4, ""),
        ("service loop", 0.3, "common practice, no source"),
        ("bends", 0.3142, "derived"),
        ("trim", 0.1, "common practice, no source"),
    ]


def test_a_bare_route_is_its_own_cut() -> None:
    assert cut_length(1.5).parts[0].what == "route"
    assert cut_length(1.5).metre == 1.5


@pytest.mark.parametrize(
    ("route_metre", "loop_metre", "sentence"),
    [
        (0.0, 0.1, "The route of 0 m cannot be; look again at the number and its unit."),
        (2.0, -0.1, "The service loop of -0.1 m cannot be; look again at the number and its unit."),
    ],
)
def test_a_length_that_cannot_be_is_refused(route_metre: float, loop_metre: float, sentence: str) -> None:
    with pytest.raises(LengthImpossible) as refused:
        cut_length(route_metre, service_loop_metre=loop_metre)

    assert str(refused.value) == sentence
