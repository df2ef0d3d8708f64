"""Whether the resistance typed of a sample is believable, before it is written down."""

from __future__ import annotations

from dataclasses import dataclass

from lugbook.physics.conductors import conductor_microohm
from lugbook.units.wording import word_number

LEAST_TIMES, MOST_TIMES = (
    0.3,
    10.0,
)  # an equal length of its conductor; farther off is no crimp (our assumption)
# Factor by which a slip makes the resistance too great or too small, in terms of an equal length.
_SLIPS = {
    1000.0: "was V typed for mV, or mV for µV?",
    1 / 1000.0: "was mV typed for V, or µV for mV?",
    25.4: "was the length measured in inches?",
    1 / 25.4: "was the length typed in inches, measured in mm?",
    10.0: "is a decimal point wrong, or was the length measured in cm?",
    0.1: "is a decimal point wrong, or was the length typed in cm, measured in mm?",
    100.0: "is a decimal point wrong?",
    0.01: "is a decimal point wrong?",
}
_SLIP_WITHIN = (
    1.5  # a sound crimp reads about as much as an equal length, within such a factor (our assumption)
)


@dataclass(frozen=True, slots=True)
class SampleDoubt:
    """Why the drop, the current and the length of a sample should be looked at again."""

    microohm: float  # as typed, at 20 degC
    plain_microohm: float  # of an equal length of its conductor
    slip: str  # '' or what may have been mixed up


def doubt_sample(
    microohm: float, length_metre: float, area_mm2: float, *, tinned: bool = False
) -> SampleDoubt | None:
    """None where `microohm` [at 20 degC] is 0.3 to 10 times that of `length_metre` [m] of its conductor."""
    plain = float(conductor_microohm(length_metre, area_mm2, tinned=tinned))
    ratio = microohm / plain
    if LEAST_TIMES <= ratio <= MOST_TIMES:
        return None
    slips = [says for factor, says in _SLIPS.items() if 1 / _SLIP_WITHIN < ratio / factor < _SLIP_WITHIN]
    return SampleDoubt(microohm, plain, slips[0] if slips else "")


def word_sample_doubt(found: SampleDoubt) -> str:
    """One clause with both numbers, without the name of the sample."""
    times = word_number(found.microohm / found.plain_microohm, 2)
    perhaps = found.slip or "look again at the drop, the current, the length and their units."
    return (
        f"{word_number(found.microohm)} µΩ is {times} times the {word_number(found.plain_microohm)} µΩ of as much "
        f"of its conductor: {perhaps}"
    )
