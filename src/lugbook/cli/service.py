"""The noun `service`."""

from typing import Annotated

import typer

from lugbook.cli.arguments import By, Note, OfBuild, now, the_book
from lugbook.cli.changing import add_amending, add_withdrawing
from lugbook.cli.console import say
from lugbook.cli.tables import add_listing, noun

service = noun("Work on a span; it starts a new series of readings.")
COMMANDS = {"service": service}


@service.command("record")
def record(
    ctx: typer.Context,
    span: Annotated[str, typer.Argument(help="The span worked on.")],
    done: Annotated[str, typer.Option(help="cleaned, re-torqued, re-sealed, remade or replaced.")],
    found: Annotated[str | None, typer.Option(help='Drop as found: "1.90 mV".')] = None,
    left: Annotated[str | None, typer.Option(help='Drop as left: "0.80 mV".')] = None,
    at: Annotated[str | None, typer.Option("--at", help='Current of both: "100 A".')] = None,
    temp: Annotated[str | None, typer.Option("--temp", help='Temperature of the joint: "24 degC".')] = None,
    when: Annotated[str | None, typer.Option("--when", help="When; now, if left out.")] = None,
    round_name: Annotated[
        str | None, typer.Option("--round", help="The round the readings belong to.")
    ] = None,
    voltmeter: Annotated[str | None, typer.Option(help="Meter of the drop; as in the last reading.")] = None,
    ammeter: Annotated[str | None, typer.Option(help="Meter of the current; as in the last reading.")] = None,
    recipe: Annotated[
        str | None, typer.Option(help="By which the terminal was made anew; as the one before, if remade.")
    ] = None,
    torque: Annotated[str | None, typer.Option(help='As applied: "12 N m".')] = None,
    confirm: Annotated[
        bool, typer.Option("--confirm", help="The readings look wrong and are right.")
    ] = False,
    by: By = None,
    build: OfBuild = None,
    note: Note = None,
) -> None:
    """Record work on a span, measured as found and as left."""
    from lugbook.errors import SayMore
    from lugbook.jobs.servicing import record_service

    if (found or left) and at is None:
        raise SayMore("--at", "the current at which it was read")
    cells = {
        "span": span, "action": done, "serviced_at": when, "torque_newton_metre": torque, "operator": by,
        "build": build, "note": note,
    }  # fmt: skip
    reading = {
        "current_ampere": at, "joint_celsius": temp, "round": round_name, "voltage_instrument": voltmeter,
        "current_instrument": ammeter, "confirmed": "yes" if confirm else None,
    }  # fmt: skip
    entered = record_service(
        the_book(ctx),
        {k: v for k, v in cells.items() if v is not None},
        now(),
        found=found,
        left=left,
        reading={k: v for k, v in reading.items() if v is not None},
        recipe=recipe,
    )
    new = entered.readings
    say(
        f"{span}: {entered.action}, entered with {new} reading{'' if new == 1 else 's'}; a new series starts here."
    )
    if entered.end is not None:
        say(f"{entered.end} has a new terminal by recipe {entered.recipe}.")
    elif entered.action == "remade":
        say("No terminal was entered, since no recipe is known; `lugbook terminal make --remake` enters one.")


add_listing(service, "services", "service of span")
add_amending(service, "services", "span")
add_withdrawing(service, "services", "span")
