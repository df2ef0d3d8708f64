"""The nouns `cable` and `landing`."""

from typing import Annotated

import typer

from lugbook.cli.arguments import Note, OfBuild
from lugbook.cli.changing import add_amending
from lugbook.cli.entering import enter_one
from lugbook.cli.tables import add_listing, noun

cable = noun("Made-up cables; their ends get the tag and A or B.")
landing = noun("Posts, studs and bus bars that terminals are bolted to.")
COMMANDS = {"cable": cable, "landing": landing}


@cable.command("add")
def add_cable(
    ctx: typer.Context,
    tag: Annotated[str, typer.Argument(help="Its tag, like C12.")],
    conductor: Annotated[str, typer.Option(help="What it is made of.")],
    length: Annotated[str, typer.Option(help='Length, lug to lug: "1.80 m".')],
    from_place: Annotated[
        str | None, typer.Option("--from", help="Where end A sits: dry, engine, bilge, exposed.")
    ] = None,
    to_place: Annotated[str | None, typer.Option("--to", help="Where end B sits.")] = None,
    build: OfBuild = None,
    note: Note = None,
) -> None:
    """Add a cable with its two ends."""
    cells = {
        "build": build, "cable": tag, "conductor": conductor, "length_metre": length,
        "from_place": from_place, "to_place": to_place, "note": note,
    }  # fmt: skip
    enter_one(ctx, "cables", f"Cable {tag} with ends {tag}A and {tag}B", cells)


@landing.command("add")
def add_landing(
    ctx: typer.Context,
    tag: Annotated[str, typer.Argument(help="Your name for it.")],
    kind: Annotated[str, typer.Option(help="post, stud or bus bar.")],
    hardware: Annotated[str | None, typer.Option(help="Nut and washers.")] = None,
    torque: Annotated[str | None, typer.Option(help='As applied: "12 N m".')] = None,
    build: OfBuild = None,
    note: Note = None,
) -> None:
    """Add a landing."""
    cells = {
        "build": build, "landing": tag, "kind": kind, "hardware": hardware,
        "torque_newton_metre": torque, "note": note,
    }  # fmt: skip
    enter_one(ctx, "landings", f"Landing {tag}", cells)


add_listing(cable, "cables", "cable")
add_listing(landing, "landings", "landing")
add_amending(cable, "cables", "tag of the cable")
add_amending(landing, "landings", "landing")
