"""The noun `reading`."""

from typing import Annotated

import typer

from lugbook.cli.arguments import AsJson, By, Note, OfBuild, Why, now, the_book
from lugbook.cli.budgets import HEADINGS, facts_of_budget, rows_of_budget, sentences_of_budget
from lugbook.cli.console import say, show_facts, show_json, show_table
from lugbook.cli.tables import NOBODY, add_listing, noun

reading = noun("Millivolt drops at a known current.")
COMMANDS = {"reading": reading}

Drop = Annotated[str, typer.Argument(help='The drop with its unit: "0.84 mV".')]
Current = Annotated[str | None, typer.Option("--at", help='The current: "100 A".')]
Temperature = Annotated[str | None, typer.Option("--temp", help='Temperature of the joint: "31 degC".')]
Voltmeter = Annotated[str | None, typer.Option(help="Meter of the drop; as in the last reading.")]
Ammeter = Annotated[str | None, typer.Option(help="Meter of the current; as in the last reading.")]
When = Annotated[str | None, typer.Option("--when", help='When: "2031-04-18 14:32"; now, if left out.')]
RoundName = Annotated[str | None, typer.Option("--round", help="The round; the open one, or a recent one not closed.")]
Entry = Annotated[int, typer.Argument(help="Its entry number, from `reading list`.")]


@reading.command("add", context_settings={"ignore_unknown_options": True})  # a drop may begin with a minus
def add(
    ctx: typer.Context,
    span: Annotated[str, typer.Argument(help="The span: C12A/crimp.")],
    drop: Drop,
    at: Annotated[str, typer.Option("--at", help='The current: "100 A".')],
    temp: Temperature = None,
    when: When = None,
    round_name: RoundName = None,
    voltmeter: Voltmeter = None,
    ammeter: Ammeter = None,
    thermometer: Annotated[str | None, typer.Option(help="What the temperature was read with.")] = None,
    polarity: Annotated[str | None, typer.Option(help="forward or reverse.")] = None,
    zero: Annotated[str | None, typer.Option(help='Drop at no current: "0.01 mV".')] = None,
    repeat: Annotated[int | None, typer.Option(help="2, 3 ... for readings taken together.")] = None,
    confirm: Annotated[bool, typer.Option("--confirm", help="It looks wrong and is right.")] = False,
    by: By = None,
    build: OfBuild = None,
    note: Note = None,
) -> None:
    """Add a reading: lugbook reading add C12A/crimp "0.84 mV" --at "100 A" --temp "31 degC"."""
    from lugbook.jobs.coarse_currents import words_of_reading
    from lugbook.jobs.measuring import add_reading

    cells = {
        "span": span, "drop_millivolt": drop, "current_ampere": at, "joint_celsius": temp, "taken_at": when,
        "round": round_name, "voltage_instrument": voltmeter, "current_instrument": ammeter,
        "thermometer": thermometer, "polarity": polarity, "zero_millivolt": zero,
        "repeat": None if repeat is None else str(repeat), "confirmed": "yes" if confirm else None,
        "operator": by, "build": build, "note": note,
    }  # fmt: skip
    book = the_book(ctx)
    added = add_reading(book, {k: v for k, v in cells.items() if v is not None}, now())
    whole = added.cells
    if added.entry is None:
        say(f"{span}: the book already holds this reading; nothing was written.")
        return
    meters = f"{whole['voltage_instrument']} and {whole['current_instrument']}"
    who = f", by {whole['operator']}" if whole.get("operator") else ""
    say(f"{span}: {drop} at {at} is entry {added.entry}, round {whole['round']}, read with {meters}{who}.")
    for meter, due in added.lapsed:
        say(f"The calibration of {meter} lapsed on {due}; the reading is counted as taken past its day.")
    for sentence in words_of_reading(book, added.entry):
        say(sentence)
    if temp is None:
        say("No temperature: 20 °C is assumed, and the reading is worth less for it. --temp says it.")


