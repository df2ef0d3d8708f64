"""What a line typed at a stop of a round means: readings in the declared units, or something to do."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from lugbook.errors import LineRefused, quoted
from lugbook.jobs.rounds import RoundFacts
from lugbook.units.fields import CURRENT_AMPERE, DROP_MILLIVOLT, JOINT_CELSIUS, Field
from lugbook.units.parsing import Measured, read_measured
from lugbook.units.symbols import symbol_of

Deed = Literal["read", "set", "back", "skip", "later", "go", "stop", "keep", "help", "nothing"]

LETTERS: dict[str, Deed] = {
    "b": "back", "s": "skip", "l": "later", "g": "go", "q": "stop", "y": "keep", "?": "help", "h": "help",
}  # fmt: skip
HELP = (
    "0.84             the drop, in the unit of the round; the next span follows",
    "0.84 0.85 -0.83  read again at once, and reversed, with its minus",
    "0.84 102A 31C    with another current or temperature; both hold until you type others",
    "102A             another current, before the drop",
    "y                keep what was doubted; typing it again does the same",
    "b                back to the one before; a number typed there takes the place of the old one",
    "l                later: go on, and come back to this one in the end",
    "s behind tank    skip it, and say why",
    "g C12A/crimp     go to a span",
    "q                stop; `lugbook round enter` goes on from here",
)


@dataclass(frozen=True)
class TypedDrop:
    """One drop of a line."""

    text: str
    """With its unit."""
    millivolt: float
    polarity: str


@dataclass(frozen=True)
class TypedLine:
    """One line."""

    deed: Deed
    drops: tuple[TypedDrop, ...] = ()
    current: Measured | None = None
    celsius: Measured | None = None
    rest: str = ""
    """The reason of a skip, the span to go to."""


def read_line(text: str, facts: RoundFacts) -> TypedLine:
    """The meaning of a line. Raises LineRefused, and what units.parsing refuses."""
    words = text.split()
    if not words:
        return TypedLine("nothing")
    deed = LETTERS.get(words[0].casefold())
    if deed is not None:
        return TypedLine(deed, rest=" ".join(words[1:]))
    drops: list[TypedDrop] = []
    current = celsius = None
    for piece in _pieces(words):
        field, measured, whole = _measured(piece, facts)
        if field is DROP_MILLIVOLT:
            polarity = "reverse" if measured.decimal_text.startswith("-") else "forward"
            drops.append(TypedDrop(whole, measured.value, polarity))
        elif field is CURRENT_AMPERE:
            current = measured
        else:
            celsius = measured
    return TypedLine("read" if drops else "set", tuple(drops), current, celsius)


def _pieces(words: list[str]) -> list[str]:
    """Numbers with their units: a word without a digit belongs to the number before it."""
    pieces: list[str] = []
    for word in words:
        if any(character.isdigit() for character in word):
            pieces.append(word)
        elif pieces and pieces[-1][-1].isdigit():
            pieces[-1] += f" {word}"
        else:
            raise LineRefused(
                f"{quoted(word)} is no number; type a drop like 0.84, or ? for what can be typed."
            )
    return pieces


def _measured(piece: str, facts: RoundFacts) -> tuple[Field, Measured, str]:
    """What a piece measures, its value, and its text with a unit. A bare number is a drop."""
    unit = symbol_of(piece.lstrip("+-\N{MINUS SIGN}0123456789.,").strip())
    for field in (CURRENT_AMPERE, JOINT_CELSIUS):
        if unit in field.accepts:
            return field, read_measured(piece, field), piece
    bare = piece[-1].isdigit() or piece[-1] in ".,"
    return (
        DROP_MILLIVOLT,
        read_measured(piece, DROP_MILLIVOLT, unit=facts.drop_unit),
        f"{piece} {facts.drop_unit}" if bare else piece,
    )
