"""Writes the small book as SQL text: `python tests/migrations/make_first_revision.py`, once, before the first release.

The text stands for every book made at generation 1. After the release it is never made again: a later program must
open what is in it.
"""

import sqlite3
import sys
from contextlib import closing
from pathlib import Path
from tempfile import TemporaryDirectory

sys.path.insert(0, str(Path(__file__).parents[1]))

from small_book import make_small_book  # found by the line above

if __name__ == "__main__":
    with TemporaryDirectory() as folder:
        made = Path(folder) / "book.db"
        make_small_book(made).close()
        with closing(sqlite3.connect(made)) as connection:
            text = "\n".join(connection.iterdump())
    heading = (
        "-- A book of generation 1 with invented facts, as SQLite dumps it. Never edited, never made again."
    )
    Path(__file__).with_name("first_revision.sql").write_text(f"{heading}\n{text}\n", encoding="utf-8")
