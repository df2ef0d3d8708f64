"""Every refusal a person can meet: its sentence, its exit code.

Exit codes: 0 done, 1 verify found something, 2 usage, 3 input refused, 4 book busy, 5 not our book, damaged,
newer or missing, 6 no space or I/O failure, 7 read-only, 8 outcome unknown, 10 `status --exit-code` found a
span that needs a person.
"""

from collections.abc import Sequence
from difflib import get_close_matches


class Refusal(Exception):
    """Something Lugbook will not do; the sentence says what, where and what to do instead."""

    exit_code = 3


def nearest(word: str, known: Sequence[str]) -> str:
    """' (did you mean C12A/crimp?)' where a known word is close to the one given, else ''."""
    close = get_close_matches(word, known, n=1, cutoff=0.6)
    return f" (did you mean {close[0]}?)" if close else ""


# --- units: numbers, sizes and times as typed ---


def quoted(text: str) -> str:
    """The text as typed, between quotes, on one line, and cut at 40 characters."""
    shown = "".join(character if character.isprintable() else " " for character in text[:41])
    return f'"{shown[:40]}..."' if len(text) > 40 else f'"{shown}"'


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


# --- exchange: files in and out ---


def listed(words: Sequence[str], joined_by: str = "and") -> str:
    """The words in one phrase: "span, round and taken_at"."""
    return f"{', '.join(words[:-1])} {joined_by} {words[-1]}" if len(words) > 1 else "".join(words)


class Undecodable(Refusal):
    """Bytes that are no text in the encoding that the rest of the file is in."""

    def __init__(self, offset: int, encoding: str) -> None:
        super().__init__(
            f"Byte {offset} of the file (counted from 0) is not {encoding} text; "
            "save the file as UTF-8 and try again."
        )


class NulByte(Refusal):
    """A NUL in a table: a damaged file, or one that is no table of text."""

    def __init__(self, line: int) -> None:
        super().__init__(
            f"Line {line} holds a NUL byte, so this is not a table of text; export it again as CSV."
        )


class CutFile(Refusal):
    """No line end after the last row: nothing tells a whole last cell from half of one."""

    def __init__(self) -> None:
        super().__init__(
            "The last line does not end; the file may be cut. "
            "Copy it again, or add a line end if it is whole."
        )


class NoRows(Refusal):
    """Nothing below the headings, or nothing at all."""

    def __init__(self, kind: str) -> None:
        super().__init__(f"The file holds no rows of {kind}; nothing was read.")


class NoHeadingLine(Refusal):
    """No line of the file looks like the headings of this kind of table."""

    def __init__(self, kind: str, needed: Sequence[str]) -> None:
        super().__init__(f"No line holds the headings of a table of {kind}; it needs {listed(needed)}.")


class UnknownHeading(Refusal):
    """A heading that no column of this kind of table has."""

    def __init__(self, line: int, heading: str, kind: str, known: Sequence[str]) -> None:
        plain = "_".join(heading.casefold().replace("-", " ").replace("_", " ").split())
        self.meant = nearest(plain, known)
        super().__init__(
            f"Line {line}: {quoted(heading)} is not a heading of a table of {kind}{self.meant}; "
            "rename the column or take it out."
        )


class MissingHeadings(Refusal):
    """The heading line lacks columns that this kind of table cannot do without."""

    def __init__(self, line: int, kind: str, missing: Sequence[str]) -> None:
        super().__init__(f"Line {line} lacks headings that a table of {kind} needs: add {listed(missing)}.")


class DuplicateHeading(Refusal):
    """One heading twice: which column is meant cannot be told."""

    def __init__(self, line: int, heading: str) -> None:
        super().__init__(
            f"Line {line} has the heading {quoted(heading)} twice; rename or take out one of them."
        )


class TwoHeadingsOneColumn(Refusal):
    """Two headings that both name one column, in two units perhaps."""

    def __init__(self, line: int, first: str, second: str, column: str) -> None:
        super().__init__(
            f"Line {line}: {quoted(first)} and {quoted(second)} are both the column {column}; "
            "take out one of them."
        )


class UnnamedColumn(Refusal):
    """Cells under no heading."""

    def __init__(self, line: int, place: int) -> None:
        super().__init__(
            f"Line {line} has something in column {place}, which has no heading; give it one or empty it."
        )


class ExtraCell(Refusal):
    """More cells in a row than there are headings."""

    def __init__(self, line: int, found: int, expected: int) -> None:
        super().__init__(
            f"Line {line} has {found} cells where the headings are {expected}; "
            "put a cell that holds the separator between quotes."
        )


