"""The noun `pull`."""

from typing import Annotated

import typer

from lugbook.cli.arguments import By, Note, OfBuild, now, the_book
from lugbook.cli.changing import add_amending, add_withdrawing
from lugbook.cli.console import say
from lugbook.cli.tables import add_listing, noun

pull = noun("Samples pulled to failure, and loads held on made terminals.")
COMMANDS = {"pull": pull}


@pull.command("record")
def record(
    ctx: typer.Context,
    recipe: Annotated[str, typer.Argument(help="How the crimp was made.")],
    force: Annotated[str, typer.Argument(help='Greatest force with its unit: "1450 lbf".')],
    failure: Annotated[
        str | None,
        typer.Option(help="conductor broke, pulled out, lug cracked; not to failure, if it was held only."),
    ] = None,
    sample: Annotated[str | None, typer.Option(help="Your number for it; the next one, if left out.")] = None,
    when: Annotated[str | None, typer.Option("--when", help="When; now, if left out.")] = None,
    end: Annotated[str | None, typer.Option(help="For a proof pull: the cable end it was held on.")] = None,
    held: Annotated[str | None, typer.Option(help='How long it was held: "60 s".')] = None,
    moved: Annotated[
        bool | None, typer.Option("--moved/--still", help="Of a proof pull: the lug moved, or did not.")
    ] = None,
    confirm: Annotated[bool, typer.Option("--confirm", help="It looks wrong and is right.")] = False,
    tester: Annotated[str | None, typer.Option(help="The pull tester.")] = None,
    by: By = None,
    build: OfBuild = None,
    note: Note = None,
) -> None:
    """Record a sample pull, or a proof pull of the terminal on an end."""
    from lugbook.jobs.sampling import record_pull

    cells = {
        "recipe": recipe, "pull_newton": force, "failure": failure, "sample": sample, "pulled_at": when,
        "cable_end": end, "hold_second": held, "instrument": tester, "operator": by, "build": build,
        "note": note, "moved": None if moved is None else ("yes" if moved else "no"),
        "confirmed": "yes" if confirm else None,
    }  # fmt: skip
    new, whole = record_pull(the_book(ctx), {k: v for k, v in cells.items() if v is not None}, now())
    what = f"{whole['kind']} pull {whole['sample']} of {recipe}"
    say(f"{what}: {force}, {whole['failure']}, entered." if new else f"{what}: the book already holds it.")


add_listing(pull, "pulls", "pull of recipe")
add_amending(pull, "pulls", "recipe")
add_withdrawing(pull, "pulls", "recipe")
