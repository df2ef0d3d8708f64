"""The two commands every kind has: list all of it, show one of it."""

from collections.abc import Callable
from typing import Annotated, Any

import typer

from lugbook.cli.arguments import AsJson, OfBuild, the_book
from lugbook.cli.console import say, show_facts, show_json, show_table

NOBODY = "nobody named"
"""Who did it, where nobody was said to."""
More = Callable[[Any, Any], Any]
"""Book and listing to a listing; typed Any because jobs load only when a command runs."""


def noun(says: str) -> typer.Typer:
    """An empty noun, set up as all of them are."""
    return typer.Typer(
        help=says,
        rich_markup_mode=None,
        pretty_exceptions_enable=False,
        no_args_is_help=True,
        context_settings={"help_option_names": ["-h", "--help"]},
        add_completion=False,
    )


def add_listing(
    app: typer.Typer, kind: str, called: str, *, show: bool = True, more: More | None = None
) -> None:
    """Give a noun its `list`, and its `show` by name or tag; `more` adds to the listing what a person wants beside."""

    @app.command("list")
    def list_all(ctx: typer.Context, build: OfBuild = None, as_json: AsJson = False) -> None:
        """List all that are in force."""
        from lugbook.jobs.listing import list_kind

        listing = list_kind(the_book(ctx), kind, build=build)
        listing = more(the_book(ctx), listing) if more else listing
        if as_json:
            show_json({kind: facts_listed(listing)})
        elif not listing.rows:
            of_build = f" of build {build}" if build and "build" in listing.headings else ""
            say(f"No {kind}{of_build} in this book yet.")
        else:
            show_table(*_used(listing))

    if show:
        app.command("show")(_shower(kind, called, more))


def _shower(kind: str, called: str, more: More | None) -> Any:
    def show_one(
        ctx: typer.Context,
        name: Annotated[str, typer.Argument(help=f"The {called}.")],
        build: OfBuild = None,
        as_json: AsJson = False,
    ) -> None:
        """Show one, with everything the book says of it."""
        from lugbook.errors import NothingCalled
        from lugbook.jobs.listing import keys_of, list_kind, noun_of

        book = the_book(ctx)
        listing = list_kind(book, kind, build=build, key=name)
        if not listing.rows:
            raise NothingCalled(called, name, noun_of(kind), keys_of(book, kind, build=build))
        listing = more(book, listing) if more else listing
        if as_json:
            show_json({kind: facts_listed(listing)})
            return
        for place in range(len(listing.rows)):
            if place:
                say("")
            show_facts(pairs_listed(listing, place))

    return show_one


def facts_listed(listing: Any) -> list[dict[str, Any]]:
    """The rows of a listing by heading, for JSON."""
    return [_facts(listing, place) for place in range(len(listing.rows))]


def pairs_listed(listing: Any, place: int) -> list[tuple[str, str]]:
    """One row of a listing as names and values, for reading."""
    pairs = [
        (_words(heading), cell or (NOBODY if heading == "operator" else ""))
        for heading, cell in zip(listing.headings, _shown(listing, place), strict=True)
    ]
    return [*pairs, ("entry", str(listing.identities[place]))]


def _facts(listing: Any, place: int) -> dict[str, Any]:
    cells = {h: cell or None for h, cell in zip(listing.headings, listing.rows[place], strict=True)}
    return {**cells, "entry": listing.identities[place]}


def _shown(listing: Any, row: int) -> list[str]:
    """One row as a person reads it: times on the clocks of its build, numbers to six digits."""
    from lugbook.exchange.layouts import LAYOUTS
    from lugbook.units.wording import word_time

    zone = listing.zones[row]
    named = {column.heading for column in LAYOUTS[listing.kind].columns if not column.is_number}
    shown = []
    for heading, cell in zip(listing.headings, listing.rows[row], strict=True):
        if cell and heading.endswith("_at"):
            shown.append(word_time(cell, zone))
        else:
            shown.append(cell if heading in named else _shortened(cell))
    return shown


def _shortened(cell: str) -> str:
    """A decimal number to six significant digits; anything else as it is."""
    from lugbook.units.wording import word_number

    whole, point, part = cell.partition(".")
    if not point or not f"{whole.removeprefix('-')}{part}".isdecimal():
        return cell
    short = word_number(float(cell), 6)
    return short.rstrip("0").rstrip(".") if "." in short else short


def _default(value: str | int | bool | None) -> str:
    return ("yes" if value else "no") if isinstance(value, bool) else str(value or "")


def _used(listing: Any) -> tuple[list[str], list[list[str]]]:
    """Headings and rows without the columns that say nothing: empty, or as they are by default, throughout."""
    from lugbook.exchange.layouts import LAYOUTS

    defaults = {column.heading: _default(column.default) for column in LAYOUTS[listing.kind].columns}
    silent = [{"", defaults.get(heading, "")} for heading in listing.headings]
    rows = [_shown(listing, place) for place in range(len(listing.rows))]
    kept = [place for place, quiet in enumerate(silent) if any(row[place] not in quiet for row in rows)]
    headings = ["entry", *(_words(listing.headings[place]) for place in kept)]
    rows = [
        [str(identity), *(row[place] for place in kept)]
        for identity, row in zip(listing.identities, rows, strict=True)
    ]
    return headings, rows


_UNITS = {"millivolt": "mV", "ampere": "A", "celsius": "°C", "newton": "N", "metre": "m", "millimetre": "mm",
          "microohm": "µΩ", "second": "s", "volt": "V", "percent": "%"}  # fmt: skip


def _words(heading: str) -> str:
    if heading.endswith("torque_newton_metre"):
        return heading.replace("_newton_metre", " N m").replace("_", " ")
    *stem, last = heading.split("_")
    return " ".join([*stem, _UNITS.get(last, last)])
