"""The nouns `cable` and `landing`."""

from typing import Annotated

import typer

from lugbook.cli.arguments import AsJson, Note, OfBuild, the_book
from lugbook.cli.changing import add_amending
from lugbook.cli.console import say, show_json, show_table
from lugbook.cli.entering import enter_one
from lugbook.cli.tables import add_listing, noun

cable = noun("Made-up cables; their ends get the tag and A or B.")
landing = noun("Posts, studs and bus bars that terminals are bolted to.")
COMMANDS = {"cable": cable, "landing": landing}

Tags = Annotated[
    list[str] | None, typer.Argument(help="The cables; all that have no terminal yet, if left out.")
]


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
    recipe: Annotated[str | None, typer.Option(help="How its ends are to be made.")] = None,
    route: Annotated[
        str | None, typer.Option(help='The way it takes, stud to stud: "1.60 m"; else its length.')
    ] = None,
    loop: Annotated[str | None, typer.Option(help='Service loop, to spare: "0.15 m".')] = None,
    bends: Annotated[str | None, typer.Option(help="Quarter turns that the route leaves out.")] = None,
    radius: Annotated[str | None, typer.Option(help='Of each bend: "100 mm".')] = None,
    trim: Annotated[str | None, typer.Option(help='Cut away at each end: "10 mm".')] = None,
    loom: Annotated[str | None, typer.Option(help='Loom over it: "1.2 m".')] = None,
    shield: Annotated[str | None, typer.Option(help='Heat shield over it: "0.4 m".')] = None,
    quoted: Annotated[str | None, typer.Option(help='Price quoted for it ready made: "48.00 EUR".')] = None,
    circuit: Annotated[str | None, typer.Option(help="The circuit it is a part of.")] = None,
    current: Annotated[str | None, typer.Option(help='Current the circuit carries: "150 A".')] = None,
    system: Annotated[str | None, typer.Option(help='Volts of the system: "12 V".')] = None,
    budget: Annotated[
        str | None, typer.Option(help='What the round trip may lose of them: "3 %" or "10 %".')
    ] = None,
    build: OfBuild = None,
    note: Note = None,
) -> None:
    """Add a cable with its two ends."""
    cells = {
        "build": build, "cable": tag, "conductor": conductor, "length_metre": length,
        "from_place": from_place, "to_place": to_place, "note": note, "recipe": recipe, "route_metre": route,
        "service_loop_metre": loop, "bends": bends, "bend_radius_millimetre": radius, "trim_millimetre": trim,
        "loom_metre": loom, "heat_shield_metre": shield, "quoted_price": quoted, "circuit": circuit,
        "circuit_ampere": current, "system_volt": system, "drop_budget_percent": budget,
    }  # fmt: skip
    enter_one(ctx, "cables", f"Cable {tag} with ends {tag}A and {tag}B", cells)


@cable.command("cut-list")
def cut_list(ctx: typer.Context, tags: Tags = None, build: OfBuild = None, as_json: AsJson = False) -> None:
    """Say how long to cut each cable and from which reel, with the least cable started."""
    from lugbook.cli.cuts import cables_table, facts_of_cuts, reels_table, sentences_of_cuts
    from lugbook.jobs.materials import plan_cut_list

    plan = plan_cut_list(the_book(ctx), tags or [], build=build)
    if as_json:
        show_json(facts_of_cuts(plan))
        return
    show_table(*cables_table(plan), right=(2,))
    say("")
    show_table(*reels_table(plan), right=(3,))
    say("")
    for sentence in sentences_of_cuts(plan):
        say(sentence)


@cable.command("costs")
def costs(ctx: typer.Context, tags: Tags = None, build: OfBuild = None, as_json: AsJson = False) -> None:
    """Say what cables take and cost, beside the price quoted for bought ones."""
    from lugbook.cli.cuts import facts_of_costs, materials_table, sentences_of_costs
    from lugbook.jobs.materials import plan_costs

    plan = plan_costs(the_book(ctx), tags or [], build=build)
    if as_json:
        show_json(facts_of_costs(plan))
        return
    show_table(*materials_table(plan), right=(1, 3, 4))
    say("")
    for sentence in sentences_of_costs(plan):
        say(sentence)


@landing.command("add")
def add_landing(
    ctx: typer.Context,
    tag: Annotated[str, typer.Argument(help="Your name for it.")],
    kind: Annotated[str, typer.Option(help="post, stud or bus bar.")],
    hardware: Annotated[str | None, typer.Option(help="Nut and washers.")] = None,
    torque: Annotated[str | None, typer.Option(help='As applied: "12 N m".')] = None,
    maker_torque: Annotated[
        str | None, typer.Option("--maker-torque", help='As the maker of the part states: "12 N m".')
    ] = None,
    build: OfBuild = None,
    note: Note = None,
) -> None:
    """Add a landing."""
    cells = {
        "build": build, "landing": tag, "kind": kind, "hardware": hardware,
        "torque_newton_metre": torque, "maker_torque_newton_metre": maker_torque, "note": note,
    }  # fmt: skip
    enter_one(ctx, "landings", f"Landing {tag}", cells)


add_listing(cable, "cables", "cable")
add_listing(landing, "landings", "landing")
add_amending(cable, "cables", "tag of the cable")
add_amending(landing, "landings", "landing")
