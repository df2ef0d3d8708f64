"""Whether a terminal as made may be accepted: each criterion with its value, limit, source and verdict."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt

from lugbook.assessment.criteria import (
    DERIVED,
    EQUAL_LENGTH_110,
    PRACTICE,
    RETENTION_SHARE,
    SIMILAR_JOINTS,
    Criterion,
)
from lugbook.assessment.pull_minima import PullMinimum, most_proof_newton
from lugbook.assessment.qualification import NOT_JUDGED, PROVISIONAL, QUALIFIED, REFUSED
from lugbook.assessment.workmanship import CHECKLIST, WorkmanshipSummary
from lugbook.errors import listed
from lugbook.physics.conductors import conductor_microohm
from lugbook.units.wording import word_number

MET = "met"
NOT_MET = "not met"
IN_DOUBT = "in doubt"
TORQUE_APART = 0.10  # of the maker's figure; a torque as applied farther off is in doubt (our rule)
BY_OWNER = "entered by the owner"
NEEDED = (
    ("the recipe's proof", ("recipe",)),
    ("a first reading with something to compare it with", ("equal length", "similar joints")),
    ("the look", ("workmanship",)),
)
"""What must be met, by one criterion each, before a terminal is accepted (our rule)."""
COVERAGE = 2.0  # standard uncertainties; nearer to a limit than this is in doubt (GUM 6.2: about 95 %)


@dataclass(frozen=True, slots=True)
class AsMade:
    """The first reading of a terminal."""

    microohm: float  # at 20 degC, between two probes
    u_microohm: float  # standard uncertainty; 0.0 where nothing is known of it
    length_metre: float | None  # between the same probes, along the cable; None where not measured
    area_mm2: float  # metal of the conductor
    tinned: bool = False


@dataclass(frozen=True, slots=True)
class DropBudget:
    """What the circuit of a terminal may lose."""

    current_ampere: float  # that the circuit is planned for
    budget_millivolt: float  # of the whole round trip
    rest_millivolt: float | None  # its cables and other crimps at that current; None where not known
    source: str  # whose budget
    provenance: str  # see criteria


@dataclass(frozen=True, slots=True)
class ProofPull:
    """A load held on the made terminal."""

    newton: float
    hold_second: float | None  # how long; None where not noted
    moved: bool | None  # None where nobody noted it
    asked_second: float = 60.0  # how long it was to be held


@dataclass(frozen=True, slots=True)
class CriterionResult:
    """One criterion applied to one terminal."""

    code: str  # "equal length", "similar joints", "drop budget", "recipe", "workmanship", "proof pull"
    verdict: str  # MET, NOT_MET, IN_DOUBT or NOT_JUDGED
    value: float | None  # None where it could not be had
    limit: float | None
    unit: str  # of value and limit: "times", "mV", "N", "of 10 lines"
    source: str
    provenance: str
    says: str  # one sentence


@dataclass(frozen=True, slots=True)
class Acceptance:
    """All criteria of one terminal."""

    verdict: str  # "accepted", "not accepted", "in doubt", "not judged"
    results: tuple[CriterionResult, ...]
    lacking: tuple[str, ...]  # of what is NEEDED, what was not judged


def accept_as_made(results: Sequence[CriterionResult]) -> Acceptance:
    """The verdict of all criteria together.

    Not accepted if one is not met; else in doubt if one is in doubt; accepted only where the recipe's proof, the
    first reading and the look are all met. Not judged is not a pass: what else was not judged is counted aloud.
    """
    verdicts = {result.verdict for result in results}
    judged = {result.code for result in results if result.verdict != NOT_JUDGED}
    lacking = tuple(what for what, codes in NEEDED if judged.isdisjoint(codes))
    if NOT_MET in verdicts:
        word = "not accepted"
    elif IN_DOUBT in verdicts:
        word = "in doubt"
    else:
        word = NOT_JUDGED if lacking else "accepted"
    return Acceptance(word, tuple(results), lacking)


def word_acceptance(found: Acceptance) -> str:
    """The verdict, how many criteria say so, and what is still to be done before it can be accepted."""
    total = len(found.results)
    counts = {word: sum(one.verdict == word for one in found.results) for word in (MET, NOT_MET, IN_DOUBT)}
    said = [f"{count} {word}" for word, count in counts.items() if count]
    if not said:
        counted = f"none of {total} criteria could be judged"
    else:
        left = total - sum(counts.values())
        said[0] = said[0].replace(" ", f" of {total} criteria ", 1)
        counted = ", ".join([*said, *([f"{left} not judged"] if left else [])])
    wanted = (
        f"; it still takes {listed(found.lacking)}"
        if found.lacking and found.verdict != "not accepted"
        else ""
    )
    return f"{found.verdict}: {counted}{wanted}"


def against_equal_length(made: AsMade, criterion: Criterion = EQUAL_LENGTH_110) -> CriterionResult:
    """The reading over that of as much of its own conductor between the same probes."""
    if not made.length_metre:
        says = "The length between the probes was not noted, so there is nothing to compare with."
        return _result(criterion, "equal length", NOT_JUDGED, None, "times", says)
    plain = conductor_microohm(made.length_metre, made.area_mm2, tinned=made.tinned)
    ratio, u = made.microohm / plain, made.u_microohm / plain
    says = (
        f"{word_number(made.microohm)} µΩ is {ratio:.2f} times the {word_number(plain)} µΩ of "
        f"{1000 * made.length_metre:g} mm of its conductor; the limit is {criterion.limit:g} times."
    )
    verdict = _at_most(ratio, criterion.limit, u)
    return _result(criterion, "equal length", verdict, ratio, "times", says)


def against_siblings(
    made: AsMade, siblings_microohm: Sequence[float], criterion: Criterion = SIMILAR_JOINTS
) -> CriterionResult:
    """The reading over the lowest first reading of those made alike, its own among them.

    `siblings_microohm` [microohm at 20 degC]: first readings of the other terminals of the same recipe, probed
    alike. Needs two joints: this one and one other. R > 1.5 R_lowest is not met.
    """
    if not siblings_microohm:
        says = "No other terminal of this recipe has been read, so there is nothing to compare with."
        return _result(criterion, "similar joints", NOT_JUDGED, None, "times", says)
    lowest = min(made.microohm, *siblings_microohm)
    ratio = made.microohm / lowest
    u = 0.0 if ratio == 1 else sqrt(2) * ratio * made.u_microohm / made.microohm
    among = len(siblings_microohm) + 1
    says = (
        f"{word_number(made.microohm)} µΩ is {ratio:.2f} times the lowest of the {among} made alike "
        f"({word_number(lowest)} µΩ); the limit is {criterion.limit:g} times."
    )
    verdict = _at_most(ratio, criterion.limit, u)
    return _result(criterion, "similar joints", verdict, ratio, "times", says)


def against_drop_budget(made: AsMade, budget: DropBudget | None) -> CriterionResult:
    """The drop of the circuit with this terminal in it, at the current it is planned for: I R + the rest.

    Where the rest is not known, a terminal that takes the whole budget alone is not met, any other not judged.
    """
    if budget is None:
        says = "The circuit has no drop budget, or its current is not known."
        return CriterionResult("drop budget", NOT_JUDGED, None, None, "mV", "the circuit", PRACTICE, says)
    own, u = (budget.current_ampere * microohm / 1000 for microohm in (made.microohm, made.u_microohm))
    takes = (
        f"At {budget.current_ampere:g} A this terminal takes {word_number(own)} mV of the "
        f"{word_number(budget.budget_millivolt)} mV its circuit may lose"
    )
    if budget.rest_millivolt is None:
        verdict = NOT_MET if own - COVERAGE * u > budget.budget_millivolt else NOT_JUDGED
        value, says = own, f"{takes}; what the rest of the circuit takes is not known."
    else:
        value = own + budget.rest_millivolt
        verdict = _at_most(value, budget.budget_millivolt, u)
        says = f"{takes}; its cables and crimps in all come to {word_number(value)} mV."
    limit = budget.budget_millivolt
    return CriterionResult("drop budget", verdict, value, limit, "mV", budget.source, budget.provenance, says)


def against_recipe(recipe: str, verdict: str, die: str, tried_dies: Sequence[str]) -> CriterionResult:
    """How far the recipe is proved; a die setting without a sample proves nothing, whatever its recipe says.

    `verdict` is that of `qualify_recipe`; `tried_dies` the settings of which samples were pulled.
    """
    if die not in tried_dies:
        tried = f"tried were {', '.join(tried_dies)}" if tried_dies else "no setting was"
        says = f"The die setting {die} of this terminal was never tried on a sample ({tried}); pull samples of it."
        word = NOT_JUDGED
    else:
        says = f"The recipe {recipe} is {verdict}."
        word = {QUALIFIED: MET, PROVISIONAL: IN_DOUBT, REFUSED: NOT_MET}.get(verdict, NOT_JUDGED)
    return CriterionResult("recipe", word, None, None, "", "its samples", DERIVED, says)


def against_checklist(summary: WorkmanshipSummary) -> CriterionResult:
    """The workmanship checklist: serious faults are not met, lesser ones in doubt, unanswered not judged."""
    if summary.serious:
        verdict = NOT_MET
    elif summary.faults:
        verdict = IN_DOUBT
    else:
        verdict = MET if summary.verdict == "good" else NOT_JUDGED
    lines = len(CHECKLIST) - summary.not_applicable_count
    faults = ", ".join(item.fault for item in summary.faults)
    says = f"{summary.good_count} of {lines} lines good"
    says += f"; at fault: {faults}" if faults else ""
    says += f"; {len(summary.unanswered)} not answered" if summary.unanswered else ""
    unit = f"of {lines} lines"
    source = "the workmanship checklist"
    return CriterionResult(
        "workmanship", verdict, float(summary.good_count), float(lines), unit, source, DERIVED, f"{says}."
    )


def against_proof_pull(pull: ProofPull | None, minimum: PullMinimum | None = None) -> CriterionResult:
    """A load held without movement for the stated time; it says nothing of what the crimp would hold in the end.

    The limit is the most to hold on a terminal that stays in service, where a sample minimum is known.
    """
    most = most_proof_newton(minimum) if minimum else None
    if pull is None:
        verdict, says = NOT_JUDGED, "No load was held on it."
    else:
        verdict, says = _judge_proof(pull, most)
    value = pull.newton if pull else None
    return CriterionResult(
        "proof pull", verdict, value, most, "N", RETENTION_SHARE.cited, RETENTION_SHARE.provenance, says
    )


def against_torque(applied: float | None, stated: float | None) -> CriterionResult:
    """The torque as applied [N m] beside what the maker of the part states [N m]; None where either is not known.

    There is no table of ours to stand in for the maker's figure.
    """
    if stated is None:
        verdict, says = NOT_JUDGED, "What the maker of the part states was not entered."
    elif applied is None:
        verdict, says = (
            NOT_JUDGED,
            f"The maker of the part states {stated:g} N m; what was applied was not noted.",
        )
    else:
        apart = applied / stated - 1
        verdict = MET if abs(apart) <= TORQUE_APART else IN_DOUBT
        side = "more" if apart > 0 else "less"
        far = "" if verdict == MET else f", {100 * abs(apart):.0f} % {side}: look at it again"
        says = f"{applied:g} N m as applied, {stated:g} N m by the maker of the part{far}."
    source = "the maker of the part"
    return CriterionResult("torque", verdict, applied, stated, "N m", source, BY_OWNER, says)


def _judge_proof(pull: ProofPull, most: float | None) -> tuple[str, str]:
    held = (
        f"{word_number(pull.newton)} N held {pull.hold_second:g} s"
        if pull.hold_second
        else f"{word_number(pull.newton)} N"
    )
    if pull.moved is None:
        return NOT_JUDGED, f"{held}; nobody noted whether it moved."
    if pull.moved:
        return NOT_MET, f"{held}, and it moved: cut it off and make it anew."
    if not pull.hold_second or pull.hold_second < pull.asked_second:
        return (
            IN_DOUBT,
            f"{held} without movement, for less than the {pull.asked_second:g} s asked or not timed.",
        )
    if most is not None and pull.newton > most:
        return IN_DOUBT, (
            f"{held} without movement, but more than the {word_number(most)} N that a terminal to stay in service "
            "should be asked: look at it again."
        )
    return MET, f"{held} without movement. This is no sample pull: it does not say what the crimp would hold."


def _at_most(value: float, limit: float, u: float) -> str:
    if abs(value - limit) < COVERAGE * u:
        return IN_DOUBT
    return MET if value <= limit else NOT_MET


def _result(
    criterion: Criterion, code: str, verdict: str, value: float | None, unit: str, says: str
) -> CriterionResult:
    return CriterionResult(
        code, verdict, value, criterion.limit, unit, criterion.cited, criterion.provenance, says
    )
