"""What was not tested or not recorded on a build; the weightier first."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from lugbook.jobs.report_scope import Scope
from lugbook.records.tables import Landing
from lugbook.reports.workmanship import (
    CableLine,
    Gap,
    InstrumentLine,
    RecipeEntry,
    RoundLine,
    SpanEntry,
    TerminalEntry,
)

MOST_NAMED = 100


def gaps_of(
    scope: Scope,
    terminals: Sequence[TerminalEntry],
    spans: Mapping[str, SpanEntry],
    cables: Sequence[CableLine],
    recipes: Sequence[RecipeEntry],
    rounds: Sequence[RoundLine],
    instruments: Sequence[InstrumentLine],
) -> tuple[Gap, ...]:
    """Everything looked at, also where nothing is missing; the pages show those where something is."""
    watched = list(spans.values())
    ends = {terminal.end for terminal in terminals}
    cable_spans = {span.tag.split("/")[0] for span in watched if span.kind == "cable"}
    landings = scope.rows(Landing)
    return (
        _gap("terminals with no span watched", terminals, [t.end for t in terminals if not t.spans]),
        _gap("watched spans never read", watched, [s.tag for s in watched if s.verdict == "not judged"]),
        _gap("spans with too few readings for a trend", watched,
             [s.tag for s in watched if s.verdict == "too few readings"]),
        _gap("spans past their day to test again", watched, [s.tag for s in watched if s.is_overdue]),
        _gap("terminals whose landing (bolted joint) was not measured", terminals,
             [t.end for t in terminals if not any(s.kind == "landing" for s in t.spans)]),
        _gap("terminals whose workmanship was not judged", terminals, [t.end for t in terminals if not t.look]),
        _gap("recipes without a sample pulled", recipes, [r.name for r in recipes if not r.pulls]),
        _gap("recipes whose pulls were not judged", recipes, [r.name for r in recipes if r.is_qualified is None]),
        _gap("rounds without a check standard", rounds,
             [r.name for r in rounds if r.check in ("", "none read")]),
        _gap("meters without a calibration on record", instruments,
             [i.name for i in instruments if i.calibrated == "none on record"]),
        _gap("meters used after their calibration had lapsed", instruments,
             [i.name for i in instruments if i.lapsed_readings]),
        _gap("spans without a limit of their own", watched,
             [s.tag for s in watched if not s.limit and s.kind != "check standard"]),
        _gap("cables not measured along their whole length", cables,
             [c.tag for c in cables if c.tag not in cable_spans]),
        _gap("cable ends without a terminal on record", [e for c in cables for e in "AB"],
             [f"{c.tag}{side}" for c in cables for side in "AB" if f"{c.tag}{side}" not in ends]),
        _gap("landings whose torque was not measured", landings,
             [str(row["tag"]) for row in landings if row["torque_newton_metre"] is None]),
        _gap("terminals without a proof pull", terminals, [t.end for t in terminals if not t.proof]),
        _gap("terminals without a photo", terminals, [t.end for t in terminals if not t.photos]),
    )  # fmt: skip


def _gap(words: str, looked_at: Sequence[object], missing: list[str]) -> Gap:
    """All are named, unless it is all or more than fit a paragraph: then the number says it."""
    is_all = len(missing) == len(looked_at)
    named = () if is_all or len(missing) > MOST_NAMED else tuple(missing)
    return Gap(words, len(missing), len(looked_at), named)
