"""Sheets of labels for cable ends: tag, size, where it goes, and a code to scan."""

from __future__ import annotations

from dataclasses import dataclass

from lugbook.errors import LabelsDoNotFit
from lugbook.reports.codes import draw_code
from lugbook.reports.pdf import PAPERS, check_paper
from lugbook.reports.plain_text import breakable
from lugbook.reports.typesetting import FAMILIES, Paper, set_pages

PAPER_MILLIMETRE = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
LEAST_MILLIMETRE = (18.0, 8.0)
"""Below this the tag and its code cannot be read at arm's length."""


@dataclass(frozen=True)
class Sheet:
    """A sheet of labels as its maker sells it, all in millimetre."""

    width: float
    height: float
    columns: int
    rows: int
    left: float
    """From the edge of the paper to the first label."""
    top: float
    gap_across: float = 0.0
    gap_down: float = 0.0
    paper: str = "a4"


@dataclass(frozen=True)
class Label:
    """What stands on one label."""

    tag: str
    size: str
    goes_to: str
    """Where this end goes and what the cable carries; '' for nothing."""
    scanned: str
    """What the code holds: tag and name of the book."""


def print_labels(labels: tuple[Label, ...], sheet: Sheet, *, title: str, day: str, start: int = 1) -> Paper:
    """The labels as PDF pages, row by row; `start` is the first place still free on a sheet used before.

    Raises PaperUnknown, LabelsDoNotFit.
    """
    check_sheet(sheet, start)
    side = min(sheet.height - 3.0, sheet.width * 0.4)
    data = {
        "title": breakable(title),
        "fonts": list(FAMILIES),
        "paper": PAPERS[sheet.paper.lower()],
        "sheet": {
            "width": sheet.width, "height": sheet.height, "columns": sheet.columns, "rows": sheet.rows,
            "left": sheet.left, "top": sheet.top, "across": sheet.gap_across, "down": sheet.gap_down, "side": side,
        },
        "skipped": start - 1,
        "labels": [
            {
                "tag": breakable(label.tag), "size": breakable(label.size), "goes_to": breakable(label.goes_to),
                "svg": draw_code(label.scanned, "", millimetre=side).svg,
                "alt": breakable(f"Code: {label.scanned}"),
            }
            for label in labels
        ],
    }  # fmt: skip
    return set_pages("labels.typ", data, {}, day)


def check_sheet(sheet: Sheet, start: int) -> None:
    """See that the labels lie on the paper and can be read. Raises PaperUnknown, LabelsDoNotFit."""
    check_paper(sheet.paper)
    wide, high = PAPER_MILLIMETRE[sheet.paper.lower()]
    if sheet.width < LEAST_MILLIMETRE[0] or sheet.height < LEAST_MILLIMETRE[1]:
        raise LabelsDoNotFit("a label smaller than 18 mm by 8 mm holds no code that can be scanned")
    if min(sheet.columns, sheet.rows, start) < 1 or start > sheet.columns * sheet.rows:
        raise LabelsDoNotFit(f"a sheet of {sheet.columns} by {sheet.rows} labels has no place number {start}")
    right = sheet.left + sheet.columns * sheet.width + (sheet.columns - 1) * sheet.gap_across
    bottom = sheet.top + sheet.rows * sheet.height + (sheet.rows - 1) * sheet.gap_down
    if min(sheet.left, sheet.top, sheet.gap_across, sheet.gap_down) < 0 or right > wide or bottom > high:
        raise LabelsDoNotFit(
            f"they take {right:g} mm by {bottom:g} mm, and the paper is {wide:g} mm by {high:g} mm"
        )