class MissingCell(Refusal):
    """Fewer cells in a row than there are headings."""

    def __init__(self, line: int, found: int, expected: int) -> None:
        super().__init__(
            f"Line {line} has {found} cells where the headings are {expected}; "
            "write an empty cell for what was not read."
        )


class QuoteOpen(Refusal):
    """A quote that never closes, or closes in the middle of a cell."""

    def __init__(self, line: int) -> None:
        super().__init__(
            f"Line {line} opens a quote that does not close at the end of its cell; close it or take it out."
        )


class CellTooLong(Refusal):
    """A cell longer than anything that is written by hand."""

    def __init__(self, line: int, limit: int) -> None:
        super().__init__(f"Line {line} has a cell of more than {limit} characters; shorten it.")


class DecimalMarkUnclear(Refusal):
    """A comma that could group thousands, in a file that shows no other use of it."""

    def __init__(self, line: int, text: str) -> None:
        super().__init__(
            f"Line {line}: {quoted(text)} has two meanings, and no other number in the file says which; "
            "add --decimal comma or --decimal point."
        )


class DecimalMarksMixed(Refusal):
    """Commas mark decimals in one row, points in another."""

    def __init__(self, comma_line: int, comma_text: str, point_line: int, point_text: str) -> None:
        super().__init__(
            f"Line {comma_line} has {quoted(comma_text)} and line {point_line} has {quoted(point_text)}; "
            "write all decimals with one mark."
        )


class CellUnwritable(Refusal):
    """Text that would not come back from a table as it went in."""

    def __init__(self, heading: str, text: str) -> None:
        super().__init__(
            f"The {heading} {quoted(text)} holds a line break or a character that no table can carry; "
            "correct it first."
        )


# --- assessment: numbers that cannot be judged ---

# --- records and jobs: the book ---


class BookMissing(Refusal):
    """The path holds nothing; opening never creates a book."""

    exit_code = 5

    def __init__(self, path: object) -> None:
        super().__init__(f"There is no book at {path}; make one with `lugbook book new {path}`, or name another with --book.")


class BookExists(Refusal):
    """A new book would write over something."""

    exit_code = 5

    def __init__(self, path: object) -> None:
        super().__init__(f"There is already something at {path}, and it was left as it is; choose another name.")


class NotABook(Refusal):
    """The file is something else, or damaged beyond reading."""

    exit_code = 5

    def __init__(self, path: object) -> None:
        super().__init__(f"{path} is not a Lugbook book, or is damaged; nothing was changed. Name the right file with --book, or put back a copy.")


class BookFromNewer(Refusal):
    """A later program made the book."""

    exit_code = 5

    def __init__(self, path: object) -> None:
        super().__init__(f"{path} was made by a newer Lugbook and was not changed; install that version to open it.")


class BookFromOlder(Refusal):
    """An earlier program made the book."""

    exit_code = 5

    def __init__(self, path: object) -> None:
        super().__init__(f"{path} was made by an older Lugbook; bring it up to date with `lugbook --book {path} book upgrade`.")


class UpgradeFailed(Refusal):
    """A migrated copy did not pass its checks."""

    exit_code = 5

    def __init__(self, path: object, why: str) -> None:
        super().__init__(f"The upgraded copy of {path} did not pass its check ({why}); the book itself was not changed.")


class BookBusy(Refusal):
    """Another program holds the book."""

    exit_code = 4

    def __init__(self, path: object) -> None:
        super().__init__(f"Another program is writing in {path}; nothing was written. Try again when it has finished.")


class NoSpaceLeft(Refusal):
    """The disk is full or failed."""

    exit_code = 6

    def __init__(self, path: object) -> None:
        super().__init__(f"The disk that holds {path} is full or failed; nothing was written. Make room, then try again.")


class BookUnwritable(Refusal):
    """The file or its folder may not be written."""

    exit_code = 7

    def __init__(self, path: object) -> None:
        super().__init__(f"{path} or its folder cannot be written; nothing was changed. Give yourself the right to write there.")


class OutcomeUnknown(Refusal):
    """The commit itself reported an error."""

    exit_code = 8

    def __init__(self, path: object) -> None:
        super().__init__(f"Writing to {path} ended in an error at the last step; look with `lugbook book verify` whether the entry is there before you repeat it.")


