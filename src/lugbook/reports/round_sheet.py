"""The sheet of a round on paper: large type, one row a stop, boxes to fill in by hand."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from datetime import UTC, datetime

from lugbook.reports.pdf import PAPERS, check_paper
from lugbook.reports.typesetting import FAMILIES, set_pages


@dataclass(frozen=True)
class SheetStop:
    """One row, in words."""

    number: str
    span: str
    where: str
    last: str
    last_note: str
    expected: str
    expected_note: str


@dataclass(frozen=True)
class SheetGroup:
    """The rows of one place."""

    place: str
    stops: tuple[SheetStop, ...]


@dataclass(frozen=True)
class SheetText:
    """Everything that stands on a sheet, in words; it is placed as it is, never read as markup."""

    title: str
    by: str
    meters: str
    facts: tuple[tuple[str, str], ...]
    caution_title: str
    cautions: tuple[str, ...]
    how: str
    expected_of: str
    drop_unit: str
    current_unit: str
    temperature_unit: str
    foot: str
    groups: tuple[SheetGroup, ...]


def draw_sheet(sheet: SheetText, paper: str, dated: datetime) -> bytes:
    """The sheet on "a4" or "letter", as a PDF dated so; it says at its end what had to be set otherwise.

    Raises PaperUnknown.
    """
    check_paper(paper)
    data = {**asdict(sheet), "paper": PAPERS[paper.lower()], "fonts": list(FAMILIES)}
    stamp = dated.astimezone(UTC).isoformat()
    return set_pages("round_sheet.typ", data, {}, stamp, elsewhere="the sheet as a table (.csv) has them").content
