"""Drawing a span, or the rounds of a build, into a file."""

from datetime import date
from pathlib import Path

from lugbook.jobs.assessing import tell_build_rounds, tell_span
from lugbook.jobs.exchanging import write_file
from lugbook.jobs.joinings import joining_of
from lugbook.records.store import Book


def plot_span(book: Book, on: date, tag: str, out: Path, *, build: str | None = None) -> None:
    """Draw one span. Raises PictureFormatUnknown, UnknownSpan, FileUnwritable."""
    story = tell_span(book, on, tag, build=build)
    from lugbook.reports.plots import draw_span

    joined = joining_of(book, story.build, tag)
    write_file(out, draw_span(story, out.suffix.lower().lstrip("."), joined=joined))


def plot_rounds(book: Book, on: date, out: Path, *, build: str | None = None) -> str:
    """Draw what each round of a build did, and return the name of the build.

    Raises PictureFormatUnknown, NothingCalled, SayMore where there are several builds, FileUnwritable.
    """
    name, stories = tell_build_rounds(book, on, build=build)
    from lugbook.reports.round_plot import draw_rounds

    write_file(out, draw_rounds(name, stories, out.suffix.lower().lstrip(".")))
    return name
