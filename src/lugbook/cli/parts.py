"""The nouns of what terminals are made of and by whom: conductor, lug, tool, operator."""

from typing import Annotated

import typer

from lugbook.cli.arguments import Note
from lugbook.cli.changing import add_amending
from lugbook.cli.entering import enter_one
from lugbook.cli.tables import add_listing, noun

conductor = noun("What cables are made of.")
lug = noun("The parts crimped on.")
tool = noun("What crimps are made with.")
operator = noun("Who makes and measures.")
COMMANDS = {
    "conductor": conductor,
    "lug": lug,
    "tool": tool,
    "operator": operator,
}

Name = Annotated[str, typer.Argument(help="Your name for it.")]


@conductor.command("add")
def add_conductor(
    ctx: typer.Context,
    name: Name,
    size: Annotated[str, typer.Option(help='Its size: "2/0 AWG", "SAE 2/0", "70 mm2".')],
    tinned: Annotated[
        bool | None, typer.Option("--tinned/--bare", help="Tinned strands or bare copper.")
    ] = None,
    strands: Annotated[str | None, typer.Option(help="How it is stranded.")] = None,
    strand_class: Annotated[
        str | None, typer.Option("--class", help="How fine its strands are, like class 5.")
    ] = None,
    area: Annotated[
        str | None, typer.Option(help='Metal area, "67.4 mm2"; else nominal for the size.')
    ] = None,
    insulation: Annotated[str | None, typer.Option(help='Temperature rating, "105 degC".')] = None,
    note: Note = None,
) -> None:
    """Add a conductor."""
    cells = {
        "conductor": name, "size": size, "strands": strands, "area_mm2": area,
        "insulation_celsius": insulation, "strand_class": strand_class, "note": note,
        "tinned": None if tinned is None else ("yes" if tinned else "no"),
    }  # fmt: skip
    enter_one(ctx, "conductors", f"Conductor {name}", cells)


@lug.command("add")
def add_lug(
    ctx: typer.Context,
    name: Name,
    barrel: Annotated[str | None, typer.Option(help="The conductor size its barrel is made for.")] = None,
    stud: Annotated[str | None, typer.Option(help='The stud its hole is made for, "10 mm".')] = None,
    material: Annotated[str | None, typer.Option(help="Like copper.")] = None,
    plating: Annotated[str | None, typer.Option(help="Like tin.")] = None,
    wall: Annotated[str | None, typer.Option(help='Wall of its barrel, "1.8 mm".')] = None,
    note: Note = None,
) -> None:
    """Add a lug."""
    cells = {
        "lug": name, "barrel_size": barrel, "stud_millimetre": stud, "material": material,
        "plating": plating, "wall_millimetre": wall, "note": note,
    }  # fmt: skip
    enter_one(ctx, "lugs", f"Lug {name}", cells)


@tool.command("add")
def add_tool(
    ctx: typer.Context,
    name: Name,
    kind: Annotated[str | None, typer.Option(help="Like hydraulic or hand.")] = None,
    note: Note = None,
) -> None:
    """Add a crimping tool."""
    enter_one(ctx, "tools", f"Tool {name}", {"tool": name, "kind": kind, "note": note})


@operator.command("add")
def add_operator(ctx: typer.Context, name: Name, note: Note = None) -> None:
    """Add an operator."""
    enter_one(ctx, "operators", f"Operator {name}", {"operator": name, "note": note})


for _kind, _noun, _called in (
    ("conductors", conductor, "conductor"),
    ("lugs", lug, "lug"),
    ("tools", tool, "tool"),
    ("operators", operator, "operator"),
):
    add_listing(_noun, _kind, _called)
    add_amending(_noun, _kind, _called)
