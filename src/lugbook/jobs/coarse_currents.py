"""What is to be said of a current that is few counts of the meter it is read with."""

from __future__ import annotations

from lugbook.jobs.directory import Directory
from lugbook.jobs.meters import Meters
from lugbook.physics.instruments import digits_share
from lugbook.records.questions import row_by_id
from lugbook.records.store import Book
from lugbook.records.tables import Instrument, Reading

COARSE_FROM = 0.05
"""The last digits may be so much of a current before it is said: a creep of a year hides in more. Our assumption."""


def words_of_current(directory: Directory, instrument_id: int, ampere: float) -> tuple[str, ...]:
    """One sentence where the last digits of the meter are much of the current, with what to do; else none."""
    meter = Meters(directory).meter(instrument_id)
    share = digits_share(meter, ampere)
    if share < COARSE_FROM:
        return ()
    name = directory.name(Instrument, instrument_id)
    return (
        f"{ampere:g} A is little for {name}: by its last digits alone it may be out by {100 * share:.0f} % there. "
        "Draw more current, or use a finer meter.",
    )


def words_of_reading(book: Book, entry: int) -> tuple[str, ...]:
    """The same of the current of a reading."""
    with book.reading() as connection:
        row = row_by_id(connection, Reading, entry)
        if row is None:
            return ()
        return words_of_current(Directory(connection), row["current_instrument_id"], row["current_ampere"])