@reading.command("amend")
def amend(
    ctx: typer.Context,
    entry: Entry,
    reason: Why,
    drop: Annotated[str | None, typer.Option(help='The drop: "0.84 mV".')] = None,
    at: Current = None,
    temp: Temperature = None,
    when: Annotated[str | None, typer.Option("--when", help="When it was really read.")] = None,
    round_name: Annotated[str | None, typer.Option("--round", help="The round it really belongs to.")] = None,
    voltmeter: Annotated[str | None, typer.Option(help="The meter the drop was really read with.")] = None,
    ammeter: Annotated[str | None, typer.Option(help="The meter the current was really read with.")] = None,
    thermometer: Annotated[
        str | None, typer.Option(help="What the temperature was really read with.")
    ] = None,
    span: Annotated[str | None, typer.Option(help="The span it was really taken on.")] = None,
    polarity: Annotated[str | None, typer.Option(help="forward or reverse.")] = None,
    zero: Annotated[str | None, typer.Option(help="Drop at no current.")] = None,
    confirm: Annotated[bool, typer.Option("--confirm", help="It looks wrong and is right.")] = False,
    by: By = None,
) -> None:
    """Replace a reading by a better one; the old one stays in the book."""
    from lugbook.jobs.measuring import amend_reading

    cells = {
        "drop_millivolt": drop, "current_ampere": at, "joint_celsius": temp, "taken_at": when, "span": span,
        "round": round_name, "voltage_instrument": voltmeter, "current_instrument": ammeter,
        "polarity": polarity, "zero_millivolt": zero, "thermometer": thermometer,
        "confirmed": "yes" if confirm else None,
    }  # fmt: skip
    changes = {k: v for k, v in cells.items() if v is not None}
    new = amend_reading(the_book(ctx), entry, changes, reason, by, now())
    say(f"Entry {new} now stands for entry {entry}, which stays in the book.")


@reading.command("withdraw")
def withdraw(ctx: typer.Context, entry: Entry, reason: Why, by: By = None) -> None:
    """Say that a reading no longer counts; it stays in the book."""
    from lugbook.jobs.measuring import withdraw_reading

    withdraw_reading(the_book(ctx), entry, reason, by, now())
    say(f"Entry {entry} no longer counts; it stays in the book.")


@reading.command("show")
def show(
    ctx: typer.Context,
    entry: Entry,
    budget: Annotated[
        bool, typer.Option("--budget", help="What it is worth: every part of its uncertainty.")
    ] = False,
    as_json: AsJson = False,
) -> None:
    """Show one reading as entered, and what became of it; or what it is worth."""
    if budget:
        _show_budget(ctx, entry, as_json)
        return
    from lugbook.jobs.listing import zone_of_build
    from lugbook.jobs.measuring import view_reading
    from lugbook.units.wording import word_time

    book = the_book(ctx)
    view = view_reading(book, entry)
    facts = {
        **view.cells, "entry": view.identity, "as_typed": view.as_typed, "replaces": view.replaces,
        "replaced_by": view.replaced_by, "withdrawn": view.withdrawn, "reason": view.reason,
    }  # fmt: skip
    if as_json:
        show_json(facts)
    else:
        taken_at = word_time(view.cells["taken_at"], zone_of_build(book, view.cells["build"]))
        shown = {**facts, "operator": facts.get("operator") or NOBODY, "taken_at": taken_at}
        show_facts([(k.replace("_", " "), "" if v in (None, False) else str(v)) for k, v in shown.items()])


def _show_budget(ctx: typer.Context, entry: int, as_json: bool) -> None:
    from lugbook.jobs.valuing import value_reading

    valued = value_reading(the_book(ctx), entry)
    if as_json:
        show_json(facts_of_budget(valued))
        return
    show_table(HEADINGS, rows_of_budget(valued), right=(1, 2, 3, 7))
    for sentence in ("", *sentences_of_budget(valued)):
        say(sentence)


add_listing(reading, "readings", "span", show=False)
