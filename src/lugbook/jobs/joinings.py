"""Which joints are not crimped: soldered or clamped ones, met on old wiring, are said so wherever they are shown."""

from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from sqlalchemy import Connection

from lugbook.jobs.directory import Directory, Row
from lugbook.records.store import Book
from lugbook.records.tables_build import Span, Terminal

if TYPE_CHECKING:
    from lugbook.jobs.listing import Listing

CRIMPED = "crimped"


def not_crimped(directory: Directory) -> Mapping[int, str]:
    """By span: how the joint it watches is made, where it is not crimped; the newest terminal of an end counts."""
    from lugbook.records.tables_parts import Recipe

    other = {row["id"]: row["joining"] for row in directory.rows(Recipe).values() if row["joining"]}
    current = directory.history.current
    if not other:
        return {}
    newest: dict[int, Row] = {}
    for row in sorted(directory.rows(Terminal).values(), key=lambda row: str(row["made_at"])):
        newest[current(row["cable_end_id"])] = row
    found = {}
    for span in directory.rows(Span).values():
        terminal = newest.get(current(span["cable_end_id"] or 0))
        joining = other.get(current(terminal["recipe_id"])) if terminal else None
        if span["kind"] == "crimp" and joining and joining != CRIMPED:
            found[span["id"]] = str(joining)
    return found


def tags_not_crimped(connection: Connection, build: str) -> dict[str, str]:
    """By tag of a span of one build: how its joint is made, where it is not crimped."""
    directory = Directory(connection)
    build_id = directory.named_build(build)["id"]
    found = not_crimped(directory)
    spans = directory.rows(Span)
    return {
        spans[identity]["tag"]: joining
        for identity, joining in found.items()
        if directory.build_of(Span, spans[identity]) == build_id
    }


def joining_of_terminal(directory: Directory, terminal: Row) -> str:
    """How a terminal is joined to its cable; '' where it is crimped."""
    from lugbook.records.tables_parts import Recipe

    joining = directory.row(Recipe, terminal["recipe_id"])["joining"]
    return "" if joining in (None, CRIMPED) else str(joining)


def with_joinings(book: Book, listing: "Listing") -> "Listing":
    """A listing of terminals with one more heading, how each is joined; '' where it is crimped."""
    with book.reading() as connection:
        directory = Directory(connection)
        joined = [
            joining_of_terminal(directory, directory.row(Terminal, identity)) for identity in listing.identities
        ]
    rows = tuple((*row, joining) for row, joining in zip(listing.rows, joined, strict=True))
    return replace(listing, headings=(*listing.headings, "joining"), rows=rows)


def joining_of(book: Book, build: str, tag: str) -> str:
    """How the joint of a span is made; '' where it is crimped, or nothing is known of it."""
    with book.reading() as connection:
        return tags_not_crimped(connection, build).get(tag, "")
