"""Drawing a span into a file."""

from datetime import date
from pathlib import Path

from lugbook.errors import PlotFormatUnknown
from lugbook.jobs.assessing import tell_span
from lugbook.jobs.exchanging import write_file
from lugbook.records.store import Book

FORMATS = ("svg", "png", "pdf")


def plot_span(book: Book, on: date, tag: str, out: Path, *, build: str | None = None) -> None:
    """Draw one span. Raises PlotFormatUnknown, UnknownSpan, FileUnwritable."""
    file_format = out.suffix.lower().lstrip(".")
    if file_format not in FORMATS:
        raise PlotFormatUnknown(out.name)
    story = tell_span(book, on, tag, build=build)
    from lugbook.reports.plots import draw_span

    write_file(out, draw_span(story, file_format))
