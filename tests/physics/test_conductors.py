"""What a length of cable adds, and what tin, stranding and warmth add to that."""

import numpy as np
import pytest

from lugbook.physics.conductors import conductor_microohm


def test_a_metre_of_one_square_millimetre_has_the_resistivity_of_copper() -> None:
    # IACS: 58 MS/m, 0.017241 ohm mm2/m.
    assert conductor_microohm(1.0, 1.0, stranded=False) == pytest.approx(17_241.4, abs=0.05)


def test_tin_and_stranding_and_warmth_each_add_their_part() -> None:
    plain = conductor_microohm(1.0, 70.0, stranded=False)

    assert conductor_microohm(1.0, 70.0, stranded=True) / plain == pytest.approx(1.02)
    assert conductor_microohm(1.0, 70.0, tinned=True, stranded=False) / plain == pytest.approx(1.025)
    assert conductor_microohm(1.0, 70.0, stranded=False, celsius=30.0) / plain == pytest.approx(1.0393)


def test_lengths_add_up() -> None:
    lengths = np.array([0.5, 1.5])

    assert conductor_microohm(lengths, 70.0).sum() == pytest.approx(conductor_microohm(2.0, 70.0))
