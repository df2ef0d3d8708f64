"""The sheet of a round on paper: large type, one row a stop, boxes to fill in by hand."""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass
from datetime import datetime
from importlib.resources import files

from lugbook.reports.pdf import PAPERS, check_paper

_TEMPLATE = files("lugbook.reports") / "templates" / "round_sheet.typ"


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
    """The sheet on "a4" or "letter", as a PDF dated so. Raises PaperUnknown.

    Needs no network and no font of the machine: the fonts come with the typesetter.
    """
    import typst

    check_paper(paper)
    drawn = typst.compile(
        _TEMPLATE.read_bytes(),
        ignore_system_fonts=True,
        format="pdf",
        sys_inputs={"data": json.dumps({**asdict(sheet), "paper": PAPERS[paper.lower()]})},
        timestamp=int(dated.timestamp()),
    )
    assert isinstance(drawn, bytes)
    return drawn
