"""Refusals that the book itself gives."""

from lugbook.errors.refusal import Refusal


class BookMissing(Refusal):
    """The path holds nothing; opening never creates a book."""

    exit_code = 5

    def __init__(self, path: object) -> None:
        super().__init__(
            f"There is no book at {path}; make one with `lugbook book new {path}`, or name another with --book."
        )


class BookExists(Refusal):
    """A new book would write over something."""

    exit_code = 5

    def __init__(self, path: object) -> None:
        super().__init__(
            f"There is already something at {path}, and it was left as it is; choose another name."
        )


class NotABook(Refusal):
    """The file is something else, or damaged beyond reading."""

    exit_code = 5

    def __init__(self, path: object) -> None:
        super().__init__(
            f"{path} is not a Lugbook book, or is damaged; nothing was changed. "
            "Name the right file with --book, or put back a copy."
        )


class BookFromNewer(Refusal):
    """A later program made the book."""

    exit_code = 5

    def __init__(self, path: object) -> None:
        super().__init__(
            f"{path} was made by a newer Lugbook and was not changed; install that version to open it."
        )


class BookFromOlder(Refusal):
    """An earlier program made the book."""

    exit_code = 5

    def __init__(self, path: object) -> None:
        super().__init__(
            f"{path} was made by an older Lugbook; bring it up to date with `lugbook --book {path} book upgrade`."
        )


class UpgradeFailed(Refusal):
    """A migrated copy did not pass its checks."""

    exit_code = 5

    def __init__(self, path: object, why: str) -> None:
        super().__init__(
            f"The upgraded copy of {path} did not pass its check ({why}); the book itself was not changed. "
            "See what is damaged with `book verify` of the Lugbook that made it, or put back a copy."
        )


class BookBusy(Refusal):
    """Another program holds the book."""

    exit_code = 4

    def __init__(self, path: object) -> None:
        super().__init__(
            f"Another program is writing in {path}; nothing was written. Try again when it has finished."
        )


class NoSpaceLeft(Refusal):
    """The disk is full or failed."""

    exit_code = 6

    def __init__(self, path: object) -> None:
        super().__init__(
            f"The disk that holds {path} is full or failed; nothing was written. Make room, then try again."
        )


class BookUnwritable(Refusal):
    """The file or its folder may not be written."""

    exit_code = 7

    def __init__(self, path: object) -> None:
        super().__init__(
            f"{path} or its folder cannot be written; nothing was changed. Give yourself the right to write there."
        )


class OutcomeUnknown(Refusal):
    """The commit itself reported an error."""

    exit_code = 8

    def __init__(self, path: object) -> None:
        super().__init__(
            f"Writing to {path} ended in an error at the last step; "
            "look with `lugbook book verify` whether the entry is there before you repeat it."
        )


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
        super().__init__(
            f"The {column.replace('_', ' ')} holds characters that cannot be kept unchanged; "
            "type it again in plain letters."
        )


class AlreadySuperseded(Refusal):
    """The row was corrected or withdrawn before."""

    def __init__(self, identity: int, replacement: int | None) -> None:
        withdrawn = "it was withdrawn before; enter it anew if it is right after all"
        now = f"entry {replacement} replaces it; name that one" if replacement else withdrawn
        super().__init__(f"Entry {identity} no longer counts: {now}.")
