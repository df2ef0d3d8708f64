"""Terminals, recipes and cables of a build as a report tells them."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Collection, Mapping
from dataclasses import replace

from lugbook.assessment.acceptance import Acceptance
from lugbook.assessment.qualification import NOT_JUDGED, QUALIFIED, RecipeEvidence, qualify_recipe
from lugbook.assessment.qualification_words import word_proof
from lugbook.assessment.trial_story import TrialStory, tell_trial
from lugbook.assessment.workmanship import summarise_workmanship, word_workmanship
from lugbook.jobs.cables import word_circuit
from lugbook.jobs.directory import Row
from lugbook.jobs.joinings import CRIMPED, joining_of_terminal
from lugbook.jobs.landings import landing_of
from lugbook.jobs.listing import text_of
from lugbook.jobs.report_acceptance import word_as_made
from lugbook.jobs.report_scope import Scope
from lugbook.jobs.trial_evidence import answers_of, gather_recipe
from lugbook.records.tables import (
    Cable,
    CableEnd,
    Conductor,
    Instrument,
    Lug,
    Pull,
    Recipe,
    Span,
    Terminal,
    Tool,
)
from lugbook.reports.blocks import Drawing, Print
from lugbook.reports.entry_pages import PICTURE_HEIGHT_SHARE
from lugbook.reports.workmanship import CableLine, PullLine, RecipeEntry, SpanEntry, TerminalEntry
from lugbook.units.wording import word_number

NEWTON_PER_LBF = 4.4482216152605
"""Exact: 0.45359237 kg x 9.80665 m/s2."""
NEWTON_METRE_PER_LBF_FT = 1.3558179483314
"""Exact: the pound-force times 0.3048 m."""
METRE_PER_FOOT = 0.3048
PICTURE_WIDE_MM = 150.0


def terminal_entries(
    scope: Scope,
    spans: Mapping[str, SpanEntry],
    photos: Mapping[int, tuple[Print, ...]],
    acceptances: Mapping[int, Acceptance],
) -> tuple[TerminalEntry, ...]:
    """The terminal now on each end, by tag of the end, with the spans watched on it and what it came to as made."""
    by_end: dict[int, list[Row]] = {}
    for row in scope.rows(Terminal, "made_at"):
        by_end.setdefault(scope.directory.history.current(row["cable_end_id"]), []).append(row)
    proofs = _proofs(scope)
    watched = spans_by_end(scope)
    entries = []
    for end_id, made in by_end.items():
        here = tuple(spans[tag] for tag in watched.get(end_id, ()) if tag in spans)
        pictures = tuple(one for row in made for one in photos.get(row["id"], ()))
        entry = _terminal(scope, made, here, pictures, proofs)
        found = acceptances[made[-1]["id"]]
        entries.append(replace(entry, as_made=found.verdict, acceptance=word_as_made(found)))
    return tuple(sorted(entries, key=lambda entry: tag_order(entry.end)))


def _terminal(
    scope: Scope,
    made: list[Row],
    spans: tuple[SpanEntry, ...],
    photos: tuple[Print, ...],
    proofs: Mapping[int, str],
) -> TerminalEntry:
    row, directory = made[-1], scope.directory
    end = directory.row(CableEnd, row["cable_end_id"])
    earlier = ", ".join(scope.day(one["made_at"]) for one in made[:-1])
    return TerminalEntry(
        end=end["tag"],
        made_on=scope.day(row["made_at"]),
        made_by=scope.person(row["operator_id"]),
        recipe=directory.name(Recipe, row["recipe_id"]),
        landing=_word_landing(landing_of(directory, row)),
        place=end["place"] or "",
        spans=spans,
        joining=joining_of_terminal(directory, row),
        look=_look(scope, row),
        proof=proofs.get(row["id"], ""),
        earlier=f"Remade: this end had a terminal before, made {earlier}." if earlier else "",
        note=scope.free(row["note"]),
        photos=photos,
    )


def _look(scope: Scope, terminal: Row) -> str:
    """What the workmanship checklist came to; '' where nobody answered a line of it."""
    answers = answers_of(scope.directory, "terminal_id", terminal["id"])
    if not answers:
        return ""
    return word_workmanship(summarise_workmanship({item: row["answer"] for item, row in answers.items()}))


def spans_by_end(scope: Scope) -> dict[int, list[str]]:
    """Tags of the spans at each end, the crimp first; a span along a whole cable belongs to no end."""
    found: dict[int, list[str]] = {}
    for row in sorted(scope.rows(Span), key=lambda row: (row["kind"] != "crimp", row["id"])):
        if row["cable_end_id"] is not None and row["kind"] != "cable":
            found.setdefault(scope.directory.history.current(row["cable_end_id"]), []).append(row["tag"])
    return found


def _word_landing(row: Row | None) -> str:
    if row is None:
        return ""
    torque = row["torque_newton_metre"]
    held = word_torque(torque).replace(" (", " / ").rstrip(")") if torque else "torque not measured"
    parts = (row["kind"], row["hardware"], held)
    return f"{row['tag']} ({', '.join(part for part in parts if part)})"


def _proofs(scope: Scope) -> dict[int, str]:
    said = {}
    for row in scope.rows(Pull, "pulled_at"):
        if row["terminal_id"] is not None:
            held = f" for {row['hold_second']:g} s" if row["hold_second"] else ""
            terminal = scope.directory.history.current(row["terminal_id"])
            said[terminal] = (
                f"Proof pull {scope.day(row['pulled_at'])}: {word_force(row['pull_newton'])} held{held}, "
                f"{row['failure']}."
            )
    return said


def recipes_used(scope: Scope) -> Counter[int]:
    """By recipe, how many terminals of this build were made by it."""
    current = scope.directory.history.current
    return Counter(current(row["recipe_id"]) for row in scope.rows(Terminal, "made_at"))


def recipe_entries(scope: Scope, compared: Collection[str]) -> tuple[RecipeEntry, ...]:
    """Every recipe by which a terminal of this build was made, with the samples pulled of it.

    `compared` names those that stand in a picture of a trial, and have none of their own.
    """
    current = scope.directory.history.current
    used = recipes_used(scope)
    pulls: dict[int, list[Row]] = {}
    for row in scope.rows(Pull, "pulled_at"):
        if row["kind"] == "sample":
            pulls.setdefault(current(row["recipe_id"]), []).append(row)
    rows = scope.directory.rows(Recipe)
    entries = [
        _recipe(scope, rows[identity], used[identity], pulls.get(identity, [])) for identity in sorted(used)
    ]
    return tuple(replace(one, picture=None) if one.name in compared else one for one in entries)


def _recipe(scope: Scope, row: Row, used_on: int, pulls: list[Row]) -> RecipeEntry:
    directory = scope.directory
    lug, conductor = directory.row(Lug, row["lug_id"]), directory.row(Conductor, row["conductor_id"])
    strands = ", ".join(part for part in (conductor["strands"], conductor["strand_class"]) if part)
    plating = f"{lug['plating']} plated" if lug["plating"] else ""
    wall = f"wall {lug['wall_millimetre']:g} mm" if lug["wall_millimetre"] else ""
    facts = (
        ("conductor", word_conductor(conductor)),
        *((("strands", strands),) if strands else ()),
        ("lug", ", ".join(part for part in (lug["name"], lug["material"], plating, wall) if part)),
        *((("joined", f"{row['joining']}, not crimped"),) if row["joining"] not in (None, CRIMPED) else ()),
        ("tool and die", f"{directory.name(Tool, row['tool_id'])}, {row['die']}"),
        ("presses", ", ".join(part for part in (text_of(row["presses"]), row["press_order"]) if part)),
        *((("across the crimp", f"{row['crimp_millimetre']:g} mm"),) if row["crimp_millimetre"] else ()),
        ("strip length", f"{row['strip_millimetre']:g} mm"),
        ("sealing", row["sealing"] or "not recorded"),
        ("compound", row["compound"] or "not recorded"),
        *((("note", scope.free(row["note"])),) if row["note"] else ()),
    )
    lines = tuple(
        PullLine(
            pull["sample"], scope.day(pull["pulled_at"]), word_force(pull["pull_newton"]), pull["failure"],
            directory.name(Instrument, pull["instrument_id"]) or "not recorded",
            scope.person(pull["operator_id"]) or "not recorded",
        )
        for pull in pulls
    )  # fmt: skip
    evidence = gather_recipe(directory, row).evidence
    found = qualify_recipe(evidence)
    sentences = (f"Verdict: {found.verdict}.", *(word_proof(reason) for reason in found.reasons))
    return RecipeEntry(
        row["name"], facts, used_on, lines, sentences,
        None if found.verdict == NOT_JUDGED else found.verdict == QUALIFIED, _picture(row, evidence, found.verdict),
    )  # fmt: skip


def _picture(row: Row, evidence: RecipeEvidence, verdict: str) -> Drawing | None:
    """Its pulls and resistances against what they are held to; none where nothing was pulled."""
    if not evidence.pulls:
        return None
    words = f"Pulls and resistances of the samples of recipe {row['name']}: {verdict}."
    return drawn_trial(tell_trial([(row["name"], row["die"], evidence)]), words)


def drawn_trial(story: TrialStory, words: str) -> Drawing:
    """The picture of a trial at the width of a report."""
    from lugbook.reports.trial_plot import draw_trial

    svg = draw_trial(story, "svg").decode()
    return Drawing(svg, words, PICTURE_WIDE_MM, PICTURE_WIDE_MM * PICTURE_HEIGHT_SHARE)


def cable_lines(scope: Scope) -> tuple[CableLine, ...]:
    """The cable schedule, by tag."""
    directory = scope.directory
    ends: dict[int, dict[str, str]] = {}
    for end in scope.rows(CableEnd):
        ends.setdefault(directory.history.current(end["cable_id"]), {})[end["side"]] = end["place"] or ""
    lines = [
        CableLine(
            row["tag"],
            word_conductor(directory.row(Conductor, row["conductor_id"])),
            f"{row['length_metre']:.2f} m ({row['length_metre'] / METRE_PER_FOOT:.1f} ft)",
            " → ".join(ends.get(row["id"], {}).get(side) or "not said" for side in "AB"),
            word_circuit(row) or scope.free(row["note"]),
        )
        for row in scope.rows(Cable)
    ]
    return tuple(sorted(lines, key=lambda line: tag_order(line.tag)))


def word_conductor(row: Row) -> str:
    """Size, area and tinning of a conductor."""
    tinned = {1: "tinned", 0: "bare", None: "tinning not recorded"}[row["tinned"]]
    area = f" ({row['area_mm2']:g} mm²)" if "mm2" not in row["size"] else ""
    return f"{row['size'].replace('mm2', 'mm²')}{area}, {tinned}"


def word_force(newton: float) -> str:
    """Newton, with pound-force beside it as the trade pulls in both: "9100 N (2050 lbf)"."""
    return f"{word_number(newton, 4)} N ({word_number(newton / NEWTON_PER_LBF)} lbf)"


def word_torque(newton_metre: float) -> str:
    """Newton metre, with pound-force feet beside it: "27 N m (19.9 lbf ft)"."""
    return f"{newton_metre:g} N m ({word_number(newton_metre / NEWTON_METRE_PER_LBF_FT)} lbf ft)"


def tag_order(tag: str) -> tuple[tuple[int, str], ...]:
    """Sorts tags as a person does: C2 before C10."""
    parts = re.split(r"([0-9]+)", tag)
    return tuple(
        (len(part.lstrip("0")), part.lstrip("0")) if place % 2 else (-1, part)
        for place, part in enumerate(parts)
    )