class LastLineUnreadable(Refusal):
    """The end of the ledger, which every new line must name, is damaged."""

    exit_code = 5

    def __init__(self) -> None:
        super().__init__(
            "The last line of the book's ledger cannot be read; look with `lugbook book verify`, and put back a copy."
        )


class NotCanonical(Refusal):
    """A text or number that has no single form in the ledger."""

    def __init__(self, column: str) -> None:
        super().__init__(f"The {column.replace('_', ' ')} holds characters that cannot be kept unchanged; type it again in plain letters.")


class AlreadySuperseded(Refusal):
    """The row was corrected or withdrawn before."""

    def __init__(self, identity: int, replacement: int | None) -> None:
        now = f"entry {replacement} replaces it; amend that one" if replacement else "it was withdrawn before"
        super().__init__(f"Entry {identity} no longer counts: {now}.")


# --- reports: pictures ---


class PictureFormatUnknown(Refusal):
    """A picture was asked for in a format we do not draw."""

    def __init__(self, file_format: str, known: Sequence[str]) -> None:
        names = ", ".join(known)
        super().__init__(f"No picture can be drawn as {file_format!r}; name the file with one of {names}.")


class UnknownSpan(Refusal):
    """No such span, or several."""

    def __init__(self, tag: str, expected: str) -> None:
        super().__init__(f"Span {tag}: expected {expected}; list them with `lugbook span list`.")


class NothingCalled(Refusal):
    """A name or tag that the book does not know."""

    def __init__(self, called: str, name: str, noun: str, known: Sequence[str] = ()) -> None:
        near = nearest(name, known)
        super().__init__(f"The book knows no {called} {quoted(name)}{near}; list them with `lugbook {noun} list`.")


class NotADay(Refusal):
    """A day that is no day."""

    exit_code = 2

    def __init__(self, text: str) -> None:
        super().__init__(f"{text!r} is not a day; write it like 2031-04-18.")


class LineRefused(Refusal):
    """One line typed by hand that does not fit."""

    def __init__(self, sentence: str) -> None:
        super().__init__(f"Not written: {sentence}")


class ImportRefused(Refusal):
    """A file with lines that cannot be taken; none of it was."""

    def __init__(self, file_name: str, sentences: Sequence[str]) -> None:
        self.sentences = tuple(sentences)
        count = f"{len(sentences)} faults" if len(sentences) > 1 else "one fault"
        shown = "\n".join(f"  {sentence}" for sentence in sentences[:40])
        rest = f"\n  and {len(sentences) - 40} more" if len(sentences) > 40 else ""
        super().__init__(
            f"Nothing of {file_name} was written, because of {count}:\n{shown}{rest}\n"
            "Correct these lines, or take the sound ones with --set-aside FILE, which keeps the others there."
        )


class FileRefused(Refusal):
    """A file that cannot be read as a table at all."""

    def __init__(self, file_name: str, why: object) -> None:
        super().__init__(f"Nothing of {file_name} was written. {why}")


class FileExists(Refusal):
    """A file that would be written over."""

    exit_code = 7

    def __init__(self, path: object) -> None:
        super().__init__(f"There is already something at {path}, and it was left as it is; name another file.")


class NoReadingCalled(Refusal):
    """An entry number that is no reading."""

    def __init__(self, identity: int) -> None:
        super().__init__(f"Entry {identity} is not a reading; find its number with `lugbook reading list`.")


class SayMore(Refusal):
    """Nothing earlier to take a default from."""

    exit_code = 2

    def __init__(self, option: str, what: str) -> None:
        super().__init__(f"Say with {option} {what}; nothing in the book says it yet.")


class FileMissing(Refusal):
    """A file to read that is not there."""

    def __init__(self, path: object) -> None:
        super().__init__(f"There is no file at {path} that can be read; check the name.")


class UnknownKind(Refusal):
    """A kind of table that is not one."""

    exit_code = 2

    def __init__(self, kind: str, known: Sequence[str]) -> None:
        super().__init__(f"{kind!r} is not a kind of table{nearest(kind, known)}; the kinds are {', '.join(known)}.")


class PlotFormatUnknown(Refusal):
    """A picture format we do not draw."""

    exit_code = 2

    def __init__(self, name: str) -> None:
        super().__init__(f"{name} is not a picture Lugbook draws; end the name in .svg, .png or .pdf.")


class FileUnwritable(Refusal):
    """A file that could not be written."""

    exit_code = 7

    def __init__(self, path: object) -> None:
        super().__init__(f"{path} could not be written; check the folder and your right to write there.")
