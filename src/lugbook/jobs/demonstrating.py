"""Filling a folder with the book and the plots of an invented boat, from the logs that come with Lugbook."""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path

from lugbook.errors import BookExists, FileUnwritable
from lugbook.jobs.assessing import Standing, judge_book
from lugbook.jobs.exchanging import bring_in_file, word_count
from lugbook.jobs.keeping import new_book
from lugbook.jobs.listing import list_kind
from lugbook.jobs.picturing import plot_rounds, plot_span
from lugbook.jobs.trialling import compare_by_name, plot_trial
from lugbook.records.store import open_book

PLOTTED = ("over limit", "creeping", "stepped")


@dataclass(frozen=True)
class Demonstrated:
    """What the demonstration left behind.

    `sentences` says for each plotted span why, `trial_sentence` which die to use.
    """

    book: Path
    plots: Path
    standings: tuple[Standing, ...]
    sentences: Mapping[str, str]
    trial: tuple[str, ...]
    """The recipes of which samples were made."""
    trial_sentence: str


def fill_demo(
    folder: Path, now: datetime, on: date, *, tell: Callable[[str], None], refuse: Callable[[str], None]
) -> Demonstrated:
    """Import every sample log in the order of its number, judge, and plot what needs a person.

    Raises BookExists, FileUnwritable.
    """
    from lugbook.assessment.qualification_words import word_proof
    from lugbook.assessment.reasons import word_reason

    path, plots = folder / "book.db", folder / "plots"
    if path.exists():
        raise BookExists(path)
    try:
        plots.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise FileUnwritable(plots) from error
    new_book(path, now)
    book = open_book(path)
    try:
        for log in sorted(sample_logs().glob("[0-9]*.csv")):
            kind = kind_of(log.name)
            aside = folder / f"{log.stem}_set_aside.csv"
            done = bring_in_file(book, kind, log, now, decimal=None, skip_unknown=False, aside=aside)
            tell(f"  {log.name}: {word_count(done.new, kind)}")
            for sentence in done.refused:
                refuse(f"    refused, as it should be: {sentence}")
        standings = judge_book(book, on)
        verdicts = [v for standing in standings for v in standing.judgement.verdicts if v.verdict in PLOTTED]
        serviced = list_kind(book, "services").keys
        for tag in dict.fromkeys([*(v.span for v in verdicts), *serviced]):
            plot_span(book, on, tag, plots / f"{tag.replace('/', '_')}.svg")
        for standing in standings:
            plot_rounds(book, on, plots / "rounds.svg", build=standing.build)
        trial = tuple(dict.fromkeys(list_kind(book, "samples").keys))
        plot_trial(book, trial, plots / "trial.svg")
        conclusion = word_proof(compare_by_name(book, trial).comparison.reasons[0])
    finally:
        book.close()
    sentences = {v.span: word_reason(v.reasons[0]) for v in verdicts}
    return Demonstrated(path, plots, standings, sentences, trial, conclusion)


def sample_logs() -> Path:
    """Where the sample logs are: inside the installed package, else beside the source tree."""
    package = Path(__file__).resolve().parents[1]
    installed = package / "sample_logs"
    return installed if installed.is_dir() else package.parents[1] / "sample_logs"


def kind_of(file_name: str) -> str:
    """The kind a sample log's name says: 21_readings_2021.csv holds readings."""
    found = re.match(r"[0-9]+_([a-z]+)", file_name)
    assert found is not None, file_name
    return found.group(1)
