"""The only place that prints: tables, sentences, JSON."""

import json
import sys
import textwrap
import unicodedata
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from typing import Any

import typer

LONG = 5_000
"""Rows from which on a bar is shown."""
PAGE_WIDTH = 120
"""Columns beyond which a table is broken where it may be."""
LEAST_WRAPPED = 16
"""A broken column is at least so wide."""


def say(sentence: str) -> None:
    """One sentence on standard output."""
    typer.echo(visible(sentence))


def say_wrapped(sentence: str, *, indent: int = 2, width: int = 110) -> None:
    """A long sentence on standard output, in lines of at most `width` columns, indented, the later ones deeper."""
    margin = " " * indent
    for line in textwrap.wrap(
        visible(sentence), width, initial_indent=margin, subsequent_indent=margin + "  ",
        break_long_words=False, break_on_hyphens=False,
    ):  # fmt: skip
        typer.echo(line)


def warn(sentence: str) -> None:
    """One sentence on standard error."""
    typer.echo(visible(sentence), err=True)


def ask(prompt: str) -> str | None:
    """One line from standard input, typed after a prompt; None where it has ended."""
    typer.echo(visible(prompt), nl=False)
    sys.stdout.flush()
    line = sys.stdin.readline()
    return line if line else None


def show_json(facts: Any) -> None:
    """Facts as JSON, and nothing else, on standard output."""
    typer.echo(json.dumps(facts, ensure_ascii=False, indent=2, default=str))


def show_table(
    headings: Sequence[str],
    rows: Sequence[Sequence[str]],
    *,
    right: Iterable[int] = (),
    wrap: Iterable[int] = (),
) -> None:
    """Columns under their headings; those in `right` are set flush right.

    Where the table is wider than a page, the cells of the columns in `wrap` go on in the lines below.
    """
    flush = set(right)
    cells = [[visible(cell) for cell in row] for row in rows]
    widths = [max(map(width, column)) for column in zip(headings, *cells, strict=True)]
    narrow = list(wrap)
    while narrow and sum(widths) + 2 * (len(widths) - 1) > PAGE_WIDTH:
        widest = max(narrow, key=widths.__getitem__)
        if widths[widest] <= max(LEAST_WRAPPED, width(headings[widest])):
            break
        widths[widest] -= 1
    cells = [line for row in cells for line in _wrapped(row, widths, narrow)]
    lines = []
    for row in (headings, *cells):
        padded = [
            " " * (wide - width(cell)) + cell if place in flush else cell + " " * (wide - width(cell))
            for place, (cell, wide) in enumerate(zip(row, widths, strict=True))
        ]
        lines.append("  ".join(padded).rstrip())
    lines.insert(1, "  ".join("-" * wide for wide in widths))
    typer.echo("\n".join(lines))


def _wrapped(row: Sequence[str], widths: Sequence[int], narrow: Sequence[int]) -> Iterator[list[str]]:
    """The lines that one row takes when the cells of its narrow columns are broken between words."""
    columns = [
        textwrap.wrap(cell, widths[place]) or [""] if place in narrow else [cell]
        for place, cell in enumerate(row)
    ]
    for line in range(max(map(len, columns))):
        yield [column[line] if line < len(column) else "" for column in columns]


def show_facts(pairs: Sequence[tuple[str, str]]) -> None:
    """Name and value, one a line; empty values are left out."""
    kept = [(name, visible(value)) for name, value in pairs if value]
    wide = max((width(name) for name, _ in kept), default=0)
    for name, value in kept:
        typer.echo(f"{name}{' ' * (wide - width(name))}  {value}")


def show_bytes(content: bytes) -> None:
    """A file's bytes, unchanged, on standard output."""
    sys.stdout.buffer.write(content)
    sys.stdout.buffer.flush()


@contextmanager
def progress_bar(label: str) -> Iterator[Callable[[int, int], None]]:
    """Shows on standard error how far a long job has come; nothing for a short one, nothing into a pipe."""
    bar: Any = None

    def step(done: int, total: int) -> None:
        nonlocal bar
        if bar is None and total >= LONG and sys.stderr.isatty():
            bar = typer.progressbar(length=total, label=label, file=sys.stderr).__enter__()
        if bar is not None:
            bar.update(done - bar.pos)

    try:
        yield step
    finally:
        if bar is not None:
            bar.render_finish()


def visible(text: str) -> str:
    """Text with control characters shown as ·, so that no label can drive the terminal."""
    if text.isascii() and text.isprintable():
        return text
    return "".join("·" if unicodedata.category(c) in ("Cc", "Cf", "Cs") and c != "\n" else c for c in text)


def width(text: str) -> int:
    """Columns a text takes on a terminal: wide East Asian characters take two, combining marks none."""
    if text.isascii():
        return len(text)
    return sum(
        0 if unicodedata.combining(c) else 2 if unicodedata.east_asian_width(c) in "WF" else 1 for c in text
    )
