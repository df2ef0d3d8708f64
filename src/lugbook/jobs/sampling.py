"""Samples: numbered, measured, pulled, photographed, looked at; and the looks at made terminals."""

from collections.abc import Mapping, Sequence
from datetime import datetime
from pathlib import Path

from lugbook.assessment.workmanship import (
    CHECKLIST,
    WorkmanshipSummary,
    checklist_item,
    summarise_workmanship,
)
from lugbook.errors import AnswerMissing, LineRefused
from lugbook.exchange.layouts import LAYOUTS
from lugbook.jobs.crimping import now_text
from lugbook.jobs.desk import Desk
from lugbook.jobs.directory import Mismatch
from lugbook.jobs.entries_proving import end_named, pulled_to_failure, sample_named, terminals_on
from lugbook.jobs.photographs import record_photo
from lugbook.jobs.recording import fault_of, open_desk, record_line, sentence_of
from lugbook.jobs.trial_evidence import answers_of
from lugbook.records.logbook import Logbook
from lugbook.records.store import Book
from lugbook.records.tables import Pull, Recipe, Sample

SAMPLE_NAMED = frozenset(
    ("recipe", "sample", "tested_at", "operator", "voltage_instrument", "current_instrument")
)
"""What names a sample and says nothing of it."""
EVERY = "all"
"""Stands for every line of the checklist where answers are typed."""


def record_pull(book: Book, cells: Mapping[str, str], now: datetime) -> tuple[int, Mapping[str, str]]:
    """Enter a pull; the sample is numbered after the last of its recipe unless it has a number.

    Returns how many were new, and all cells. Raises LineRefused.
    """
    with book.writing() as connection:
        desk = open_desk(Logbook(connection, now), now)
        whole = {"pulled_at": now_text(now), "kind": "proof" if "cable_end" in cells else "sample", **cells}
        if whole["kind"] == "proof":
            whole.setdefault("failure", "not to failure")
        whole.setdefault("sample", _next_number(desk, cells["recipe"], (Pull,)))
        entered = record_line(desk, "pulls", whole)
    return entered.new, whole


def record_sample(
    book: Book, cells: Mapping[str, str], pull: Mapping[str, str], now: datetime
) -> tuple[int, str]:
    """Enter a sample as measured and seen, and what it held, in one deed; the next number unless it has one.

    `pull` is empty where it was not pulled. A sample that the book knows keeps the time it was tested at, unless
    another is said. Returns how many rows were new, and its number. Raises LineRefused.
    """
    if not pull and SAMPLE_NAMED.issuperset(cells):
        raise LineRefused(
            "nothing was said of the sample; type what it measured, how it looked, what it held, or a note."
        )
    with book.writing() as connection:
        desk = open_desk(Logbook(connection, now), now)
        known, pulled = _times_known(desk, cells)
        whole = {"tested_at": known or now_text(now), **cells}
        number = whole.setdefault("sample", _next_number(desk, cells["recipe"], (Sample, Pull)))
        new = record_line(desk, "samples", whole).new
        if pull:
            moment = pulled or cells.get("tested_at") or now_text(now)
            line = {"recipe": whole["recipe"], "sample": number, "pulled_at": moment, **pull}
            if "operator" in whole:
                line["operator"] = whole["operator"]
            new += record_line(desk, "pulls", line).new
    return new, number


def _times_known(desk: Desk, cells: Mapping[str, str]) -> tuple[str, str]:
    """When a sample was tested and when it was pulled to failure, where no time is said; '' of what is not known."""
    recipe = desk.directory.find(Recipe, cells["recipe"])
    if recipe is None or "tested_at" in cells:
        return "", ""
    pulls = pulled_to_failure(desk, recipe)
    samples = [
        row for row in desk.directory.rows(Sample).values()
        if desk.same("recipe_id", row["recipe_id"], recipe["id"])
    ]  # fmt: skip
    number = cells.get("sample")
    tested, pulled = (
        [row[column] for row in rows if row["sample"] == number]
        for rows, column in ((samples, "tested_at"), (pulls, "pulled_at"))
    )
    return "".join(tested[:1]), "".join(pulled[:1])


def record_answers(
    book: Book, of: Mapping[str, str], answers: Sequence[str], now: datetime
) -> WorkmanshipSummary:
    """Enter answers to the checklist, LINE=ANSWER each, all=ANSWER for every line; the later of two counts.

    `of` names the cable end, or the recipe and sample, and perhaps when, who and a note.
    Returns what all answers that count now come to, of the terminal now on the end.
    Raises AnswerMissing, ItemUnknown, LineRefused.
    """
    typed = _typed_answers(answers or [""])
    with book.writing() as connection:
        desk = open_desk(Logbook(connection, now), now)
        whole = {"looked_at": now_text(now), **of}
        for item, answer in typed.items():
            record_line(desk, "answers", {**whole, "item": item, "answer": answer})
        column, identity = _looked_at(desk, whole)
        counting = answers_of(desk.directory, column, identity)
    return summarise_workmanship({item: row["answer"] for item, row in counting.items()})


def attach_sample_photo(
    book: Book, recipe: str, sample: str, file: Path, now: datetime, *, note: str | None
) -> str:
    """Note the digest of a photo of a sample, and keep the original beside the book. Returns the digest.

    Raises LineRefused, FileMissing, PhotoUnusable, FileUnwritable.
    """
    with book.writing() as connection:
        desk = open_desk(Logbook(connection, now), now)
        try:
            row = sample_named(desk, {"recipe": recipe, "sample": sample})
        except Mismatch as wrong:
            raise LineRefused(sentence_of(fault_of(1, wrong), LAYOUTS["samples"])) from wrong
        return record_photo(desk, book.path, {"sample_id": row["id"]}, file, note)


def _typed_answers(answers: Sequence[str]) -> dict[str, str]:
    """By line of the checklist; a line named by itself goes before what `all` says of it."""
    said: dict[str, str] = {}
    for text in answers:
        item, equals, answer = (part.strip() for part in text.partition("="))
        if not equals or not answer:
            raise AnswerMissing(text)
        said[item] = answer
    every = said.pop(EVERY, None)
    named = {checklist_item(item).code: answer for item, answer in said.items()}
    if every is None:
        return named
    return {line.code: every for line in CHECKLIST} | named


def _looked_at(desk: Desk, of: Mapping[str, str]) -> tuple[str, int]:
    if "cable_end" in of:
        return "terminal_id", int(terminals_on(desk, end_named(desk, of))[-1]["id"])
    return "sample_id", int(sample_named(desk, of)["id"])


def _next_number(desk: Desk, recipe: str, tables: Sequence[type[Pull] | type[Sample]]) -> str:
    """One more than there are of a recipe, or the next that none of them has."""
    used = {
        row["sample"] for table in tables for row in desk.directory.rows(table).values()
        if desk.directory.name(Recipe, row["recipe_id"]) == recipe
    }  # fmt: skip
    number = len(used) + 1
    while str(number) in used:
        number += 1
    return str(number)
