"""Whether a terminal as made may be accepted: what the book holds of it against every criterion."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from lugbook.assessment.acceptance import (
    BY_OWNER,
    Acceptance,
    CriterionResult,
    DropBudget,
    ProofPull,
    accept_as_made,
    against_checklist,
    against_drop_budget,
    against_equal_length,
    against_proof_pull,
    against_recipe,
    against_siblings,
    against_torque,
)
from lugbook.assessment.acceptance import AsMade as Made
from lugbook.assessment.criteria import DROP_BUDGETS
from lugbook.assessment.pull_minima import PullMinimum
from lugbook.assessment.qualification import CRIMPED, NOT_JUDGED, qualify_recipe
from lugbook.assessment.workmanship import CHECKLIST, NOT_ANSWERED, summarise_workmanship
from lugbook.errors import NothingCalled
from lugbook.jobs.as_made import AsMade, FirstReading
from lugbook.jobs.directory import Directory, Row
from lugbook.jobs.landings import landing_of
from lugbook.jobs.listing import Listing, list_rows
from lugbook.jobs.trial_evidence import answers_of, gather_recipe, proving_recipe, tried_dies
from lugbook.physics.conductors import conductor_microohm
from lugbook.records.store import Book
from lugbook.records.tables import (
    Cable,
    CableEnd,
    Conductor,
    Operator,
    Photo,
    Pull,
    Recipe,
    Terminal,
)

HELD_SECOND = 60.0
"""How long a proof pull is to be held where no standard says: the longest that any of ours asks."""


@dataclass(frozen=True)
class Answered:
    """One line of the checklist, with what was last answered."""

    item: str
    question: str
    answer: str
    looked_at: str  # '' where nobody answered
    operator: str


@dataclass(frozen=True)
class TerminalPage:
    """One terminal: how it was made and what it was held against."""

    listing: Listing  # the terminals of the end, the latest last; the page is of that one
    end: str
    joining: str
    die: str
    acceptance: Acceptance
    answers: tuple[Answered, ...]
    first_read: str  # when its crimp was first read; '' where it was not
    photos: tuple[str, ...]  # names of the files


def terminal_page(book: Book, end: str, on: date, *, build: str | None = None) -> TerminalPage:
    """The page of the terminal now on an end. Raises NothingCalled."""
    with book.reading() as connection:
        directory = Directory(connection)
        listing = list_rows(connection, "terminals", build, end)
        if not listing.rows:
            known = list_rows(connection, "terminals", build).keys
            raise NothingCalled("terminal on end", end, "terminal", known)
        newest = max(listing.identities, key=lambda one: _made(directory, one))
        terminal = directory.row(Terminal, newest)
        row = directory.row(CableEnd, terminal["cable_end_id"])
        made = AsMade(connection, directory, directory.build_of(CableEnd, row), on)
        return _page(directory, made, terminal, row, listing)


def _page(directory: Directory, made: AsMade, terminal: Row, end: Row, listing: Listing) -> TerminalPage:
    recipe = directory.row(Recipe, terminal["recipe_id"])
    first = made.first(terminal)
    answers = answers_of(directory, "terminal_id", terminal["id"])
    answered = {item: row["answer"] for item, row in answers.items()}
    return TerminalPage(
        listing=listing,
        end=end["tag"],
        joining=recipe["joining"] or CRIMPED,
        die=_die(recipe, terminal),
        acceptance=acceptance_of(directory, made, terminal, end),
        answers=tuple(
            Answered(
                item.code,
                item.question,
                answered.get(item.code, NOT_ANSWERED),
                answers[item.code]["looked_at"] if item.code in answers else "",
                directory.name(Operator, answers[item.code]["operator_id"]) if item.code in answers else "",
            )
            for item in CHECKLIST
        ),
        first_read=first.taken_at if first else "",
        photos=tuple(
            row["file_name"]
            for row in directory.rows(Photo).values()
            if row["terminal_id"] is not None
            and directory.history.current(row["terminal_id"]) == terminal["id"]
        ),
    )


def acceptance_of(directory: Directory, made: AsMade, terminal: Row, end: Row) -> Acceptance:
    """A terminal against every criterion; `made` holds the first readings of its build, `end` its cable end."""
    recipe = directory.row(Recipe, terminal["recipe_id"])
    minimum = gather_recipe(directory, recipe).evidence.minimum
    answers = answers_of(directory, "terminal_id", terminal["id"])
    answered = {item: row["answer"] for item, row in answers.items()}
    return accept_as_made(
        [
            _of_recipe(directory, recipe, terminal),
            against_checklist(summarise_workmanship(answered)),
            *_of_reading(directory, made, terminal, end, made.first(terminal)),
            against_proof_pull(_proof_pull(directory, terminal, minimum), minimum),
            _of_landing(directory, terminal),
        ]
    )


def _of_recipe(directory: Directory, recipe: Row, terminal: Row) -> CriterionResult:
    """By the recipe whose samples were made as this terminal was: with its die setting."""
    die, tried = _die(recipe, terminal), tried_dies(directory, recipe)
    proved_by = proving_recipe(directory, recipe, die) or recipe
    verdict = qualify_recipe(gather_recipe(directory, proved_by).evidence).verdict
    if (recipe["joining"] or CRIMPED) != CRIMPED:
        says = f"The joint is {recipe['joining']}, not crimped: sample pulls of crimps do not judge it."
        return CriterionResult("recipe", NOT_JUDGED, None, None, "", "its samples", BY_OWNER, says)
    return against_recipe(proved_by["name"], verdict, die, list(tried))


def _of_reading(
    directory: Directory, made: AsMade, terminal: Row, end: Row, first: FirstReading | None
) -> list[CriterionResult]:
    cable = directory.row(Cable, end["cable_id"])
    conductor = directory.row(Conductor, cable["conductor_id"])
    if first is None:
        says = "Its crimp has not been read since it was made."
        return [
            CriterionResult(code, NOT_JUDGED, None, None, unit, "its first reading", BY_OWNER, says)
            for code, unit in (("equal length", "times"), ("similar joints", "times"), ("drop budget", "mV"))
        ]
    span = made.crimp_of(end)
    probe = span["probe_millimetre"] if span else None
    strip = directory.row(Recipe, terminal["recipe_id"])["strip_millimetre"]
    read = Made(
        microohm=first.microohm,
        u_microohm=first.u_microohm,
        length_metre=None if probe is None else (probe + strip) / 1000,
        area_mm2=conductor["area_mm2"],
        tinned=bool(conductor["tinned"]),
    )
    return [
        against_equal_length(read),
        against_siblings(read, _siblings(directory, made, terminal, probe)),
        against_drop_budget(read, _budget(directory, made, cable, terminal)),
    ]


def _siblings(directory: Directory, made: AsMade, terminal: Row, probe: float | None) -> list[float]:
    """First readings of the other terminals of its recipe and die setting, with the probes as far apart."""
    recipe = directory.row(Recipe, terminal["recipe_id"])
    found = []
    for other in directory.rows(Terminal).values():
        if other["id"] == terminal["id"] or directory.row(Recipe, other["recipe_id"])["id"] != recipe["id"]:
            continue
        span = made.crimp_of(directory.row(CableEnd, other["cable_end_id"]))
        if span is None or span["probe_millimetre"] != probe or _die(recipe, other) != _die(recipe, terminal):
            continue
        first = made.first(other)
        if first is not None:
            found.append(first.microohm)
    return found


def _budget(directory: Directory, made: AsMade, cable: Row, terminal: Row) -> DropBudget | None:
    """What the circuit of a cable may lose; None where its current, its volts or its budget is not known."""
    ampere, volt, percent = (cable[name] for name in ("circuit_ampere", "system_volt", "drop_budget_percent"))
    if ampere is None or volt is None or percent is None:
        return None
    row = next((one for one in DROP_BUDGETS.values() if one.limit == percent), None)
    source = f"{row.source}, {percent:g} % of {volt:g} V" if row else f"{percent:g} % of {volt:g} V"
    rest = _rest_microohm(directory, made, cable, terminal)
    return DropBudget(
        current_ampere=ampere,
        budget_millivolt=10 * volt * percent,
        rest_millivolt=None if rest is None else rest * ampere / 1000,
        source=source,
        provenance=row.provenance if row else BY_OWNER,
    )


def _rest_microohm(directory: Directory, made: AsMade, cable: Row, terminal: Row) -> float | None:
    """Cables and all other crimps of a circuit [microohm at 20 degC]; None where one was not read or none is named.

    What lies between the probes of a crimp beside the crimp itself is counted twice, and fuses, switches and
    landings are not counted.
    """
    if not cable["circuit"]:
        return None
    current = directory.history.current
    cables = [
        one for one in directory.rows(Cable).values()
        if one["circuit"] == cable["circuit"] and current(one["build_id"]) == current(cable["build_id"])
    ]  # fmt: skip
    total = 0.0
    for one in cables:
        conductor = directory.row(Conductor, one["conductor_id"])
        total += conductor_microohm(
            one["length_metre"], conductor["area_mm2"], tinned=bool(conductor["tinned"])
        )
    ends = [
        end for end in directory.rows(CableEnd).values()
        if current(end["cable_id"]) in {one["id"] for one in cables} and end["id"] != current(terminal["cable_end_id"])
    ]  # fmt: skip
    for end in ends:
        on_end = [
            row for row in directory.rows(Terminal).values() if current(row["cable_end_id"]) == end["id"]
        ]
        newest = max(on_end, key=lambda row: str(row["made_at"]), default=None)
        first = made.first(newest) if newest is not None else None
        if first is None:
            return None
        total += first.microohm
    return total


def _proof_pull(directory: Directory, terminal: Row, minimum: PullMinimum | None) -> ProofPull | None:
    held: Sequence[Row] = [
        row for row in directory.rows(Pull).values()
        if row["kind"] == "proof" and directory.history.current(row["terminal_id"] or 0) == terminal["id"]
    ]  # fmt: skip
    # One that moved counts whatever was held later: only making the end anew, or withdrawing it, ends that.
    last = max(held, key=lambda row: (bool(row["moved"]), str(row["pulled_at"])), default=None)
    if last is None:
        return None
    moved = None if last["moved"] is None else bool(last["moved"])
    asked = minimum.hold_second if minimum is not None and minimum.hold_second else HELD_SECOND
    return ProofPull(last["pull_newton"], last["hold_second"], moved, asked)


def _of_landing(directory: Directory, terminal: Row) -> CriterionResult:
    landing = landing_of(directory, terminal)
    if landing is None:
        says = "The book does not say where it is bolted."
        return CriterionResult(
            "torque", NOT_JUDGED, None, None, "N m", "the maker of the part", BY_OWNER, says
        )
    return against_torque(landing["torque_newton_metre"], landing["maker_torque_newton_metre"])


def _die(recipe: Row, terminal: Row) -> str:
    return str(terminal["die"] or recipe["die"])


def _made(directory: Directory, identity: int) -> str:
    return str(directory.row(Terminal, identity)["made_at"])
