"""The noun `sample`."""

from pathlib import Path
from typing import Annotated, Any

import typer

from lugbook.cli.arguments import By, Note, now, the_book
from lugbook.cli.changing import add_amending
from lugbook.cli.console import say
from lugbook.cli.tables import add_listing, noun

sample = noun("Crimps made to be spoilt: measured, pulled, looked at.")
COMMANDS = {"sample": sample}

OfRecipe = Annotated[str, typer.Argument(help="How the crimp was made.")]


@sample.command("record")
def record(
    ctx: typer.Context,
    recipe: OfRecipe,
    sample: Annotated[str | None, typer.Option(help="Your number for it; the next one, if left out.")] = None,
    drop: Annotated[str | None, typer.Option(help='Millivolt drop across it: "1.72 mV".')] = None,
    at: Annotated[str | None, typer.Option("--at", help='Current through it: "100 A".')] = None,
    temp: Annotated[str | None, typer.Option(help='Its temperature: "21 degC".')] = None,
    voltmeter: Annotated[str | None, typer.Option(help="The meter of the drop.")] = None,
    ammeter: Annotated[str | None, typer.Option(help="The meter of the current.")] = None,
    between: Annotated[
        str | None,
        typer.Option(help='Between the probes along the cable, barrel included: "76 mm".'),
    ] = None,
    width: Annotated[str | None, typer.Option(help='Across the crimp: "14.2 mm".')] = None,
    height: Annotated[str | None, typer.Option(help='The other way across: "13.1 mm".')] = None,
    ears: Annotated[
        bool | None, typer.Option("--ears/--no-ears", help="Flash or ears stand out of the crimp, or none.")
    ] = None,
    cut: Annotated[str | None, typer.Option(help="How many strands were cut.")] = None,
    force: Annotated[str | None, typer.Option("--pull", help='Greatest force it held: "9.1 kN".')] = None,
    failure: Annotated[
        str | None, typer.Option(help="conductor broke, pulled out, lug cracked, not to failure.")
    ] = None,
    tester: Annotated[str | None, typer.Option(help="The pull tester.")] = None,
    confirm: Annotated[bool, typer.Option("--confirm", help="The pull looks wrong and is right.")] = False,
    when: Annotated[str | None, typer.Option("--when", help="When; now, if left out.")] = None,
    by: By = None,
    note: Note = None,
) -> None:
    """Record a sample: its resistance, its size, how it looked, and what it held."""
    from lugbook.jobs.sampling import record_sample

    cells = {
        "recipe": recipe, "sample": sample, "tested_at": when, "drop_millivolt": drop, "current_ampere": at,
        "joint_celsius": temp, "length_millimetre": between, "width_millimetre": width,
        "height_millimetre": height, "ears": None if ears is None else ("yes" if ears else "no"),
        "strands_cut": cut, "operator": by, "note": note, "voltage_instrument": voltmeter,
        "current_instrument": ammeter,
    }  # fmt: skip
    pull = {
        "pull_newton": force, "failure": failure, "instrument": tester, "confirmed": "yes" if confirm else None,
    }  # fmt: skip
    given, pulled = ({k: v for k, v in line.items() if v is not None} for line in (cells, pull))
    new, number = record_sample(the_book(ctx), given, pulled, now())
    what = f"Sample {number} of {recipe}"
    say(
        f"{what}: entered{f', held {force}' if force else ''}."
        if new
        else f"{what}: the book already holds it."
    )


@sample.command("photo")
def photo(
    ctx: typer.Context,
    recipe: OfRecipe,
    sample: Annotated[str, typer.Argument(help="Its number.")],
    file: Annotated[
        Path, typer.Argument(help="The picture, of a section or of the outside: JPEG, PNG or WebP.")
    ],
    note: Note = None,
) -> None:
    """Keep a photo of a sample, and note its digest, so that a changed file can be told."""
    from lugbook.jobs.sampling import attach_sample_photo

    digest = attach_sample_photo(the_book(ctx), recipe, sample, file, now(), note=note)
    say(
        f"Sample {sample} of {recipe}: {file.name} noted, SHA-256 {digest}; the original is kept beside the book."
    )


def _with_pulls(book: Any, listing: Any) -> Any:
    from lugbook.jobs.sample_listing import with_pulls

    return with_pulls(book, listing)


add_listing(sample, "samples", "sample of recipe", more=_with_pulls)
add_amending(sample, "samples", "recipe")
