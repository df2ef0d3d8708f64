"""Samples as they are listed for a person: each with what it held and how it gave way."""

from dataclasses import replace

from lugbook.jobs.directory import Directory, Row
from lugbook.jobs.listing import Listing, text_of
from lugbook.records.store import Book
from lugbook.records.tables import Pull, Sample

HELD = ("pull_newton", "failure")


def with_pulls(book: Book, listing: Listing) -> Listing:
    """A listing of samples with two more headings, what each held and how it gave way; '' where it was not pulled."""
    with book.reading() as connection:
        directory = Directory(connection)
        held = [_pull_of(directory, identity) for identity in listing.identities]
    rows = tuple(
        (*row, *(text_of(pull[name]) if pull else "" for name in HELD))
        for row, pull in zip(listing.rows, held, strict=True)
    )
    return replace(listing, headings=(*listing.headings, *HELD), rows=rows)


def _pull_of(directory: Directory, sample: int) -> Row | None:
    """The pull by which a sample gave way, else the last by which it was held."""
    row, current = directory.row(Sample, sample), directory.history.current
    pulls = [
        pull for pull in directory.rows(Pull).values()
        if pull["kind"] == "sample" and pull["sample"] == row["sample"]
        and current(pull["recipe_id"]) == current(row["recipe_id"])
    ]  # fmt: skip
    return max(pulls, key=lambda pull: (pull["failure"] != "not to failure", pull["pulled_at"]), default=None)
