"""Refusals of numbers, sizes and times as typed."""

from collections.abc import Sequence

from lugbook.errors.refusal import Refusal, quoted


class NotANumber(Refusal):
    """What was typed cannot be read as one number with one unit."""

    def __init__(self, text: str, field_word: str, example: str) -> None:
        super().__init__(f'{quoted(text)} is not a number for the {field_word}; type it like "{example}".')


class NotFinite(Refusal):
    """What was typed is NaN, an infinity or a meter's overload sign."""

    def __init__(self, text: str, field_word: str, example: str) -> None:
        super().__init__(
            f"{quoted(text)} is not a finite number, so it cannot be the {field_word}; "
            f'leave it out, or type what was read, like "{example}".'
        )


class UnitMissing(Refusal):
    """A bare number where nothing says its unit."""

    def __init__(self, text: str, field_word: str, example: str) -> None:
        super().__init__(
            f'The {field_word} {quoted(text)} has no unit; type it with its unit, like "{example}".'
        )


class UnitUnknown(Refusal):
    """The unit is not one that this field takes; `meaning` says what such a unit is, where it is known."""

    def __init__(self, text: str, field_word: str, accepted: Sequence[str], meaning: str = "") -> None:
        said = f" ({meaning})" if meaning else ""
        one_of = " or ".join([", ".join(accepted[:-1]), accepted[-1]] if len(accepted) > 1 else accepted)
        super().__init__(
            f"The {field_word} {quoted(text)} has a unit it cannot have{said}; type it in {one_of}."
        )


class TwoMeanings(Refusal):
    """A comma that groups thousands for one reader marks decimals for another."""

    def __init__(self, text: str, field_word: str, decimal: str, grouped: str) -> None:
        super().__init__(
            f"The {field_word} {quoted(text)} can mean {decimal} or {grouped}; "
            "type the one you mean, without a comma."
        )


class OutOfRange(Refusal):
    """A number that this field cannot have in any work with cables."""

    def __init__(self, text: str, field_word: str, low: str, high: str) -> None:
        super().__init__(
            f"The {field_word} {quoted(text)} is outside {low} to {high}; "
            "look again at the number and its unit."
        )


class SizeUnknown(Refusal):
    """The name of a conductor size that is in none of the systems we know."""

    def __init__(self, text: str) -> None:
        super().__init__(
            f"{quoted(text)} is not a conductor size; "
            'type it like "2/0 AWG", "SAE 2/0", "70 mm2" or "250 kcmil".'
        )


class SizeTwoMeanings(Refusal):
    """A bare number that is a size in two systems."""

    def __init__(self, text: str) -> None:
        super().__init__(
            f"The conductor size {quoted(text)} names no system; "
            f'type "{text.strip()} AWG", "SAE {text.strip()}" or "{text.strip()} mm2".'
        )


class TimeUnreadable(Refusal):
    """Not a form of date or time that we read."""

    def __init__(self, text: str) -> None:
        super().__init__(
            f"{quoted(text)} is not a date or time that can be read; "
            'type it like "2031-04-18 14:32" or "2031-04-18".'
        )


class TimeImpossible(Refusal):
    """A date or time that no calendar or clock shows."""

    def __init__(self, text: str) -> None:
        super().__init__(
            f"There is no such day or time as {quoted(text)}; "
            'look again, and type it like "2031-04-18 14:32".'
        )


class TimeTooFine(Refusal):
    """More digits after the second than the book keeps."""

    def __init__(self, text: str) -> None:
        super().__init__(
            f"The time {quoted(text)} has more than six digits after the second; type at most six."
        )


class TimeOutOfRange(Refusal):
    """A year in which nothing of this book can have happened."""

    def __init__(self, text: str, first_year: int, last_year: int) -> None:
        super().__init__(
            f"The time {quoted(text)} is outside the years {first_year} to {last_year}; "
            "look again at the year."
        )


class DateTwoMeanings(Refusal):
    """Day first for one reader is month first for another."""

    def __init__(self, text: str, day_first: str, month_first: str) -> None:
        super().__init__(
            f"The date {quoted(text)} can mean {day_first} or {month_first}; type the one you mean."
        )


class TimeTwice(Refusal):
    """The clocks were put back, so that local time came twice."""

    def __init__(self, text: str, zone: str, first_offset: str, second_offset: str) -> None:
        super().__init__(
            f"The time {quoted(text)} came twice in {zone}, when clocks went back; "
            f"add {first_offset} for the first or {second_offset} for the second."
        )


class TimeNever(Refusal):
    """The clocks were put forward over that local time."""

    def __init__(self, text: str, zone: str, offset_before: str, offset_after: str) -> None:
        super().__init__(
            f"The time {quoted(text)} never came in {zone}, when clocks went forward from {offset_before} "
            f"to {offset_after}; type a time that the clock showed."
        )


class ZoneUnknown(Refusal):
    """Not a name of the IANA time zone database."""

    def __init__(self, zone: str) -> None:
        super().__init__(
            f'{quoted(zone)} is not a time zone; type an IANA name like "Europe/Lisbon", or UTC.'
        )


class NotAPrice(Refusal):
    """A price without its currency, or with more than two places."""

    def __init__(self, text: str) -> None:
        super().__init__(
            f"{quoted(text)} is not a price; type the amount and its currency in three letters, like 4.20 EUR."
        )
