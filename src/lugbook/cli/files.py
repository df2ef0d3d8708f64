"""The commands `import` and `export`."""

from pathlib import Path
from typing import Annotated, Literal

import typer

from lugbook.cli.arguments import AsJson, OfBuild, now, the_book
from lugbook.cli.console import progress_bar, say, show_bytes, show_json, show_table, warn
from lugbook.cli.tables import noun

bring_in = noun("Read a table of one kind into the book.")
give_out = noun("Write a table of one kind out of the book.")
COMMANDS = {"import": bring_in, "export": give_out}

Kind = Annotated[str, typer.Argument(help="builds, conductors, lugs, tools, operators, instruments, ranges, recipes, cables, landings, terminals, spans, readings, pulls, services, samples, answers, reels, prices.")]  # noqa: E501  # fmt: skip


@bring_in.command()
def read(
    ctx: typer.Context,
    kind: Kind,
    file: Annotated[
        Path | None, typer.Argument(help="The table, as a spreadsheet or a meter writes it.")
    ] = None,
    decimal: Annotated[
        Literal["comma", "point"] | None, typer.Option(help="comma or point, where the numbers do not say.")
    ] = None,
    set_aside: Annotated[
        Path | None, typer.Option("--set-aside", help="Take the sound lines, keep the refused ones here.")
    ] = None,
    skip_unknown: Annotated[
        bool, typer.Option("--skip-unknown", help="Leave out columns of a meter's own.")
    ] = False,
    headings: Annotated[
        bool, typer.Option("--headings", help="Show the headings of this kind and stop.")
    ] = False,
    as_json: AsJson = False,
) -> None:
    """Import a file: all of it or nothing; importing it again changes nothing."""
    from lugbook.jobs.exchanging import bring_in_file, headings_of, word_count

    if headings or file is None:
        rows = headings_of(kind)
        show_table(("heading", "", "what it is"), rows)
        return
    with progress_bar(file.name) as progress:
        recorded = bring_in_file(
            the_book(ctx),
            kind,
            file,
            now(),
            decimal=decimal,
            skip_unknown=skip_unknown,
            aside=set_aside,
            progress=progress,
        )
    if as_json:
        show_json(
            {
                "kind": kind,
                "new": recorded.new,
                "present": recorded.present,
                "refused": list(recorded.refused),
                "said": list(recorded.said),
            }
        )
        return
    already = f", {recorded.present} the book already had" if recorded.present else ""
    say(f"{file.name}: {word_count(recorded.new, kind)} entered{already}.")
    for sentence in recorded.said:
        say(sentence)
    for sentence in recorded.refused:
        warn(f"  refused: {sentence}")
    if recorded.aside:
        warn(f"  the refused lines are in {set_aside}; correct them and import that file.")


@give_out.command()
def write(
    ctx: typer.Context,
    kind: Kind,
    file: Annotated[
        Path | None, typer.Argument(help="The file to write; standard output, if left out.")
    ] = None,
    build: OfBuild = None,
    as_json: AsJson = False,
) -> None:
    """Export everything of one kind that is in force; `import` reads it back."""
    from lugbook.jobs.exchanging import give_out_table, word_count

    content, count, facts = give_out_table(the_book(ctx), kind, file, build=build)
    if as_json:
        show_json({kind: facts})
    elif file is None:
        show_bytes(content)
    else:
        say(f"{file}: {word_count(count, kind)}.")
