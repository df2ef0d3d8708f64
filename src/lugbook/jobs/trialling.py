"""Proving crimps: what the samples of a recipe prove, which of several recipes to use, whose minimum counts."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from lugbook.assessment.comparing import Comparison, compare_recipes
from lugbook.assessment.pull_doubts import units_mixed
from lugbook.assessment.pull_minima import PullMinimum, conductor_newton, minima_for
from lugbook.assessment.qualification import Qualification, RecipeEvidence, qualify_recipe
from lugbook.assessment.trial_story import tell_trial
from lugbook.errors import NothingCalled, TooFewRecipes
from lugbook.jobs.amending import amend_within, why_of
from lugbook.jobs.directory import Directory, Row
from lugbook.jobs.exchanging import write_file
from lugbook.jobs.recording import open_desk
from lugbook.jobs.trial_evidence import Gathered, gather_recipe
from lugbook.records.logbook import Logbook
from lugbook.records.store import Book
from lugbook.records.tables import Recipe


@dataclass(frozen=True)
class Proof:
    """One recipe, judged."""

    name: str
    die: str
    evidence: RecipeEvidence
    qualification: Qualification
    standard: str | None  # that the owner chose; None: none
    minima: tuple[PullMinimum, ...]  # of all standards that cover the size
    strength_newton: float  # what the conductor can hold, annealed copper
    doubts: tuple[str, ...]  # sentences about what was typed or lacks
    photos: tuple[str, ...]  # of its samples: "cut.jpg of sample 2"


@dataclass(frozen=True)
class Compared:
    """Several recipes, judged and compared."""

    proofs: tuple[Proof, ...]
    comparison: Comparison


def prove_recipe(book: Book, name: str) -> Proof:
    """The verdict on a recipe with all it leans on. Raises NothingCalled."""
    with book.reading() as connection:
        directory = Directory(connection)
        return _proof(gather_recipe(directory, _recipe(directory, name)))


def compare_by_name(book: Book, names: Sequence[str]) -> Compared:
    """Several recipes beside each other. Raises NothingCalled; TooFewRecipes below two."""
    if len(set(names)) < 2:
        raise TooFewRecipes
    with book.reading() as connection:
        directory = Directory(connection)
        found = [gather_recipe(directory, _recipe(directory, name)) for name in dict.fromkeys(names)]
    candidates = {one.name: one.evidence for one in found}
    return Compared(tuple(map(_proof, found)), compare_recipes(candidates))


def plot_trial(book: Book, names: Sequence[str], out: Path) -> None:
    """Draw pull and resistance of some recipes against their die setting.

    Raises PictureFormatUnknown, NothingCalled, FileUnwritable.
    """
    with book.reading() as connection:
        directory = Directory(connection)
        found = [gather_recipe(directory, _recipe(directory, name)) for name in dict.fromkeys(names)]
    from lugbook.reports.trial_plot import draw_trial

    story = tell_trial([(one.name, one.die, one.evidence) for one in found])
    write_file(out, draw_trial(story, out.suffix.lower().lstrip(".")))


def choose_standard(
    book: Book, names: Sequence[str], standard: str, now: datetime, *,
    share: str | None, reason: str, by: str | None,
) -> str:  # fmt: skip
    """Record whose pull minimum some recipes are held against, and for which share of all crimps; returns its name.

    What was chosen before stays in the book. Raises NothingCalled, StandardUnknown, SizeNotCovered, LineRefused.
    """
    changes = {"pull_standard": standard, **({"share_percent": share} if share else {})}
    with book.writing() as connection:
        desk = open_desk(Logbook(connection, now), now)
        why = why_of(desk, reason, by)
        for name in dict.fromkeys(names):
            amend_within(desk, "recipes", name, changes, why)
        return str(desk.directory.find(Recipe, names[0])["pull_standard"])  # type: ignore[index]


def _proof(found: Gathered) -> Proof:
    evidence = found.evidence
    doubts = [found.not_covered, units_mixed(found.typed_in)]
    if found.unread_temperatures:
        count = found.unread_temperatures
        which, taken = ("1 sample", "it is") if count == 1 else (f"{count} samples", "they are")
        doubts.append(f"The temperature of {which} was not read: {taken} taken to be at 20 °C.")
    return Proof(
        found.name,
        found.die,
        evidence,
        qualify_recipe(evidence),
        found.standard,
        minima_for(evidence.size, evidence.area_mm2),
        conductor_newton(evidence.area_mm2),
        tuple(filter(None, doubts)),
        found.photos,
    )


def _recipe(directory: Directory, name: str) -> Row:
    row = directory.find(Recipe, name)
    if row is None:
        raise NothingCalled("recipe", name, "recipe", directory.names(Recipe))
    return row
