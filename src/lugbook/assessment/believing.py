"""Whether a number typed for a span is believable, before it is written down."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median

from lugbook.units.wording import word_number

# Our assumptions. A sound heavy crimp is 5 to 10 microohm over a 30 mm barrel; 0.05 is a millimetre of 4/0
# copper with room to spare. Above 100 milliohm a joint would drop 10 V at 100 A: it is open, or the unit is
# wrong.
LEAST_MICROOHM = 0.05
MOST_MICROOHM = 100_000.0
MOST_OF_A_JOINT_MICROOHM = 5_000.0  # half a volt at 100 A: hot, or typed in volts
FACTOR = 5.0  # a joint may double or treble; a slipped decimal point or unit is a factor of 10 or more


@dataclass(frozen=True)
class Doubt:
    """Why a number should be looked at again."""

    code: str  # "not a resistance", "too small", "too large", "far below", "far above"
    microohm: float  # what was typed comes to this
    low_microohm: float  # what this span has read, or the bounds of any span
    high_microohm: float
    factor: float  # how many times above or below; 0.0 where it is not a resistance


def most_microohm(kind: str) -> float:
    """The most that a span of a kind is believed to read: a cable may be long, the others are one joint."""
    return MOST_MICROOHM if kind in ("cable", "check standard") else MOST_OF_A_JOINT_MICROOHM


def doubt(
    microohm: float, known_microohm: Sequence[float], most_microohm: float = MOST_MICROOHM
) -> Doubt | None:
    """None where the number is believable for a span that has read `known_microohm` so far (may be empty)."""
    if not microohm > 0:
        return Doubt("not a resistance", microohm, LEAST_MICROOHM, most_microohm, 0.0)
    if microohm < LEAST_MICROOHM:
        return Doubt("too small", microohm, LEAST_MICROOHM, most_microohm, LEAST_MICROOHM / microohm)
    known = [value for value in known_microohm if value > 0]
    if known:
        middle = median(known)
        if microohm > FACTOR * middle:
            return Doubt("far above", microohm, min(known), max(known), microohm / middle)
        if microohm * FACTOR < middle:
            return Doubt("far below", microohm, min(known), max(known), middle / microohm)
    if microohm > most_microohm:
        return Doubt("too large", microohm, LEAST_MICROOHM, most_microohm, microohm / most_microohm)
    return None


def word_doubt(found: Doubt) -> str:
    """One sentence, without the name of the span."""
    typed = f"{word_number(found.microohm)} µΩ"
    if found.code == "not a resistance":
        return f"this comes to {typed}, which is no resistance; check the sign, or the polarity"
    if found.code in ("too small", "too large"):
        return (
            f"this comes to {typed}; no span of this kind reads outside {found.low_microohm:g} µΩ to "
            f"{found.high_microohm / 1000:g} mΩ; check the units of drop and current"
        )
    side = "above" if found.code == "far above" else "below"
    seen, high = word_number(found.low_microohm), word_number(found.high_microohm)
    seen = seen if seen == high else f"{seen} to {high}"
    return f"this comes to {typed}, {word_number(found.factor, 2)} times {side} what it has read ({seen} µΩ)"
