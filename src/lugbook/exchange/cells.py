"""What the cells of one column mean: values, what was typed where that differs, and what is wrong."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from dataclasses import field as dataclass_field

from lugbook.errors import Refusal, quoted
from lugbook.exchange.layout import Column
from lugbook.units.fields import METER_FIELDS, Field
from lugbook.units.instants import read_instant, read_instants
from lugbook.units.money import read_price
from lugbook.units.parsing import read_many
from lugbook.units.sizes import read_size
from lugbook.units.symbols import symbol_of

LONGEST_LABEL = 64  # characters
LONGEST_NOTE = 5_000

_OVERLOAD = re.compile(
    r"[+\-\N{MINUS SIGN}]?(?:[o0]\.? ?l\.?|over|over[ -]?load|over[ -]?range|-{2,})", re.IGNORECASE
)
# Controls, line and paragraph separators, halves of characters, and marks that turn the reading direction:
# text that holds one does not look like what it is.
_UNSEEN = re.compile(
    "[\x00-\x1f\x7f-\x9f\u061c\u200e\u200f\u2028\u2029\u202a-\u202e\u2066-\u2069\ud800-\udfff]"
)
_BARE = re.compile(r"[-+\N{MINUS SIGN}0-9.,\s]+")
_YES_OR_NO = {"yes": True, "y": True, "true": True, "no": False, "n": False, "false": False}
_WHOLE = re.compile(r"\+?[0-9]{1,9}")


@dataclass(frozen=True, slots=True)
class Wrong:
    """Why a cell is a fault: the phrase and, where there is one, the sentence of `faults.Fault`."""

    expected: str
    why: str = ""


@dataclass(slots=True)
class ReadColumn:
    """One column read. Indices count rows from 0."""

    values: list[object]  # None where the cell is empty without a default, or wrong
    as_typed: dict[int, str] = dataclass_field(default_factory=dict)
    wrong: dict[int, Wrong] = dataclass_field(default_factory=dict)


def read_column(
    texts: Sequence[str],
    column: Column,
    *,
    unit: str | None,
    decimal_comma: bool | None,
    zone: str | Sequence[str],
) -> ReadColumn:
    """Read one column of any shape but "in meter unit" and "meter unit", which need each other.

    `unit` is the one the heading states; `zone` that of all rows, or of each.
    """
    if column.shape == "measure" and column.field is not None:
        return read_measures(texts, column.field, unit=unit, decimal_comma=decimal_comma)
    if column.shape == "time":
        return _read_times(texts, zone)
    return _read_each_text_once(texts, column, _MEANING_OF[column.shape])


def read_measures(
    texts: Sequence[str], measured: Field, *, unit: str | None, decimal_comma: bool | None
) -> ReadColumn:
    """A column of numbers as decimal texts in the unit of the field."""
    decimals, as_typed, refusals = read_many(texts, measured, unit=unit, decimal_comma=decimal_comma)
    if unit and unit != measured.unit:  # the heading said it; what was typed means nothing without it
        as_typed = {i: f"{text} {unit}" if _BARE.fullmatch(text) else text for i, text in as_typed.items()}
    expected = f'a {measured.word} like "{measured.example}"'
    wrong = {index: _wrong_number(texts[index], refusal, expected) for index, refusal in refusals.items()}
    return ReadColumn(list[object](decimals), as_typed, wrong)


def read_meter_units(unit_texts: Sequence[str]) -> ReadColumn:
    """The units that instruments read in, each the one that the book has for such a meter: lbf is N."""
    units = [_meter_unit(text) for text in unit_texts]
    return ReadColumn(
        values=list[object](units),
        as_typed={i: unit_texts[i] for i, unit in enumerate(units) if unit and unit_texts[i] != unit},
        wrong={
            i: Wrong(_PHRASES["meter unit"]) for i, text in enumerate(unit_texts) if text and not units[i]
        },
    )


def read_in_meter_units(
    texts: Sequence[str], unit_texts: Sequence[str], heading: str, *, decimal_comma: bool | None
) -> ReadColumn:
    """A column of numbers in the unit that each row's instrument reads in, as decimal texts in the book's unit.

    A pull tester of 1 lbf reads in "N" with a resolution of 4.448... there.
    """
    numbers = ReadColumn([None] * len(texts))
    for index, (text, unit_text) in enumerate(zip(texts, unit_texts, strict=True)):
        unit = _meter_unit(unit_text)
        if unit is None or not text:
            continue
        one = read_measures(
            [text], METER_FIELDS[heading][unit], unit=symbol_of(unit_text), decimal_comma=decimal_comma
        )
        numbers.values[index] = one.values[0]
        if one.as_typed:
            numbers.as_typed[index] = one.as_typed[0]
        if one.wrong:
            numbers.wrong[index] = one.wrong[0]
    return numbers


def _meter_unit(unit_text: str) -> str | None:
    symbol = symbol_of(unit_text)
    fields = METER_FIELDS["resolution"].values()
    return next((field.unit for field in fields if symbol in field.accepts), None)


def expected_of(column: Column) -> str:
    """What a cell of the column must hold, as a phrase for its fault."""
    if column.field is not None:
        return f'a {column.field.word} like "{column.field.example}"'
    if column.shape == "choice":
        return "one of " + ", ".join(column.words)
    if column.shape == "whole":
        return f"a whole number from {column.least} to {column.most}"
    return _PHRASES[column.shape]


def word_of_choice(text: str) -> str:
    """A word to choose as the layouts spell it, whatever its capitals and blanks: "Over_limit" is "over limit"."""
    return " ".join(text.casefold().replace("_", " ").split())


_PHRASES = {
    "label": f"1 to {LONGEST_LABEL} printable characters",
    "note": f"up to {LONGEST_NOTE} characters on one line",
    "time": 'a time like "2031-04-18 14:32"',
    "day": 'a day like "2031-04-18"',
    "yes or no": "yes or no",
    "size": 'a conductor size like "2/0 AWG" or "70 mm2"',
    "money": 'a price like "4.20 EUR"',
    "zone": "a time zone like Europe/Lisbon, or UTC",
    "meter unit": "one of " + ", ".join(METER_FIELDS["resolution"]),
    "in meter unit": 'a number like "0.01"',
}


def _wrong_number(text: str, refusal: Refusal, expected: str) -> Wrong:
    if not _OVERLOAD.fullmatch(text):
        return Wrong(expected, str(refusal))
    return Wrong(
        expected,
        f"the meter showed overload ({quoted(text)}); take the row out, or read again on a higher range.",
    )


def _read_times(texts: Sequence[str], zone: str | Sequence[str]) -> ReadColumn:
    if isinstance(zone, str):
        return _times_in(texts, zone)
    places: dict[str, list[int]] = {}
    for index, name in enumerate(zone):
        places.setdefault(name, []).append(index)
    if len(places) == 1:
        return _times_in(texts, next(iter(places)))
    values: list[object] = [None] * len(texts)
    as_typed: dict[int, str] = {}
    wrong: dict[int, Wrong] = {}
    for name, indices in places.items():
        part = _times_in([texts[index] for index in indices], name)
        for index, value in zip(indices, part.values, strict=True):
            values[index] = value
        as_typed |= {indices[index]: text for index, text in part.as_typed.items()}
        wrong |= {indices[index]: why for index, why in part.wrong.items()}
    return ReadColumn(values, as_typed, wrong)


def _times_in(texts: Sequence[str], zone: str) -> ReadColumn:
    utc_texts, as_typed, refusals = read_instants(texts, zone)
    wrong = {index: Wrong(_PHRASES["time"], str(refusal)) for index, refusal in refusals.items()}
    return ReadColumn(list[object](utc_texts), as_typed, wrong)


Meaning = Callable[[str, Column], "object | Wrong"]


def _read_each_text_once(texts: Sequence[str], column: Column, meaning_of: Meaning) -> ReadColumn:
    meanings = {text: meaning_of(text, column) if text else column.default for text in set(texts)}
    bad = {text: meaning for text, meaning in meanings.items() if isinstance(meaning, Wrong)}
    if bad:
        wrong = {index: bad[text] for index, text in enumerate(texts) if text in bad}
        meanings |= dict.fromkeys(bad)
    else:
        wrong = {}
    values = list(map(meanings.__getitem__, texts))
    if column.shape not in ("size", "day", "money"):
        return ReadColumn(values, {}, wrong)
    as_typed = {
        index: text
        for index, (text, value) in enumerate(zip(texts, values, strict=True))
        if value is not None and text != value
    }
    return ReadColumn(values, as_typed, wrong)


def _label(text: str, column: Column) -> object:
    if len(text) > LONGEST_LABEL:
        return _too_long(text, LONGEST_LABEL, column)
    return text if text.isprintable() else _unseen(text, column)


def _note(text: str, column: Column) -> object:
    if len(text) > LONGEST_NOTE:
        return _too_long(text, LONGEST_NOTE, column)
    return _unseen(text, column) if _UNSEEN.search(text) else text


def _too_long(text: str, limit: int, column: Column) -> Wrong:
    return Wrong(expected_of(column), f"{quoted(text)} has {len(text)} characters; {limit} at most.")


def _unseen(text: str, column: Column) -> Wrong:
    found = _UNSEEN.search(text)
    character = found.group() if found else next(one for one in text if not one.isprintable())
    code = f"the unprintable character U+{ord(character):04X}"
    what = "a line break" if character in "\n\u2028\u2029" else code
    return Wrong(expected_of(column), f"{quoted(text)} holds {what}; type it without.")


def _yes_or_no(text: str, column: Column) -> object:
    return _YES_OR_NO.get(text.casefold(), Wrong(expected_of(column)))


def _whole(text: str, column: Column) -> object:
    if not _WHOLE.fullmatch(text) or not column.least <= int(text) <= column.most:
        return Wrong(expected_of(column))
    return int(text)


def _choice(text: str, column: Column) -> object:
    word = word_of_choice(text)
    return word if word in column.words else Wrong(expected_of(column))


def _size(text: str, column: Column) -> object:
    try:
        return read_size(text).text
    except Refusal as refusal:
        return Wrong(expected_of(column), str(refusal))


def _money(text: str, column: Column) -> object:
    try:
        return " ".join(read_price(text))
    except Refusal as refusal:
        return Wrong(expected_of(column), str(refusal))


def _day(text: str, column: Column) -> object:
    if ":" in text:
        return Wrong(expected_of(column))
    try:
        return read_instant(text, "UTC").utc_text[:10]
    except Refusal as refusal:
        return Wrong(expected_of(column), str(refusal))


def _zone(text: str, column: Column) -> object:
    try:
        read_instant("2000-01-01", text)
    except Refusal as refusal:
        return Wrong(expected_of(column), str(refusal))
    return text


_MEANING_OF: Mapping[str, Meaning] = {
    "label": _label,
    "note": _note,
    "yes or no": _yes_or_no,
    "whole": _whole,
    "choice": _choice,
    "size": _size,
    "money": _money,
    "day": _day,
    "zone": _zone,
}
