"""The noun `terminal`."""

from pathlib import Path
from typing import Annotated, Any

import typer

from lugbook.cli.arguments import AsJson, By, Note, OfBuild, now, the_book, today
from lugbook.cli.changing import add_amending
from lugbook.cli.console import say, show_facts, show_json, show_table, warn
from lugbook.cli.tables import add_listing, facts_listed, noun, pairs_listed

terminal = noun("Lugs crimped on cable ends.")
COMMANDS = {"terminal": terminal}


@terminal.command("make")
def make(
    ctx: typer.Context,
    ends: Annotated[list[str], typer.Argument(help="The cable ends: C12A C12B.")],
    recipe: Annotated[str | None, typer.Option(help="By which recipe; as the last one.")] = None,
    made: Annotated[str | None, typer.Option("--when", help="When; now, if left out.")] = None,
    landing: Annotated[str | None, typer.Option(help="Where it is bolted.")] = None,
    die: Annotated[
        str | None, typer.Option(help="The die setting, where it was not that of the recipe.")
    ] = None,
    place: Annotated[
        str | None, typer.Option(help="What it has to stand: dry, engine, bilge, exposed.")
    ] = None,
    remake: Annotated[
        bool,
        typer.Option("--remake", help="The end had a terminal before: a new series starts on its crimp."),
    ] = False,
    by: By = None,
    build: OfBuild = None,
    note: Note = None,
) -> None:
    """Enter a terminal made on each end, as the last one where nothing else is said, and watch its crimp."""
    from lugbook.jobs.crimping import make_terminals

    cells = {
        "recipe": recipe, "made_at": made, "landing": landing, "operator": by, "build": build, "note": note,
        "die": die,
    }  # fmt: skip
    given = {k: v for k, v in cells.items() if v is not None}
    done = make_terminals(the_book(ctx), ends, given, now(), place=place, remake=remake)
    say(f"{len(done.ends)} terminal{'' if len(done.ends) == 1 else 's'} entered by recipe {done.recipe}, "
        f"made by {done.by or 'nobody named'}: {', '.join(done.ends) or 'none new'}.")  # fmt: skip
    if done.spans:
        say(f"Watched from now on: {', '.join(done.spans)}.")
    if done.refused:
        warn(
            f"The recipe {done.refused} is refused by its samples; `lugbook recipe show {done.refused}` says why."
        )
    if done.placeless:
        ends_text = ", ".join(done.placeless)
        warn(f"No span watches {ends_text}, since the book does not know its place; "
             "add one with `lugbook span add` or say --place.")  # fmt: skip


@terminal.command("photo")
def photo(
    ctx: typer.Context,
    end: Annotated[str, typer.Argument(help="The cable end.")],
    file: Annotated[Path, typer.Argument(help="The picture: JPEG, PNG or WebP.")],
    build: OfBuild = None,
    note: Note = None,
) -> None:
    """Keep a photo of the terminal on an end, and note its digest, so that a changed file can be told."""
    from lugbook.jobs.crimping import attach_photo

    digest = attach_photo(the_book(ctx), end, file, now(), build=build, note=note)
    say(f"{end}: {file.name} noted, SHA-256 {digest}; the original is kept beside the book.")


@terminal.command("show")
def show(
    ctx: typer.Context,
    end: Annotated[str, typer.Argument(help="The cable end.")],
    build: OfBuild = None,
    as_json: AsJson = False,
) -> None:
    """Show the terminal on an end: how it was made, and each criterion it was held against."""
    from lugbook.cli.acceptances import answers_table, facts_of_page, pairs_of_page
    from lugbook.jobs.accepting import terminal_page

    page = terminal_page(the_book(ctx), end, today(), build=build)
    if as_json:
        show_json({"terminals": facts_listed(page.listing), **facts_of_page(page)})
        return
    for place in range(len(page.listing.rows)):
        show_facts(pairs_listed(page.listing, place))
        say("")
    show_facts(pairs_of_page(page))
    say("")
    show_table(*answers_table(page), wrap=(1,))


def _with_joinings(book: Any, listing: Any) -> Any:  # Any: jobs load only when a command runs
    from lugbook.jobs.joinings import with_joinings

    return with_joinings(book, listing)


add_listing(terminal, "terminals", "terminal on end", show=False, more=_with_joinings)
add_amending(terminal, "terminals", "cable end")
