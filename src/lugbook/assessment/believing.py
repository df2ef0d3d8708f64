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
FACTOR = 5.0  # a joint may double or treble; a slipped decimal point or unit is a factor of 10 or more


@dataclass(frozen=True)
class Doubt:
    """Why a number should be looked at again."""

    code: str  # "not a resistance", "too small", "too large", "far below", "far above"
    microohm: float  # what was typed comes to this
    low_microohm: float  # what this span has read, or the bounds of any span
    high_microohm: float
    factor: float  # how many times above or below; 0.0 where it is not a resistance


def doubt(microohm: float, known_microohm: Sequence[float]) -> Doubt | None:
    """None where the number is believable for a span that has read `known_microohm` so far (may be empty)."""
    if not microohm > 0:
        return Doubt("not a resistance", microohm, LEAST_MICROOHM, MOST_MICROOHM, 0.0)
    if microohm < LEAST_MICROOHM:
        return Doubt("too small", microohm, LEAST_MICROOHM, MOST_MICROOHM, LEAST_MICROOHM / microohm)
    if microohm > MOST_MICROOHM:
        return Doubt("too large", microohm, LEAST_MICROOHM, MOST_MICROOHM, microohm / MOST_MICROOHM)
    known = [value for value in known_microohm if value > 0]
    if not known:
        return None
    middle = median(known)
    if microohm > FACTOR * middle:
        return Doubt("far above", microohm, min(known), max(known), microohm / middle)
    if microohm * FACTOR < middle:
        return Doubt("far below", microohm, min(known), max(known), middle / microohm)
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
