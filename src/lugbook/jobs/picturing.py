"""Drawing a span into a file."""

from datetime import date
from pathlib import Path

from lugbook.jobs.assessing import tell_span
from lugbook.jobs.exchanging import write_file
from lugbook.jobs.joinings import joining_of
from lugbook.records.store import Book


def plot_span(book: Book, on: date, tag: str, out: Path, *, build: str | None = None) -> None:
    """Draw one span. Raises PictureFormatUnknown, UnknownSpan, FileUnwritable."""
    story = tell_span(book, on, tag, build=build)
    from lugbook.reports.plots import draw_span

    joined = joining_of(book, story.build, tag)
    write_file(out, draw_span(story, out.suffix.lower().lstrip("."), joined=joined))
