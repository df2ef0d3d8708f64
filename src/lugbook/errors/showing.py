"""Refusals of what is to be shown to others: photos, reports, labels."""

from collections.abc import Sequence

from lugbook.errors.refusal import Refusal, listed, quoted


class PhotoUnusable(Refusal):
    """A picture that cannot or may not be shown."""

    def __init__(self, name: str, why: str) -> None:
        self.why = why
        super().__init__(f"The photo {quoted(name)} cannot be taken: {why}.")


class PhotosAmiss(Refusal):
    """Photos that a report would show are missing or are not what was noted."""

    def __init__(self, sentences: Sequence[str]) -> None:
        count = "one photo is" if len(sentences) == 1 else f"{len(sentences)} photos are"
        lines = "\n".join(f"  {sentence}" for sentence in sentences)
        super().__init__(
            f"No report was made, because {count} not as the book says:\n{lines}\n"
            "Name the folder that holds the originals with --photos FOLDER, or leave all photos out with --no-photos, "
            "which the report will say."
        )


class PaperUnknown(Refusal):
    """A size of paper that is not one."""

    exit_code = 2

    def __init__(self, paper: str, known: Sequence[str]) -> None:
        super().__init__(f"{quoted(paper)} is not a paper we print on; it is {listed(list(known), 'or')}.")


class OneAtATime(Refusal):
    """A page was asked for on two things at once."""

    exit_code = 2

    def __init__(self) -> None:
        super().__init__("A page is on one span or on one cable; give --span or --cable, not both.")


class IssueTaken(Refusal):
    """A number that an issue of the build already has."""

    def __init__(self, number: str, build: str) -> None:
        super().__init__(
            f"The book already holds issue {number} of {build}; leave --issue out, and this one takes the next number."
        )


class BookMovedOn(Refusal):
    """Something was entered while a report was made that is to be recorded."""

    exit_code = 4

    def __init__(self) -> None:
        super().__init__("Not issued: something was entered in the book while the report was made; run it again.")


class UnsoundIssue(Refusal):
    """A report to be recorded in a book that does not verify."""

    def __init__(self) -> None:
        super().__init__(
            "Not issued: this book does not verify, as `lugbook book verify` tells; without --record the report is "
            "made, with a red notice."
        )


class LabelsDoNotFit(Refusal):
    """A sheet of labels that is larger than its paper, or labels too small to read."""

    exit_code = 2

    def __init__(self, why: str) -> None:
        super().__init__(f"These labels cannot be printed: {why}; measure the sheet again.")


class NothingToShow(Refusal):
    """A report or labels of something the book does not have."""

    def __init__(self, what: str) -> None:
        super().__init__(f"There is nothing to show: {what}.")
