"""What a typed number means: its decimal text in the field's own unit, or the refusal that says why not."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from lugbook.errors import NotANumber, NotFinite, OutOfRange, Refusal, TwoMeanings, UnitMissing, UnitUnknown
from lugbook.units.fields import Field
from lugbook.units.registry import convert
from lugbook.units.symbols import meaning_of, shown, symbol_of

_LONGEST_TEXT = 64
_LARGEST_EXPONENT = 25

# A number, then whatever is left as its unit. Digits are ASCII; [0-9] and not \d keeps other scripts out.
_NUMBER_THEN_UNIT = re.compile(
    r"([+-]?)((?:[0-9]+(?: [0-9]{3}(?![0-9]))+|(?=[.,]?[0-9]))[0-9.,]*)([eE][+-]?[0-9]{1,3})?"
    r" ?([^0-9]*[0-9]?)"
)
_NOT_FINITE = re.compile(r"[+-]?(nan|inf|infinity|o\.?l)(?![a-z]).*", re.IGNORECASE)

_POINT = re.compile(r"[0-9]+\.?[0-9]*|\.[0-9]+")
_COMMA = re.compile(r"[0-9]+,?[0-9]*|,[0-9]+")
_GROUPED_BY_COMMA = re.compile(r"[1-9][0-9]{0,2}(?:,[0-9]{3})+(?:\.[0-9]*)?")
_GROUPED_BY_POINT = re.compile(r"[1-9][0-9]{0,2}(?:\.[0-9]{3})+(?:,[0-9]*)?")
_GROUPED_BY_SPACE = re.compile(r"[1-9][0-9]{0,2}(?: [0-9]{3})+(?:[.,][0-9]*)?")
_TWO_MEANINGS = re.compile(r"[1-9][0-9]{0,2},[0-9]{3}")

# A number as the book writes it: this alone needs no thought. Not -0, and short enough to compare as a float.
_AS_WRITTEN = re.compile(r"(?!-0(?:\.0*)?$)-?(?:0|[1-9][0-9]{0,11})(?:\.[0-9]{1,12})?")
_AS_WRITTEN_WITH_COMMA = re.compile(r"(?!-0(?:,0*)?$)-?(?:0|[1-9][0-9]{0,11})(?:,[0-9]{1,12})?")

_PLAIN_SIGNS = str.maketrans(
    {
        "\N{MINUS SIGN}": "-",
        "\N{NO-BREAK SPACE}": " ",
        "\N{NARROW NO-BREAK SPACE}": " ",
        "\N{THIN SPACE}": " ",
        "\N{FIGURE SPACE}": " ",
        "\t": " ",
    }
)


@dataclass(frozen=True, slots=True)
class Measured:
    """One measured number in its field's own unit."""

    decimal_text: str  # plain decimal, digits kept as typed ("0.840"), never an exponent, never -0
    as_typed: str | None  # what was typed ("840 uV") where it was not already that text in that unit

    @property
    def value(self) -> float:
        """The number, in the field's unit."""
        return float(self.decimal_text)


def read_measured(
    text: str, field: Field, *, unit: str | None = None, decimal_comma: bool | None = None
) -> Measured:
    """The number that `text` means in the unit of `field`.

    `unit` None: the text carries its unit ("0.84 mV"). Else a bare number is in `unit` (a heading said so),
    and a unit in the text still wins. `decimal_comma` True: "1.234,5" is 1234.5; False: a comma groups
    thousands; None: nobody said, so "0,84" is read and "1,234" is refused.

    Raises NotANumber, NotFinite, UnitMissing, UnitUnknown, TwoMeanings, OutOfRange.
    """
    plain = text.translate(_PLAIN_SIGNS).strip()
    sign, digits, exponent, spelling = _split(plain, text, field)
    typed_unit = _unit_symbol(spelling or unit, text, field)
    number = Decimal(sign + _with_point(digits, text, field, decimal_comma=decimal_comma) + exponent)
    if number and number.adjusted() > _LARGEST_EXPONENT:
        raise _out_of_range(text, field)
    if exponent and number.adjusted() < -_LARGEST_EXPONENT:
        raise NotANumber(text, field.word, field.example)
    in_own_unit = convert(number, typed_unit, field.unit)
    if not field.low <= float(in_own_unit) <= field.high:
        raise _out_of_range(text, field)
    decimal_text = _plain_decimal(in_own_unit)
    as_it_stands = typed_unit == field.unit and sign + digits + exponent == decimal_text
    return Measured(decimal_text, None if as_it_stands else text.strip())


