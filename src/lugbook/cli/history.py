"""The command `history`."""

from typing import TYPE_CHECKING, Annotated, Any

import typer

from lugbook.cli.arguments import AsJson, OfBuild, day_of_text, the_book, today
from lugbook.cli.console import say, show_facts, show_json, show_table
from lugbook.cli.tables import noun
from lugbook.cli.verdicts import facts_of, pairs_of, word_reading

if TYPE_CHECKING:
    from lugbook.jobs.histories import Event

history = noun("All that ever happened to one span, in one view.")
COMMANDS = {"history": history}


@history.command()
def show(
    ctx: typer.Context,
    tag: Annotated[str, typer.Argument(help="The span: C12A/crimp.")],
    on: Annotated[str | None, typer.Option("--on", help="Until this day; today, if left out.")] = None,
    build: OfBuild = None,
    as_json: AsJson = False,
) -> None:
    """Terminals made on its end, readings by series, skips, services, corrections, and the verdict."""
    from lugbook.jobs.histories import tell_history

    told = tell_history(the_book(ctx), day_of_text(on, today()), tag, build=build)
    view = told.view
    if as_json:
        facts = {**facts_of(view.build, view.verdict), "joining": view.joining or None}
        show_json({**facts, "events": [_facts(e, view.zone) for e in told.events]})
        return
    joined = [("joined", f"{view.joining}, not crimped")] if view.joining else []
    show_facts([*pairs_of(view.build, view.verdict), *joined])
    say("")
    rows = [_row(event, view.zone) for event in told.events]
    if rows:
        show_table(("when", "what", "series", "at 20 °C", "", "by", "entry"), rows, right=(2, 3, 6))
    else:
        say("Nothing has happened to it yet.")


def _facts(event: "Event", zone: str) -> dict[str, Any]:
    reading = None if event.reading is None else word_reading(event.reading, zone)[0]
    return {
        "at": event.at or None, "what": event.what, "entry": event.entry, "says": event.says or None,
        "by": event.by or None, "series": None if event.reading is None else event.reading.series,
        "reading": reading,
    }  # fmt: skip


def _row(event: "Event", zone: str) -> list[str]:
    from lugbook.units.wording import word_time

    when = word_time(event.at, zone) if event.at else ""
    if event.reading is None:
        return [when, event.what, "", "", event.says, event.by, str(event.entry)]
    reading = event.reading
    cells = word_reading(reading, zone)[1]
    warm = "" if reading.joint_celsius is None else f", {reading.joint_celsius:g} °C"
    seen = f"{reading.drop_millivolt:g} mV at {reading.current_ampere:g} A{warm}, round {reading.round}"
    says = "; ".join(filter(None, (seen, cells[-1], event.says)))
    return [when, "reading", str(reading.series), cells[-2], says, event.by, str(event.entry)]
