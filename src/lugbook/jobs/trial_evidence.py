"""What the book holds for and against a recipe, as the judge of recipes wants it."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from lugbook.assessment.criteria import strand_damage_for
from lugbook.assessment.pull_minima import PullMinimum, minimum_for
from lugbook.assessment.qualification import (
    CRIMPED,
    RecipeEvidence,
    SampleLook,
    SamplePull,
    SampleResistance,
)
from lugbook.assessment.workmanship import NO
from lugbook.errors import SizeNotCovered
from lugbook.inference.tolerance import SHARE
from lugbook.jobs.directory import Directory, Row
from lugbook.physics.joints import joint_microohm, microohm_at_20_celsius
from lugbook.records.tables import Conductor, Lug, Photo, Pull, Recipe, Sample, WorkmanshipAnswer
from lugbook.units.sizes import Size, read_size
from lugbook.units.symbols import symbol_of

UNREAD_CELSIUS = 20.0
"""Taken for a sample whose temperature nobody read."""


@dataclass(frozen=True)
class Gathered:
    """The evidence of one recipe, and what it lacks."""

    name: str
    die: str
    evidence: RecipeEvidence
    standard: str | None  # that the owner chose; None: none
    not_covered: str  # '' or why the standard has no minimum for this conductor
    typed_in: tuple[str, ...]  # unit of each sample pull, in order of entry
    unread_temperatures: int  # samples measured without their temperature
    photos: tuple[str, ...]  # "cut.jpg of sample 2"


def gather_recipe(directory: Directory, recipe: Row) -> Gathered:
    """Everything in force of one recipe."""
    conductor = directory.row(Conductor, recipe["conductor_id"])
    size, area_mm2 = read_size(conductor["size"]), float(conductor["area_mm2"])
    samples = [row for row in directory.rows(Sample).values() if _is_of(directory, row, recipe)]
    pulls = sample_pulls(directory, recipe)
    minimum, not_covered = chosen_minimum(recipe["pull_standard"], size, area_mm2)
    measured = [row for row in samples if row["drop_millivolt"] is not None and row["length_millimetre"]]
    evidence = RecipeEvidence(
        size=size,
        area_mm2=area_mm2,
        tinned=bool(conductor["tinned"]),
        joining=recipe["joining"] or CRIMPED,
        barrel=_barrel(directory, recipe),
        pulls=tuple(SamplePull(row["sample"], row["pull_newton"], row["failure"]) for row in pulls),
        resistances=tuple(
            SampleResistance(row["sample"], sample_microohm(row), row["length_millimetre"] / 1000)
            for row in measured
        ),
        looks=_looks(directory, samples, size),
        minimum=minimum,
        share=recipe["share_percent"] / 100 if recipe["share_percent"] else SHARE,
    )
    unread = sum(row["joint_celsius"] is None for row in measured)
    typed_in = tuple(_unit_typed(row["as_typed"]) for row in pulls)
    names = {row["id"]: row["sample"] for row in samples}
    current = directory.history.current
    photos = tuple(
        f"{row['file_name']} of sample {names[current(row['sample_id'])]}"
        for row in directory.rows(Photo).values()
        if current(row["sample_id"] or 0) in names
    )
    return Gathered(
        recipe["name"],
        recipe["die"],
        evidence,
        recipe["pull_standard"],
        not_covered,
        typed_in,
        unread,
        photos,
    )


def sample_pulls(directory: Directory, recipe: Row) -> list[Row]:
    """The sample pulls of a recipe; a proof pull is none."""
    every = directory.rows(Pull).values()
    return [row for row in every if row["kind"] == "sample" and _is_of(directory, row, recipe)]


def chosen_minimum(standard: str | None, size: Size, area_mm2: float) -> tuple[PullMinimum | None, str]:
    """The minimum of the owner's standard, or None and why it has none for this size."""
    if standard is None:
        return None, ""
    try:
        return minimum_for(standard, size, area_mm2), ""
    except SizeNotCovered as refusal:
        return None, str(refusal)


def tried_dies(directory: Directory, recipe: Row) -> dict[str, Row]:
    """Die settings of which samples were pulled with the conductor, lug and tool of a recipe, each with its recipe."""
    parts = ("conductor_id", "lug_id", "tool_id")
    current = directory.history.current
    alike = [
        other for other in directory.rows(Recipe).values()
        if all(current(other[part]) == current(recipe[part]) for part in parts)
    ]  # fmt: skip
    tried = {other["die"]: other for other in alike if sample_pulls(directory, other)}
    if recipe["die"] in tried and sample_pulls(directory, recipe):
        tried[recipe["die"]] = recipe  # of two with one die its own counts
    return tried


def proving_recipe(directory: Directory, recipe: Row, die: str) -> Row | None:
    """The recipe whose samples were made as a terminal of `recipe` with that die setting; None where none were."""
    return recipe if recipe["die"] == die else tried_dies(directory, recipe).get(die)


def latest_answers(rows: Sequence[Row]) -> Mapping[str, Row]:
    """By line of the checklist the answer that counts: the latest."""
    return {row["item"]: row for row in sorted(rows, key=lambda row: (row["looked_at"], row["id"]))}


def answers_of(directory: Directory, column: str, identity: int) -> Mapping[str, Row]:
    """The answers that count of a terminal (`terminal_id`) or a sample (`sample_id`)."""
    current = directory.history.current
    every = directory.rows(WorkmanshipAnswer).values()
    return latest_answers(
        [row for row in every if row[column] is not None and current(row[column]) == identity]
    )


def sample_microohm(row: Row) -> float:
    """The resistance of a sample between its probes [microohm at 20 degC]."""
    celsius = UNREAD_CELSIUS if row["joint_celsius"] is None else row["joint_celsius"]
    microohm = joint_microohm(row["drop_millivolt"], row["current_ampere"])
    return float(microohm_at_20_celsius(microohm, celsius))


def _looks(directory: Directory, samples: Sequence[Row], size: Size) -> tuple[SampleLook, ...]:
    """Samples that somebody looked at. Strands cut are a fault above what may be cut of that size."""
    allowed = strand_damage_for(size.text.removeprefix("SAE ").removesuffix(" AWG"))
    most_cut = allowed.most_broken if allowed else 0
    found = []
    for row in samples:
        answers = answers_of(directory, "sample_id", row["id"])
        if row["ears"] is None and row["strands_cut"] is None and not answers:
            continue
        faults = {item: None for item, answer in answers.items() if answer["answer"] == NO}
        if row["ears"]:
            faults["no ears"] = None
        if (row["strands_cut"] or 0) > most_cut:
            faults["strands whole"] = None
        found.append(SampleLook(row["sample"], tuple(faults)))
    return tuple(found)


def _barrel(directory: Directory, recipe: Row) -> Size | None:
    size = directory.row(Lug, recipe["lug_id"])["barrel_size"]
    return read_size(size) if size else None


def _is_of(directory: Directory, row: Row, recipe: Row) -> bool:
    return bool(directory.history.current(row["recipe_id"]) == recipe["id"])


def force_unit(typed: str) -> str:
    """The unit of a force as it was typed; N where none is said."""
    return str(symbol_of(typed.lstrip("0123456789+-.,eE \u00a0")) or "N")


def _unit_typed(as_typed: str | None) -> str:
    """The unit a force was typed in: "lbf"; N for kN too, and where the book kept nothing else."""
    typed = json.loads(as_typed).get("pull_newton", "") if as_typed else ""
    unit = force_unit(str(typed))
    return "N" if unit == "kN" else unit