def read_many(
    texts: Sequence[str], field: Field, *, unit: str | None, decimal_comma: bool | None
) -> tuple[list[str | None], dict[int, str], dict[int, Refusal]]:
    """A whole column: decimal texts (None where the cell is empty), as typed by index, refusals by index.

    As read_measured for each text, but a refused text is None in the list and its refusal stands in the
    third. `as typed` holds only the indices whose text was not already that decimal in the field's unit.
    """
    as_written = (_AS_WRITTEN_WITH_COMMA if decimal_comma else _AS_WRITTEN).fullmatch
    decimals: dict[str, str | None] = {}
    typed: dict[str, str] = {}
    refused: dict[str, Refusal] = {}
    for text in dict.fromkeys(texts):
        if unit == field.unit and as_written(text):
            decimal_text = text.replace(",", ".") if decimal_comma else text
            if field.low <= float(decimal_text) <= field.high:
                decimals[text] = decimal_text
                if decimal_text != text:
                    typed[text] = text
                continue
        found = _measured_or_refusal(text, field, unit=unit, decimal_comma=decimal_comma)
        decimals[text] = found.decimal_text if isinstance(found, Measured) else None
        if isinstance(found, Refusal):
            refused[text] = found
        elif found is not None and found.as_typed is not None:
            typed[text] = found.as_typed
    indices = range(len(texts)) if typed or refused else ()  # seldom
    as_typed = {index: typed[texts[index]] for index in indices if texts[index] in typed}
    refusals = {index: refused[texts[index]] for index in indices if texts[index] in refused}
    return [decimals[text] for text in texts], as_typed, refusals


def _measured_or_refusal(
    text: str, field: Field, *, unit: str | None, decimal_comma: bool | None
) -> Measured | Refusal | None:
    if not text.strip():
        return None
    try:
        return read_measured(text, field, unit=unit, decimal_comma=decimal_comma)
    except Refusal as refusal:
        return refusal


def _split(plain: str, text: str, field: Field) -> tuple[str, str, str, str]:
    """Sign, digits with points and commas, exponent and the unit as spelt, each '' where there is none."""
    if _NOT_FINITE.fullmatch(plain):
        raise NotFinite(text, field.word, field.example)
    parts = _NUMBER_THEN_UNIT.fullmatch(plain) if len(plain) <= _LONGEST_TEXT else None
    if parts is None:
        raise NotANumber(text, field.word, field.example)
    sign, digits, exponent, spelling = parts.groups()
    return "-" if sign == "-" else "", digits, exponent or "", spelling.strip()


def _unit_symbol(spelling: str | None, text: str, field: Field) -> str:
    if not spelling:
        raise UnitMissing(text, field.word, field.example)
    symbol = symbol_of(spelling)
    if symbol is None or symbol not in field.accepts:
        raise UnitUnknown(text, field.word, [shown(unit) for unit in field.accepts], meaning_of(spelling))
    return symbol


def _with_point(digits: str, text: str, field: Field, *, decimal_comma: bool | None) -> str:
    """The digits with a decimal point and no grouping."""
    if _GROUPED_BY_SPACE.fullmatch(digits):
        digits = digits.replace(" ", "")
    elif decimal_comma is None and _TWO_MEANINGS.fullmatch(digits):
        raise TwoMeanings(text, field.word, digits.replace(",", "."), digits.replace(",", ""))
    if decimal_comma is not True:
        if _POINT.fullmatch(digits):
            return digits
        if _GROUPED_BY_COMMA.fullmatch(digits):
            return digits.replace(",", "")
    if decimal_comma is not False:
        if _COMMA.fullmatch(digits):
            return digits.replace(",", ".")
        if _GROUPED_BY_POINT.fullmatch(digits):
            return digits.replace(".", "").replace(",", ".")
    raise NotANumber(text, field.word, field.example)


def _out_of_range(text: str, field: Field) -> OutOfRange:
    unit = shown(field.unit)
    return OutOfRange(text, field.word, f"{field.low:.12g} {unit}", f"{field.high:.12g} {unit}")


def _plain_decimal(number: Decimal) -> str:
    plain = format(number, "f")
    return plain if number else plain.removeprefix("-")
