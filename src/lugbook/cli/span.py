"""The noun `span`."""

from pathlib import Path
from typing import Annotated

import typer

from lugbook.cli.arguments import AsJson, Note, OfBuild, day_of_text, the_book, today
from lugbook.cli.changing import add_amending
from lugbook.cli.console import say, show_facts, show_json, show_table
from lugbook.cli.entering import enter_one
from lugbook.cli.tables import add_listing, noun
from lugbook.cli.verdicts import facts_of, pairs_of, word_reading

span = noun("Pairs of probe places watched over the years.")
COMMANDS = {"span": span}

Tag = Annotated[str, typer.Argument(help="Its tag: C12A/crimp.")]
OnDay = Annotated[str | None, typer.Option("--on", help="What was known on this day; today, if left out.")]


@span.command("add")
def add(
    ctx: typer.Context,
    tag: Tag,
    kind: Annotated[
        str, typer.Option(help="crimp, landing, cable, check standard, or joint for anything else, like a fuse.")
    ],
    place: Annotated[str, typer.Option(help="What it has to stand: dry, engine, bilge, exposed.")],
    limit: Annotated[str | None, typer.Option(help='Your own limit at 20 degC: "60 microohm".')] = None,
    end: Annotated[str | None, typer.Option(help="The cable end it is on.")] = None,
    landing: Annotated[str | None, typer.Option(help="The landing it is on.")] = None,
    duty: Annotated[
        str | None, typer.Option(help="What fails with it: starting, steering, bilge pump, grounding.")
    ] = None,
    probes: Annotated[
        str | None,
        typer.Option(help='Bare cable between the probes, "25 mm"; for a crimp, from the barrel on.'),
    ] = None,
    placement: Annotated[
        str | None, typer.Option(help='How closely the probes find their places, "1 mm", plus or minus.')
    ] = None,
    build: OfBuild = None,
    note: Note = None,
) -> None:
    """Add a span to watch."""
    cells = {
        "build": build, "span": tag, "kind": kind, "place": place, "limit_microohm": limit, "cable_end": end,
        "landing": landing, "duty": duty, "probe_millimetre": probes, "placement_millimetre": placement, "note": note,
    }  # fmt: skip
    enter_one(ctx, "spans", f"Span {tag}", cells)


@span.command("show")
def show(
    ctx: typer.Context, tag: Tag, on: OnDay = None, build: OfBuild = None, as_json: AsJson = False
) -> None:
    """Show a span with its verdict, the reasons, and every reading."""
    from lugbook.assessment.lug import word_lug_share
    from lugbook.jobs.assessing import view_span

    view = view_span(the_book(ctx), day_of_text(on, today()), tag, build=build)
    readings = [word_reading(reading, view.zone) for reading in view.readings]
    if as_json:
        lug = None if view.lug_share is None else view.lug_share.__dict__
        facts = {**facts_of(view.build, view.verdict), "joining": view.joining or None, "lug": lug}
        show_json({**facts, "readings": [facts for facts, _ in readings]})
        return
    joined = [("joined", f"{view.joining}, not crimped")] if view.joining else []
    show_facts([*pairs_of(view.build, view.verdict), *joined])
    if view.has_cable and view.readings and view.verdict.kind == "crimp":
        say(word_lug_share(view.lug_share, view.verdict.kind))
    if readings:
        say("")
        headings = ["entry", "round", "taken", "drop mV", "current A", "joint °C", "at 20 °C", "stage"]
        show_table(headings, [row for _, row in readings], right=(0, 3, 4, 5, 6))


@span.command("plot")
def plot(
    ctx: typer.Context,
    tag: Tag,
    out: Annotated[Path, typer.Option("--out", help="The picture: .svg, .png or .pdf.")],
    on: OnDay = None,
    build: OfBuild = None,
) -> None:
    """Draw a span's readings, services, trend and limit."""
    from lugbook.jobs.picturing import plot_span

    plot_span(the_book(ctx), day_of_text(on, today()), tag, out, build=build)
    say(f"{tag}: drawn in {out}.")


add_listing(span, "spans", "span", show=False)
add_amending(span, "spans", "tag of the span")
