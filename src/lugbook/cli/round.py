"""The noun `round`."""

from pathlib import Path
from typing import Annotated, Literal

import typer

from lugbook.cli.arguments import AsJson, By, Note, OfBuild, day_of_text, now, the_book, today
from lugbook.cli.console import ask, say, show_facts, show_json, show_table, warn
from lugbook.cli.rounds_told import (
    facts_of,
    facts_of_report,
    facts_of_sheet,
    pairs_of_round,
    row_of,
    tell_report,
    tell_sheet,
)
from lugbook.cli.tables import noun

outing = noun("The readings of one outing: open, sheet, enter or import, close.")
COMMANDS = {"round": outing}

Name = Annotated[str | None, typer.Argument(help="The round; the one that is open, if left out.")]


@outing.command("open")
def open_one(
    ctx: typer.Context,
    name: Annotated[str | None, typer.Argument(help="What to call it; its day, if left out.")] = None,
    build: OfBuild = None,
    voltmeter: Annotated[str | None, typer.Option(help="Meter of the drop; as in the last round.")] = None,
    ammeter: Annotated[str | None, typer.Option(help="Meter of the current; as in the last round.")] = None,
    thermometer: Annotated[
        str | None, typer.Option(help="What temperatures are read with; as in the last round.")
    ] = None,
    at: Annotated[
        str | None, typer.Option("--at", help='The current, where the load is steady: "100 A".')
    ] = None,
    drop_unit: Annotated[str | None, typer.Option(help="Of a bare drop: mV, uV or V.")] = None,
    current_unit: Annotated[str | None, typer.Option(help="Of a bare current: A, mA or kA.")] = None,
    temperature_unit: Annotated[
        str | None, typer.Option(help="Of a bare temperature: degC, degF or K.")
    ] = None,
    weather: Annotated[str | None, typer.Option(help='In your words: "8 °C, damp".')] = None,
    when: Annotated[str | None, typer.Option("--when", help="When; now, if left out.")] = None,
    by: By = None,
    note: Note = None,
) -> None:
    """Open a round: everything read until it is closed belongs to it."""
    from lugbook.jobs.round_opening import open_round

    cells = {
        "round": name, "build": build, "voltage_instrument": voltmeter, "current_instrument": ammeter,
        "thermometer": thermometer, "current_ampere": at, "drop_unit": drop_unit, "current_unit": current_unit,
        "temperature_unit": temperature_unit, "weather": weather, "opened_at": when, "operator": by, "note": note,
    }  # fmt: skip
    opened, words = open_round(the_book(ctx), {k: v for k, v in cells.items() if v is not None}, now())
    say(f"Round {opened.name} of {opened.build} is open, read with {opened.voltage_instrument} and "
        f"{opened.current_instrument}.")  # fmt: skip
    for sentence in words:
        warn(sentence)


@outing.command("list")
def list_all(ctx: typer.Context, build: OfBuild = None, as_json: AsJson = False) -> None:
    """List the rounds, the oldest first."""
    from lugbook.jobs.rounds import list_rounds, words_of_open

    rounds = list_rounds(the_book(ctx), build=build)
    if as_json:
        show_json({"rounds": [{**facts_of(facts), "readings": count} for facts, count, _ in rounds]})
        return
    if not rounds:
        of_build = f" of build {build}" if build else ""
        say(f"No rounds{of_build} in this book yet; open one with `lugbook round open`.")
        return
    show_table(
        ("round", "build", "", "from", "readings", "meters", "by"),
        [row_of(*one) for one in rounds],
        right=(4,),
    )
    for facts, _, _ in rounds:
        for sentence in words_of_open(facts, now()):
            warn(sentence)


@outing.command("show")
def show(ctx: typer.Context, name: Name = None, build: OfBuild = None, as_json: AsJson = False) -> None:
    """Show a round: how far it is, what moved, what to do."""
    from lugbook.jobs.round_closing import tell_round

    report = tell_round(the_book(ctx), name, now(), today(), build=build)
    if as_json:
        show_json(facts_of_report(report))
        return
    show_facts(pairs_of_round(report.facts))
    tell_report(report)


