"""Recipes of one conductor held against each other, as a report tells it."""

from __future__ import annotations

from lugbook.assessment.comparing import compare_recipes
from lugbook.assessment.qualification_words import word_proof
from lugbook.assessment.trial_story import tell_trial
from lugbook.jobs.report_scope import Scope
from lugbook.jobs.report_terminals import drawn_trial, recipes_used, word_conductor
from lugbook.jobs.trial_evidence import Gathered, gather_recipe
from lugbook.records.tables import Conductor, Recipe
from lugbook.reports.workmanship import TrialEntry


def trial_entries(scope: Scope) -> tuple[TrialEntry, ...]:
    """The recipes with samples pulled, used on this build or tried beside those, wherever a conductor has several."""
    current, rows = scope.directory.history.current, scope.directory.rows(Recipe)
    conductors = dict.fromkeys(current(rows[one]["conductor_id"]) for one in recipes_used(scope))
    entries = []
    for conductor in conductors:
        alike = [row for row in rows.values() if current(row["conductor_id"]) == conductor]
        tried = [one for one in (gather_recipe(scope.directory, row) for row in alike) if one.evidence.pulls]
        if len(tried) > 1:
            entries.append(_trial(word_conductor(scope.directory.row(Conductor, conductor)), tried))
    return tuple(entries)


def _trial(conductor: str, tried: list[Gathered]) -> TrialEntry:
    found = compare_recipes({one.name: one.evidence for one in tried})
    chosen = f"use {found.chosen}" if found.chosen else "no choice"
    names = tuple(one.name for one in tried)
    words = f"Pulls and resistances of the samples of {', '.join(names)}, by die setting: {chosen}."
    story = tell_trial([(one.name, one.die, one.evidence) for one in tried])
    return TrialEntry(
        conductor, names, chosen, tuple(map(word_proof, found.reasons)), drawn_trial(story, words)
    )
