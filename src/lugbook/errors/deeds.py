"""Refusals of what a person asked to be done."""

from collections.abc import Sequence

from lugbook.errors.refusal import Refusal, nearest, quoted


class PictureFormatUnknown(Refusal):
    """A picture was asked for in a format we do not draw."""

    exit_code = 2

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
        super().__init__(
            f"The book knows no {called} {quoted(name)}{near}; list them with `lugbook {noun} list`."
        )


class NothingToPlanWith(Refusal):
    """Seasons cannot be planned without noise to plan with."""

    def __init__(self) -> None:
        super().__init__(
            "No build of this book has been read in two rounds yet, so nothing is known of how its readings scatter; "
            "read it twice, or plan single readings with `lugbook plan reading`."
        )


class NotADay(Refusal):
    """A day that is no day."""

    exit_code = 2

    def __init__(self, text: str) -> None:
        super().__init__(f"{text!r} is not a day from 1970 to 2200; write it like 2031-04-18.")


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
        super().__init__(
            f"There is already something at {path}, and it was left as it is; name another file."
        )


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
        super().__init__(
            f"{kind!r} is not a kind of table{nearest(kind, known)}; the kinds are {', '.join(known)}."
        )


class FileUnwritable(Refusal):
    """A file that could not be written."""

    exit_code = 7

    def __init__(self, path: object) -> None:
        super().__init__(f"{path} could not be written; check the folder and your right to write there.")


class AlreadyMade(Refusal):
    """An end that has a terminal."""

    def __init__(self, end: str, day: str) -> None:
        super().__init__(f"{end} has a terminal already, made {day}; if it was made anew, say --remake.")


class PhotoHeld(Refusal):
    """A photo that is noted of the same thing already."""

    def __init__(self, file_name: str, entry: int) -> None:
        super().__init__(f"The book already holds {file_name} of this, as entry {entry}; nothing was written.")


class SeveralCalled(Refusal):
    """A name that several rows answer to."""

    def __init__(self, called: str, name: str, entries: Sequence[int]) -> None:
        listed_entries = ", ".join(str(entry) for entry in entries)
        super().__init__(
            f"Several rows answer to the {called} {quoted(name)}; give its entry number: {listed_entries}."
        )


class NotAChange(Refusal):
    """A change that is not written as one."""

    exit_code = 2

    def __init__(self, text: str, headings: Sequence[str]) -> None:
        super().__init__(
            f"{quoted(text)} is not a change; write HEADING=VALUE with one of {', '.join(headings)}."
        )


class NotWithdrawable(Refusal):
    """A kind of row that others lean on."""

    def __init__(self, kind: str) -> None:
        super().__init__(
            f"Other entries lean on {kind}, so they cannot be withdrawn; amend what is wrong instead."
        )
