"""What a page is made of: frozen blocks of finished words and pictures, the same for screen and paper."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar


@dataclass(frozen=True)
class Text:
    """One paragraph."""

    kind: ClassVar[str] = "text"
    words: str


@dataclass(frozen=True)
class Notice:
    """Something that must not be overlooked: framed and said in words; red where what follows cannot be relied on."""

    kind: ClassVar[str] = "notice"
    title: str
    sentences: tuple[str, ...]
    is_alarm: bool = True


@dataclass(frozen=True)
class Bullets:
    """A list of sentences."""

    kind: ClassVar[str] = "bullets"
    items: tuple[str, ...]


@dataclass(frozen=True)
class Facts:
    """Names and what belongs to each, set beside each other."""

    kind: ClassVar[str] = "facts"
    pairs: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class Column:
    """One column of a table."""

    heading: str
    share: float = 1.0
    """Part of the width, beside the shares of the others."""
    """Set flush right."""


@dataclass(frozen=True)
class Table:
    """Rows under headings."""

    kind: ClassVar[str] = "table"
    caption: str
    """What it lists, for whoever hears the page instead of seeing it."""
    columns: tuple[Column, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True)
class Count:
    """How many of what; `mark` is one of MARKS."""

    mark: str
    number: str
    words: str
    target: str = ""
    """Anchor of the section that tells more; '' for none."""


@dataclass(frozen=True)
class Panel:
    """Counts under a title, with a sentence below them."""

    title: str
    counts: tuple[Count, ...]
    words: str = ""


@dataclass(frozen=True)
class Panels:
    """Two panels of equal weight, side by side where there is room."""

    kind: ClassVar[str] = "panels"
    left: Panel
    right: Panel


@dataclass(frozen=True)
class Drawing:
    """An SVG of our own making, and what it shows in words."""

    svg: str
    words: str
    width_millimetre: float
    height_millimetre: float


@dataclass(frozen=True)
class Figure:
    """A drawing of the width of the page, with its caption."""

    kind: ClassVar[str] = "figure"
    drawing: Drawing
    caption: str


@dataclass(frozen=True)
class Print:
    """A photo as it is shown: JPEG without metadata."""

    jpeg: bytes
    width_pixel: int
    height_pixel: int
    caption: str


@dataclass(frozen=True)
class Measure:
    """What was measured of one span, one line of an entry; `mark` is one of MARKS."""

    span: str
    mark: str
    verdict: str
    details: tuple[tuple[str, str, str], ...]
    """Label, value, and smaller what belongs to it: ("now", "20.7 ± 0.2 µΩ", "2026-04-25")."""
    trend: Drawing | None
    remarks: tuple[str, ...]


@dataclass(frozen=True)
class Entry:
    """One thing with its measurements: a terminal, or a span that belongs to none."""

    kind: ClassVar[str] = "entry"
    anchor: str
    tag: str
    about: tuple[str, ...]
    """Short phrases: when, by whom, by which recipe, where."""
    measures: tuple[Measure, ...]
    remarks: tuple[str, ...]
    prints: tuple[Print, ...] = ()


@dataclass(frozen=True)
class SealBlock:
    """The head of the book's chain as text and as a code to scan."""

    kind: ClassVar[str] = "seal"
    pairs: tuple[tuple[str, str], ...]
    head: str
    code: Drawing


Block = Text | Notice | Bullets | Facts | Table | Panels | Figure | Entry | SealBlock


@dataclass(frozen=True)
class Section:
    """One part of a document; a subsection has level 2."""

    anchor: str
    title: str
    blocks: tuple[Block, ...]
    level: int = 1


@dataclass(frozen=True)
class Document:
    """A whole report: its first page, then its sections."""

    kicker: str
    """What kind of document it is: "Workmanship report"."""
    title: str
    subtitle: str
    running: str
    """What stands at the foot of each page beside its number: which book."""
    issue: str
    """Which issue of which day, at the head of each page."""
    strip: tuple[tuple[str, str], ...]
    """Few facts under the title: issue, date, what it replaces."""
    first_page: tuple[Block, ...]
    sections: tuple[Section, ...]
    day: str
    """ISO day of the issue; also the time stamp in the file."""

    @property
    def has_contents(self) -> bool:
        """Whether it is long enough for a list of contents."""
        return len(self.sections) > 6


MARKS = ("bad", "watch", "open", "good", "none")
"""Each with its own shape: needs a person now, is moving, cannot be told yet, sound, nothing known."""


def table_or_words(
    caption: str, columns: tuple[tuple[str, float], ...], rows: list[tuple[str, ...]], nothing: str
) -> Block:
    """A table of headings and shares of the width; where it has no row, the words that say so."""
    if not rows:
        return Text(nothing)
    return Table(caption, tuple(Column(heading, share) for heading, share in columns), tuple(rows))
