"""Whether a number typed for a span is believable, before it is written down."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from statistics import median

from lugbook.units.wording import word_number

# Our assumptions. A sound heavy crimp is 5 to 10 microohm over a 30 mm barrel; 0.05 is a millimetre of 4/0
# copper with room to spare. Above 100 milliohm a joint would drop 10 V at 100 A: it is open, or the unit is
# wrong.
LEAST_MICROOHM = 0.05
MOST_MICROOHM = 100_000.0
MOST_OF_A_JOINT_MICROOHM = 5_000.0  # half a volt at 100 A: hot, or typed in volts
FACTOR = 5.0  # a joint may double or treble; a slipped decimal point or unit is a factor of 10 or more


WITHIN_DECADE = 0.2  # of a power of ten, in decades: 6.3 to 16 times is about ten
LEAST_SIBLINGS = 2  # so many spans made alike say what a first reading should be like
LEAST_OF_ITS_CABLE = 0.7  # a span cannot read less than the cable inside it; probes and area leave some room


@dataclass(frozen=True)
class Expectation:
    """What is known of a span before it is read."""

    known_microohm: Sequence[float] = ()  # what it has read so far
    siblings_microohm: Sequence[float] = ()  # what spans of the same kind on the same conductor have read
    cable_microohm: float | None = None  # the cable between its probes; None: not known, or none
    cable_is_all: bool = False  # nothing else lies between the probes
    most_microohm: float = MOST_MICROOHM


@dataclass(frozen=True)
class Doubt:
    """Why a number should be looked at again."""

    code: str  # one of CODES
    microohm: float  # what was typed comes to this
    low_microohm: float  # what this span has read, or the bounds of any span
    high_microohm: float
    factor: float  # how many times above or below; 0.0 where it is not a resistance
    middle_microohm: float | None = None  # of what this span has read, to which the factor belongs; None: to the bounds


CODES = (
    "not a resistance", "too small", "too large", "far below", "far above", "below its siblings",
    "above its siblings", "below its cable", "above its cable",
)  # fmt: skip


def most_microohm(kind: str) -> float:
    """The most that a span of a kind is believed to read: a cable may be long, the others are one joint."""
    return MOST_MICROOHM if kind in ("cable", "check standard") else MOST_OF_A_JOINT_MICROOHM


def doubt(microohm: float, expected: Expectation) -> Doubt | None:
    """None where the number is believable for a span of which so much is known."""
    most = expected.most_microohm
    if not microohm > 0:
        return Doubt("not a resistance", microohm, LEAST_MICROOHM, most, 0.0)
    if microohm < LEAST_MICROOHM:
        return Doubt("too small", microohm, LEAST_MICROOHM, most, LEAST_MICROOHM / microohm)
    known = [value for value in expected.known_microohm if value > 0]
    siblings = expected.siblings_microohm
    if known:
        found = _beyond_its_own(microohm, known)
    elif len(siblings) >= LEAST_SIBLINGS:
        found = _beyond(microohm, min(siblings), max(siblings), ("below its siblings", "above its siblings"))
    else:
        found = None
    if found is None:
        found = _beside_its_cable(microohm, expected)
    if found is None and microohm > most:
        return Doubt("too large", microohm, LEAST_MICROOHM, most, microohm / most)
    return found


def _beyond_its_own(microohm: float, known: Sequence[float]) -> Doubt | None:
    """Doubt of a number far from the middle of what the span has read: one bad reading moves no middle."""
    middle = median(known)
    found = _beyond(microohm, middle, middle, ("far below", "far above"))
    if found is None:
        return None
    return replace(found, low_microohm=min(known), high_microohm=max(known), middle_microohm=middle)


def _beyond(microohm: float, low: float, high: float, codes: tuple[str, str]) -> Doubt | None:
    """Doubt beyond FACTOR times what it is held against."""
    if microohm * FACTOR < low:
        return Doubt(codes[0], microohm, low, high, low / microohm)
    if microohm > FACTOR * high:
        return Doubt(codes[1], microohm, low, high, microohm / high)
    return None


def _beside_its_cable(microohm: float, expected: Expectation) -> Doubt | None:
    cable = expected.cable_microohm
    if cable is None or expected.known_microohm:
        return None
    if microohm < LEAST_OF_ITS_CABLE * cable:
        return Doubt("below its cable", microohm, cable, cable, cable / microohm)
    if expected.cable_is_all and microohm > FACTOR * cable:
        return Doubt("above its cable", microohm, cable, cable, microohm / cable)
    return None


_AGAINST = {"siblings": "what spans made alike read", "cable": "what the cable between its probes comes to"}


def word_doubt(found: Doubt) -> str:
    """A sentence but for its subject, without the name of the span: both numbers, and what slip would explain them."""
    typed = f"{word_number(found.microohm)} µΩ"
    if found.code == "not a resistance":
        return f"this comes to {typed}, which is no resistance; check the sign, or the polarity."
    if found.code in ("too small", "too large"):
        return (
            f"this comes to {typed}; no span of this kind reads outside {found.low_microohm:g} µΩ to "
            f"{found.high_microohm / 1000:g} mΩ; check the units of drop and current."
        )
    side = "above" if found.code in ("far above", "above its siblings", "above its cable") else "below"
    against = _AGAINST.get(found.code.split()[-1], "what it has read")
    seen, high = word_number(found.low_microohm), word_number(found.high_microohm)
    if seen != high:
        if found.middle_microohm is not None:
            high = f"{high} µΩ, in the middle {word_number(found.middle_microohm)}"
        seen = f"{seen} to {high}"
    return (
        f"this comes to {typed}, {word_number(found.factor, 2)} times {side} {against} ({seen} µΩ): "
        f"{_slip(found.factor)}?"
    )


def word_unexpected(microohm: float, low_microohm: float, high_microohm: float) -> str:
    """The same of a reading outside what its own span would believe [microohm at 20 degC]."""
    low, high = word_number(low_microohm), word_number(high_microohm)
    return (
        f"this comes to {word_number(microohm)} µΩ at 20 °C; by what it has read, and even if it creeps, {low} to "
        f"{high} µΩ is to be believed: digits swapped, a loose nut, the right span?"
    )


def _slip(factor: float) -> str:
    """The slip that would explain such a factor: a power of ten of the digits, or of the unit."""
    decades = math.log10(factor)
    nearest = round(decades)
    if abs(decades - nearest) > WITHIN_DECADE or nearest == 0:
        return "the right span, the right current"
    return "volts, millivolts or microvolts" if nearest == 3 else "a slipped decimal point"
