"""How the numbers of a round are said: in the units in which the round is written down."""

from __future__ import annotations

import math
from decimal import Decimal
from typing import TYPE_CHECKING

from lugbook.jobs.round_stops import Seen, Stop
from lugbook.jobs.rounds import RoundFacts, local_day
from lugbook.physics.joints import drop_of_joint
from lugbook.units.registry import convert
from lugbook.units.symbols import shown

if TYPE_CHECKING:
    from lugbook.assessment.expecting import Expected

UNREAD_CELSIUS = 20.0
"""Where nobody read the temperature."""


def plain(number: float) -> str:
    """The shortest decimal text of a number, without an exponent."""
    return format(Decimal(repr(number)).normalize(), "f")


def drop_in(facts: RoundFacts, drop_millivolt: float) -> str:
    """A drop as it was typed: "0.84 mV"."""
    number = convert(Decimal(repr(drop_millivolt)), "mV", facts.drop_unit)
    return f"{number.normalize():f} {shown(facts.drop_unit)}"


def current_in(facts: RoundFacts, ampere: float) -> str:
    """A current: "100 A"."""
    number = convert(Decimal(repr(ampere)), "A", facts.current_unit)
    return f"{number.normalize():f} {shown(facts.current_unit)}"


def temperature_in(facts: RoundFacts, celsius: float) -> str:
    """A temperature: "31 °C"."""
    number = convert(Decimal(repr(celsius)), "degC", facts.temperature_unit)
    return f"{number.quantize(Decimal('0.1')).normalize():f} {shown(facts.temperature_unit)}"


def word_seen(facts: RoundFacts, seen: Seen) -> str:
    """A reading: "0.84 mV at 100 A, 31 °C"."""
    warm = "" if seen.joint_celsius is None else f", {temperature_in(facts, seen.joint_celsius)}"
    reverse = ", reversed" if seen.polarity == "reverse" else ""
    return f"{drop_in(facts, seen.drop_millivolt)} at {current_in(facts, seen.current_ampere)}{warm}{reverse}"


def day_seen(facts: RoundFacts, seen: Seen) -> str:
    """The day of a reading on the calendar of its build."""
    return local_day(seen.taken_at, facts.zone).isoformat()


def expected_drop(
    facts: RoundFacts, expected: Expected, ampere: float, celsius: float | None
) -> tuple[str, str, str]:
    """Least, greatest and unit of the drop that is expected at a current and a temperature.

    Two digits of the width are said, and the range is rounded outwards: "0.79", "0.91", "mV".
    """
    warm = UNREAD_CELSIUS if celsius is None else celsius
    ends = [
        convert(Decimal(repr(float(drop_of_joint(microohm, ampere, warm)))), "mV", facts.drop_unit)
        for microohm in (expected.low_microohm, expected.high_microohm)
    ]
    width = float(ends[1] - ends[0])
    place = Decimal(1).scaleb(math.floor(math.log10(width)) - 1 if width > 0 else -3)
    low, high = (
        (ends[0] / place).to_integral_value("ROUND_FLOOR"),
        (ends[1] / place).to_integral_value("ROUND_CEILING"),
    )
    return f"{low * place:f}", f"{high * place:f}", shown(facts.drop_unit)


def word_expected(facts: RoundFacts, expected: Expected, ampere: float, celsius: float | None) -> str:
    """The range: "0.79 to 0.91 mV at 100 A, 31 °C"."""
    low, high, unit = expected_drop(facts, expected, ampere, celsius)
    warm = temperature_in(facts, UNREAD_CELSIUS if celsius is None else celsius)
    return f"{low} to {high} {unit} at {current_in(facts, ampere)}, {warm}"


def word_stop(facts: RoundFacts, stop: Stop, total: int, ampere: float | None, celsius: float | None) -> str:
    """A stop as it is asked for: which it is, where, what it should read now, what it read last."""
    words = [f"[{stop.number}/{total}] {stop.span}", stop.place]
    if stop.is_check:
        when = "again at the end" if stop.again else "put off" if stop.put_off else "first"
        words[1:1] = [f"check standard, {when}"]
    if stop.where:
        words.append(stop.where)
    return f"{', '.join(words)}: {_known_of(facts, stop, ampere, celsius)}"


def _known_of(facts: RoundFacts, stop: Stop, ampere: float | None, celsius: float | None) -> str:
    last = stop.last
    if last is None:
        words = "not read yet"
    elif stop.expected is None:
        words = f"last {drop_in(facts, last.drop_millivolt)} on {day_seen(facts, last)}, before its service"
    elif ampere is None:
        words = f"last {word_seen(facts, last)}, {day_seen(facts, last)}"
    else:
        held = f"{drop_in(facts, last.drop_millivolt)} on {day_seen(facts, last)}"
        return f"{word_expected(facts, stop.expected, ampere, celsius)} (last {held})"
    carried = [] if ampere is None else [current_in(facts, ampere)]
    carried += [] if celsius is None else [temperature_in(facts, celsius)]
    return f"{words}; at {', '.join(carried)}" if carried else words
