"""The noun `instrument`."""

from typing import Annotated

import typer

from lugbook.cli.arguments import AsJson, Note, the_book, today
from lugbook.cli.changing import add_amending
from lugbook.cli.console import say, show_json, show_table
from lugbook.cli.entering import enter_one
from lugbook.cli.tables import add_listing, noun

instrument = noun("Meters and their accuracy.")
COMMANDS = {"instrument": instrument}

Name = Annotated[str, typer.Argument(help="Your name for it.")]
Percent = Annotated[str, typer.Option(help='Percent of the reading, from its data sheet: "0.5 %".')]
Counts = Annotated[str, typer.Option(help="Plus so many counts of the last digit.")]
Resolution = Annotated[str, typer.Option(help='What one count is: "0.01 mV".')]
UNITS = {
    "millivoltmeter": "mV", "clamp": "A", "shunt": "A", "thermometer": "degC", "pull tester": "N",
    "torque wrench": "N m",
}  # fmt: skip


@instrument.command("add")
def add(
    ctx: typer.Context,
    name: Name,
    kind: Annotated[
        str, typer.Option(help="millivoltmeter, clamp, shunt, thermometer, pull tester, torque wrench.")
    ],
    percent: Percent,
    counts: Counts,
    resolution: Resolution,
    greatest: Annotated[str | None, typer.Option(help='The end of that range: "400 mV".')] = None,
    least: Annotated[str | None, typer.Option(help='Below this it shows nothing to rely on: "2 A".')] = None,
    zero_offset: Annotated[
        str | None, typer.Option(help='What it may show of nothing after it was zeroed: "0.1 A".')
    ] = None,
    calibrated: Annotated[str | None, typer.Option(help="Day of its last calibration.")] = None,
    due: Annotated[str | None, typer.Option(help="Day the next one is due.")] = None,
    note: Note = None,
) -> None:
    """Add an instrument; the same name again with another --calibrated adds a calibration."""
    cells = {
        "instrument": name, "kind": kind, "percent_of_reading": percent, "counts": counts,
        "resolution": resolution, "unit": UNITS.get(kind, ""), "calibrated_on": calibrated,
        "calibration_due": due, "least": least, "greatest": greatest, "zero_offset": zero_offset, "note": note,
    }  # fmt: skip
    enter_one(ctx, "instruments", f"Instrument {name}", cells)


@instrument.command("range")
def add_range(
    ctx: typer.Context,
    name: Annotated[str, typer.Argument(help="The instrument.")],
    greatest: Annotated[str, typer.Option(help='The end of the range: "4 V".')],
    percent: Percent,
    counts: Counts,
    resolution: Resolution,
) -> None:
    """Add a further range of an instrument; of each reading the narrowest that holds it counts."""
    from lugbook.jobs.measuring import unit_of_instrument

    cells = {
        "instrument": name, "greatest": greatest, "percent_of_reading": percent, "counts": counts,
        "resolution": resolution, "unit": unit_of_instrument(the_book(ctx), name),
    }  # fmt: skip
    enter_one(ctx, "ranges", f"Range to {greatest} of {name}", cells)


@instrument.command("calibrations")
def calibrations(ctx: typer.Context, as_json: AsJson = False) -> None:
    """Show which calibrations are in date today, and how many readings were taken past their day."""
    from lugbook.jobs.measuring import view_calibrations

    views = view_calibrations(the_book(ctx), today().isoformat())
    if as_json:
        show_json({"calibrations": [view.__dict__ for view in views]})
    elif not views:
        say("No instruments in this book yet.")
    else:
        headings = ["instrument", "kind", "calibrated", "due", "today", "readings", "of them past its day"]
        rows = [
            [
                v.instrument,
                v.kind,
                v.calibrated_on or "",
                v.due_on or "",
                v.state,
                str(v.readings),
                str(v.lapsed_readings),
            ]
            for v in views
        ]
        show_table(headings, rows, right=(5, 6))


add_listing(instrument, "instruments", "instrument")
add_amending(instrument, "instruments", "instrument")