@outing.command("sheet")
def sheet(
    ctx: typer.Context,
    out: Annotated[Path, typer.Argument(help="The sheet to write: .pdf for paper, .csv to fill in.")],
    name: Annotated[str | None, typer.Option("--round", help="The round; the one that is open.")] = None,
    paper: Annotated[str, typer.Option(help="a4 or letter.")] = "a4",
    build: OfBuild = None,
) -> None:
    """Write the sheet of an open round: spans in walking order, with what each last read and should read."""
    from lugbook.jobs.round_sheets import write_sheet

    facts, count = write_sheet(the_book(ctx), name, out, now(), build=build, paper=paper)
    say(f"{out}: {count} stops of round {facts.name}, in walking order.")


@outing.command("enter")
def enter(ctx: typer.Context, name: Name = None, build: OfBuild = None) -> None:
    """Enter the readings of a round, span by span; ? shows what can be typed."""
    from lugbook.jobs.round_entering import RoundEntry

    entry = RoundEntry(the_book(ctx), now(), name=name, build=build)
    for sentence in entry.opening_words:
        warn(sentence)
    while not entry.stopped:
        say(entry.ask())
        line = ask("> ")
        if line is None:
            say("")
            break
        for sentence in entry.take(line, now()):
            say(sentence)


@outing.command("import")
def bring_in(
    ctx: typer.Context,
    file: Annotated[Path, typer.Argument(help="The filled sheet as CSV, or a logger's file.")],
    name: Annotated[str | None, typer.Option("--round", help="The round; the one that is open.")] = None,
    when: Annotated[
        str | None,
        typer.Option("--when", help="The day of readings without times; the round's, if left out."),
    ] = None,
    decimal: Annotated[
        Literal["comma", "point"] | None, typer.Option(help="comma or point, where the numbers do not say.")
    ] = None,
    skip_unknown: Annotated[
        bool, typer.Option("--skip-unknown", help="Leave out columns of a logger's own.")
    ] = False,
    build: OfBuild = None,
    as_json: AsJson = False,
) -> None:
    """Take a filled sheet into an open round: by the column span, or without one in the order of the stops."""
    from lugbook.jobs.round_importing import import_sheet

    taken = import_sheet(
        the_book(ctx),
        file,
        now(),
        name=name,
        build=build,
        when=when,
        decimal=decimal,
        skip_unknown=skip_unknown,
    )
    if as_json:
        show_json(facts_of_sheet(taken))
    else:
        tell_sheet(file.name, taken)


@outing.command("close")
def close(
    ctx: typer.Context,
    name: Name = None,
    build: OfBuild = None,
    by: By = None,
    note: Note = None,
    as_json: AsJson = False,
) -> None:
    """End a round: what is missing, what moved, whether the meters drifted, what to do."""
    from lugbook.jobs.round_closing import close_round

    report = close_round(the_book(ctx), name, now(), today(), build=build, by=by, note=note)
    if as_json:
        show_json(facts_of_report(report))
        return
    say(f"Round {report.facts.name} of {report.facts.build} is closed.")
    tell_report(report)


@outing.command("plot")
def plot(
    ctx: typer.Context,
    out: Annotated[Path, typer.Option("--out", help="The picture: .svg, .png or .pdf.")],
    on: Annotated[
        str | None, typer.Option("--on", help="What was known on this day; today, if left out.")
    ] = None,
    build: OfBuild = None,
) -> None:
    """Draw how far every span read from its level in each round: a meter that drifted moves them all."""
    from lugbook.jobs.picturing import plot_rounds

    name = plot_rounds(the_book(ctx), day_of_text(on, today()), out, build=build)
    say(f"The rounds of {name}: drawn in {out}.")
