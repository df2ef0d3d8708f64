"""What a workmanship report is told of a build: frozen values with finished words, one idea a class.

Empty text means that the book does not say; an empty tuple that there is none. Days are ISO dates. The pages say
aloud what is missing.
"""

from __future__ import annotations

from dataclasses import dataclass

from lugbook.reports.blocks import Drawing, Print
from lugbook.reports.sparklines import Trend

DRAFT = "draft"


@dataclass(frozen=True)
class EarlierIssue:
    """An issue that the book already holds."""

    number: str
    on: str
    about: str
    """The build, cable or span it is on."""
    issued_to: str
    fate: str
    """What became of it: replaced, withdrawn; '' while it stands."""


@dataclass(frozen=True)
class Issue:
    """Which report this is."""

    number: str
    on: str
    replaces: str = ""
    """The issue it replaces; '' where it is the first, or where nobody said."""
    is_private: bool = False
    """Names, free notes and places on Earth are left out."""
    photos_left_out: int = 0
    """Photos of terminals noted in the book that were left out on request."""
    is_recorded: bool = False
    """The book holds the digests of its files."""
    issued_to: str = ""
    earlier: tuple[EarlierIssue, ...] = ()

    @property
    def called(self) -> str:
        """ "issue 3", or "draft 812" for one that was given no number."""
        return self.number if self.number.startswith(DRAFT) else f"issue {self.number}"


@dataclass(frozen=True)
class Seal:
    """Where the chain of the book stood, and what verifying it found."""

    book: str
    lines: int
    head: str
    """64 hex digits."""
    findings: tuple[str, ...] = ()


@dataclass(frozen=True)
class Subject:
    """The build, cable or span a report is about."""

    title: str
    description: str
    build: str
    zone: str


@dataclass(frozen=True)
class SpanEntry:
    """One span and what is concluded of it."""

    tag: str
    kind: str
    place: str
    verdict: str
    reasons: tuple[str, ...]
    """Sentences, weightiest first."""
    source: str
    """What the verdict rests on."""
    first: str = ""
    """The first value of all: "20.06 µΩ"."""
    first_on: str = ""
    now: str = ""
    now_on: str = ""
    joining: str = ""
    """Soldered or clamped; '' where the joint is crimped, or nothing is known of it."""
    limit: str = ""
    rate: str = ""
    readings: int = 0
    next_test: str = ""
    why_now: str = ""
    """Why the next test is due, where it is by the day of the report; '' where it is not."""
    is_overdue: bool = False
    trend: Trend | None = None
    picture: str = ""
    """SVG of the large plot, for a span that needs a person; '' for none."""


@dataclass(frozen=True)
class TerminalEntry:
    """One terminal: how it was made, where it is, how it looked, what was measured."""

    end: str
    made_on: str
    made_by: str
    recipe: str
    landing: str
    """Where it is bolted, with hardware and torque."""
    place: str
    spans: tuple[SpanEntry, ...]
    joining: str = ""
    """Soldered or clamped; '' where it is crimped."""
    look: str = ""
    """What the workmanship checklist came to; '' where nobody filled it in."""
    as_made: str = "not judged"
    """All criteria as made together: accepted, not accepted, in doubt or not judged."""
    acceptance: str = ""
    """What it came to as made, criterion by criterion; '' where nothing was held against it."""
    proof: str = ""
    """A load held on it."""
    earlier: str = ""
    """Terminals this end had before."""
    note: str = ""
    photos: tuple[Print, ...] = ()


@dataclass(frozen=True)
class PullLine:
    """One sample pulled."""

    sample: str
    on: str
    force: str
    failure: str
    instrument: str
    by: str


@dataclass(frozen=True)
class RecipeEntry:
    """How terminals were made, and what proves that this way is good."""

    name: str
    facts: tuple[tuple[str, str], ...]
    used_on: int
    """Terminals of this build made by it."""
    pulls: tuple[PullLine, ...] = ()
    qualification: tuple[str, ...] = ()
    """Sentences: what the proof came to and by which criterion; empty where it was not judged."""
    is_qualified: bool | None = None
    """None where it was not judged."""
    picture: Drawing | None = None


@dataclass(frozen=True)
class TrialEntry:
    """Recipes of one conductor compared by their samples."""

    conductor: str
    recipes: tuple[str, ...]
    chosen: str
    """What to use: "use R13", or "no choice"."""
    sentences: tuple[str, ...]
    """Why, weightiest first."""
    picture: Drawing


@dataclass(frozen=True)
class InstrumentLine:
    """One meter as it was used on this build."""

    name: str
    kind: str
    accuracy: str
    calibrated: str
    used: str
    lapsed_readings: int = 0


@dataclass(frozen=True)
class RoundLine:
    """One outing."""

    name: str
    days: str
    spans_read: int
    by: str
    shift: str
    """How much all its readings were moved by the meters, and was taken out."""
    check: str
    """How it lies between check standards."""


@dataclass(frozen=True)
class CableLine:
    """One cable of the schedule."""

    tag: str
    conductor: str
    length: str
    ends: str
    carries: str
    """Circuit, current and volts; the note where the book says none of them."""


@dataclass(frozen=True)
class StagedValue:
    """What a span read as found or as left, at 20 °C."""

    short: str
    """Microohm alone: "62.0"."""
    value: str
    """With uncertainty and unit: "62.0 ± 0.4 µΩ"."""
    seen: str
    """Drop and current of the last such reading."""
    is_over: bool
    """Over the limit that its owner states for it."""


@dataclass(frozen=True)
class ServiceLine:
    """Work on a span."""

    on: str
    span: str
    action: str
    by: str
    found: StagedValue | None
    """None where it was not read."""
    left: StagedValue | None
    limit: str
    torque: str
    note: str


@dataclass(frozen=True)
class CriterionLine:
    """What something was judged by."""

    what: str
    asks: str
    source: str
    provenance: str
    used_for: str


@dataclass(frozen=True)
class SupersededLine:
    """A value that no longer counts, and what took its place."""

    entry: str
    what: str
    said: str
    now_says: str
    why: str
    who: str
    on: str


@dataclass(frozen=True)
class Gap:
    """Something that was not tested or not recorded."""

    words: str
    missing: int
    of: int
    which: tuple[str, ...] = ()
    """Tags, for the list; the first page shows the number alone."""


@dataclass(frozen=True)
class WorkmanshipReport:
    """Everything a report says, in words and numbers that are finished."""

    issue: Issue
    seal: Seal
    subject: Subject
    terminals: tuple[TerminalEntry, ...]
    other_spans: tuple[SpanEntry, ...]
    gaps: tuple[Gap, ...]
    instruments: tuple[InstrumentLine, ...]
    rounds: tuple[RoundLine, ...]
    recipes: tuple[RecipeEntry, ...]
    cables: tuple[CableLine, ...]
    services: tuple[ServiceLine, ...]
    criteria: tuple[CriterionLine, ...]
    superseded: tuple[SupersededLine, ...]
    tested_by: tuple[str, ...]
    tested_from: str
    tested_to: str
    trials: tuple[TrialEntry, ...] = ()

    @property
    def spans(self) -> tuple[SpanEntry, ...]:
        """Every span of the report, those of terminals first."""
        return (*(span for terminal in self.terminals for span in terminal.spans), *self.other_spans)
