"""Putting right what the book says of anything but a reading, and withdrawing what should not be there."""

from collections.abc import Mapping, Sequence
from datetime import datetime

from lugbook.errors import LineRefused, NotAChange, NothingCalled, NotWithdrawable, SeveralCalled
from lugbook.exchange.layouts import LAYOUTS
from lugbook.jobs.desk import Amendment, Desk, Entry
from lugbook.jobs.entering import operator_of
from lugbook.jobs.listing import KINDS, Listing, list_rows, noun_of
from lugbook.jobs.recording import open_desk, record_line
from lugbook.records.logbook import Logbook
from lugbook.records.store import Book

WITHDRAWABLE = ("pulls", "services", "answers", "reels", "prices")
"""Kinds that no other row refers to."""


def amend_row(
    book: Book, kind: str, name: str, changes: Sequence[str], now: datetime, *,
    reason: str, by: str | None, build: str | None,
) -> int:  # fmt: skip
    """Replace a row by a better one and return its entry number; the old one stays.

    `name` is its name or tag, or its entry number; each change is HEADING=VALUE as in a table of that kind.
    Raises NothingCalled, SeveralCalled, NotAChange, LineRefused.
    """
    said = _changes(kind, changes)
    with book.writing() as connection:
        desk = open_desk(Logbook(connection, now), now)
        old = amend_within(desk, kind, name, said, why_of(desk, reason, by), build)
        if old is None:
            raise LineRefused("the book says so already.")
        return desk.directory.history.current(old)


def amend_within(
    desk: Desk,
    kind: str,
    name: str,
    said: Mapping[str, str],
    why: tuple[str, int | None],
    build: str | None = None,
) -> int | None:
    """Replace a row within a transaction that goes on, and return the entry replaced; None if it says so already.

    `said` is what changes, by heading; `why` the reason and who gave it (`why_of`).
    Raises NothingCalled, SeveralCalled, LineRefused.
    """
    old, cells = _one(list_rows(desk.logbook.connection, kind, build), kind, name)
    desk.amendment = Amendment(KINDS[kind][0], old, why)
    entered = record_line(desk, kind, {**cells, **said}, held=frozenset(cells) - frozenset(said))
    desk.amendment = None
    return old if entered.new else None


def withdraw_row(
    book: Book, kind: str, name: str, now: datetime, *, reason: str, by: str | None, build: str | None
) -> int:
    """Say that a row no longer counts and return its entry number; it stays.

    Raises NotWithdrawable, NothingCalled, SeveralCalled, LineRefused.
    """
    if kind not in WITHDRAWABLE:
        raise NotWithdrawable(kind)
    with book.writing() as connection:
        desk = open_desk(Logbook(connection, now), now)
        old, _ = _one(list_rows(connection, kind, build), kind, name)
        desk.logbook.withdraw(old, *why_of(desk, reason, by))
        return old


def _changes(kind: str, changes: Sequence[str]) -> dict[str, str]:
    headings = LAYOUTS[kind].headings
    said = {}
    for change in changes:
        heading, equals, value = change.partition("=")
        if not equals or not value.strip() or heading.strip() not in headings:
            raise NotAChange(change, headings)
        said[heading.strip()] = value.strip()
    return said


def _one(listing: Listing, kind: str, name: str) -> tuple[int, Mapping[str, str]]:
    """Entry number and cells of the one row of that name, tag or entry number."""
    places = [place for place, key in enumerate(listing.keys) if key == name]
    if not places and name.isdecimal():
        places = [place for place, entry in enumerate(listing.identities) if entry == int(name)]
    if not places:
        raise NothingCalled(kind.removesuffix("s"), name, noun_of(kind), listing.keys)
    if len(places) > 1:
        raise SeveralCalled(kind.removesuffix("s"), name, [listing.identities[place] for place in places])
    row = zip(listing.headings, listing.rows[places[0]], strict=True)
    return listing.identities[places[0]], {heading: cell for heading, cell in row if cell}


def why_of(desk: Desk, reason: str, by: str | None) -> tuple[str, int | None]:
    """The reason of a change and who gave it. Raises LineRefused for a blank one."""
    if not reason.strip():
        raise LineRefused("the reason is blank; say why with --reason.")
    return reason, operator_of(desk, by, Entry({}))
