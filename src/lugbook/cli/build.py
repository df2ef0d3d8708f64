"""The noun `build`."""

from typing import Annotated

import typer

from lugbook.cli.changing import add_amending
from lugbook.cli.entering import enter_one
from lugbook.cli.tables import add_listing, noun

build = noun("Vessels, vehicles and systems.")
COMMANDS = {"build": build}


@build.command("add")
def add(
    ctx: typer.Context,
    name: Annotated[str, typer.Argument(help="Its name.")],
    description: Annotated[str | None, typer.Option(help="What it is, in a sentence.")] = None,
    zone: Annotated[str | None, typer.Option(help="Time zone of its times, like Europe/Lisbon.")] = None,
) -> None:
    """Add a build."""
    enter_one(ctx, "builds", f"Build {name}", {"build": name, "description": description, "zone": zone})


add_listing(build, "builds", "build")
add_amending(build, "builds", "name of the build")
