"""The nouns of what is bought: reel, price."""

from typing import Annotated

import typer

from lugbook.cli.arguments import Note
from lugbook.cli.changing import add_amending, add_withdrawing
from lugbook.cli.entering import enter_one
from lugbook.cli.tables import add_listing, noun

reel = noun("Cable on reels, in stock or to be bought.")
price = noun("What parts and metres cost.")
COMMANDS = {"reel": reel, "price": price}


@reel.command("add")
def add_reel(
    ctx: typer.Context,
    name: Annotated[str, typer.Argument(help="Your name for it.")],
    conductor: Annotated[str, typer.Option(help="What is on it.")],
    length: Annotated[str, typer.Option(help='How much is on it: "25 m".')],
    count: Annotated[str, typer.Option(help="How many there are.")] = "1",
    to_buy: Annotated[
        bool, typer.Option("--to-buy", help="As many as wanted can be bought; then --count does not count.")
    ] = False,
    note: Note = None,
) -> None:
    """Add a reel."""
    cells = {
        "reel": name, "conductor": conductor, "length_metre": length, "note": note,
        "count": None if to_buy else count,
    }  # fmt: skip
    enter_one(ctx, "reels", f"Reel {name}", cells)


@price.command("add")
def add_price(
    ctx: typer.Context,
    what: Annotated[
        str, typer.Argument(help="The conductor, lug or sealing by its name; loom; heat shield.")
    ],
    each: Annotated[str, typer.Argument(help='Amount and currency: "4.20 EUR".')],
    per: Annotated[str, typer.Option(help="piece or metre.")],
    note: Note = None,
) -> None:
    """Add a price."""
    enter_one(ctx, "prices", f"Price of {what}", {"what": what, "price": each, "per": per, "note": note})


for _kind, _noun, _called in (("reels", reel, "reel"), ("prices", price, "price of")):
    add_listing(_noun, _kind, _called)
    add_amending(_noun, _kind, _called)
    add_withdrawing(_noun, _kind, _called)
