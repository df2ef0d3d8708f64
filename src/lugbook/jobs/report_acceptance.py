"""What the terminals of a build came to as made, as a report tells it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping

from lugbook.assessment.acceptance import Acceptance, word_acceptance
from lugbook.assessment.qualification import NOT_JUDGED
from lugbook.jobs.accepting import acceptance_of
from lugbook.jobs.as_made import AsMade
from lugbook.jobs.report_scope import Scope
from lugbook.records.tables import CableEnd, Terminal
from lugbook.reports.workmanship import CriterionLine

ASKS = {
    "recipe": "made by a recipe that its samples prove",
    "workmanship": "every line of the checklist answered, without a fault",
    "equal length": "a first reading near that of as much of its own conductor",
    "similar joints": "a first reading near the lowest of those made alike",
    "drop budget": "its circuit within the drop it may have",
    "proof pull": "a load held on it without movement",
    "torque": "torque as applied near what the maker of the part states",
}
"""Code of a criterion -> what it asks."""


def acceptances_of(scope: Scope) -> dict[int, Acceptance]:
    """Every terminal of the build, made by the day, against every criterion; by its identity."""
    directory = scope.directory
    made = AsMade(scope.connection, directory, int(scope.build["id"]), scope.on)
    return {
        row["id"]: acceptance_of(directory, made, row, directory.row(CableEnd, row["cable_end_id"]))
        for row in scope.rows(Terminal, "made_at")
    }


def word_as_made(found: Acceptance) -> str:
    """One or two sentences: the verdict, and every criterion that was judged; '' where none was."""
    judged = [one for one in found.results if one.verdict != NOT_JUDGED]
    if not judged:
        return ""
    told = "; ".join(f"{one.code} {one.verdict}" for one in judged)
    return f"As made, {word_acceptance(found)}. {told[0].upper()}{told[1:]}."


def acceptance_lines(acceptances: Mapping[int, Acceptance]) -> tuple[CriterionLine, ...]:
    """The criteria that any terminal was judged by, each with its source and how that is known."""
    used = Counter(
        (one.code, one.source, one.provenance)
        for found in acceptances.values()
        for one in found.results
        if one.verdict != NOT_JUDGED
    )
    return tuple(
        CriterionLine(code, ASKS[code], source, provenance, f"{count} terminal{'' if count == 1 else 's'}")
        for (code, source, provenance), count in sorted(used.items())
    )
