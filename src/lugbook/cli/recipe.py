"""The noun `recipe`."""

from pathlib import Path
from typing import Annotated

import typer

from lugbook.cli.arguments import AsJson, By, Note, now, the_book
from lugbook.cli.changing import add_amending
from lugbook.cli.console import say, show_facts, show_json, show_table
from lugbook.cli.entering import enter_one
from lugbook.cli.tables import add_listing, facts_listed, noun, pairs_listed

recipe = noun("How terminals are made, and how far that is proved.")
COMMANDS = {"recipe": recipe}

Name = Annotated[str, typer.Argument(help="Your name for it.")]
Names = Annotated[list[str], typer.Argument(help="The recipes, one for each die setting tried.")]


@recipe.command("add")
def add_recipe(
    ctx: typer.Context,
    name: Name,
    conductor: Annotated[str, typer.Option(help="The conductor, by name or size.")],
    lug: Annotated[str, typer.Option(help="The lug.")],
    tool: Annotated[str, typer.Option(help="The tool.")],
    die: Annotated[str, typer.Option(help="The die or its setting.")],
    strip: Annotated[str, typer.Option(help='Insulation taken off, "26 mm".')],
    presses: Annotated[str, typer.Option(help="Presses along the barrel.")] = "1",
    sealing: Annotated[str | None, typer.Option(help="Like adhesive sleeve 40 mm.")] = None,
    compound: Annotated[str | None, typer.Option(help="Like antioxidant paste.")] = None,
    joined: Annotated[
        str | None, typer.Option(help="crimped, soldered or clamped; crimped, if left out.")
    ] = None,
    order: Annotated[str | None, typer.Option(help="Which press comes first.")] = None,
    across: Annotated[str | None, typer.Option(help='Measured across the finished crimp, "14.2 mm".')] = None,
    standard: Annotated[str | None, typer.Option(help="Whose pull minimum it is held against.")] = None,
    note: Note = None,
) -> None:
    """Add a recipe."""
    cells = {
        "recipe": name, "conductor_size": conductor, "lug": lug, "tool": tool, "die": die,
        "presses": presses, "strip_millimetre": strip, "sealing": sealing, "compound": compound, "note": note,
        "joining": joined, "press_order": order, "crimp_millimetre": across, "pull_standard": standard,
    }  # fmt: skip
    enter_one(ctx, "recipes", f"Recipe {name}", cells)


@recipe.command("show")
def show(ctx: typer.Context, name: Name, as_json: AsJson = False) -> None:
    """Show a recipe with its verdict, the reasons, and what each standard asks of it."""
    from lugbook.cli.proofs import facts_of_proof, minima_table, pairs_of_proof
    from lugbook.jobs.listing import list_kind
    from lugbook.jobs.trialling import prove_recipe

    book = the_book(ctx)
    proof = prove_recipe(book, name)
    listing = list_kind(book, "recipes", key=name)
    if as_json:
        show_json({"recipes": facts_listed(listing), **facts_of_proof(proof)})
        return
    show_facts([*pairs_listed(listing, 0), *pairs_of_proof(proof)])
    say("")
    show_table(*minima_table(proof), right=(1, 2), wrap=(3, 6, 7))


@recipe.command("compare")
def compare(ctx: typer.Context, names: Names, as_json: AsJson = False) -> None:
    """Say which of several recipes to use, or how many more samples it takes to tell."""
    from lugbook.cli.proofs import comparison_table, facts_of_comparison, sentences_of_comparison
    from lugbook.jobs.trialling import compare_by_name

    compared = compare_by_name(the_book(ctx), names)
    if as_json:
        show_json(facts_of_comparison(compared))
        return
    show_table(*comparison_table(compared), right=(3, 4, 5, 6, 7))
    say("")
    for sentence in sentences_of_comparison(compared):
        say(sentence)


@recipe.command("plot")
def plot(
    ctx: typer.Context,
    names: Names,
    out: Annotated[Path, typer.Option("--out", help="The picture: .svg, .png or .pdf.")],
) -> None:
    """Draw pull and resistance of samples against die setting, with the minima of the chosen standard."""
    from lugbook.jobs.trialling import plot_trial

    plot_trial(the_book(ctx), names, out)
    say(f"{', '.join(names)}: drawn in {out}.")


@recipe.command("choose-standard")
def choose(
    ctx: typer.Context,
    names: Names,
    standard: Annotated[str, typer.Option(help="Whose pull minimum counts, like UL 486A-486B.")],
    share: Annotated[
        str | None, typer.Option(help='Share of all such crimps that must reach it: "99 %" or "90 %".')
    ] = None,
    reason: Annotated[str, typer.Option(help="Why; it is kept in the book.")] = "standard chosen",
    by: By = None,
) -> None:
    """Record whose pull minimum recipes are held against; what was chosen before stays in the book."""
    from lugbook.jobs.trialling import choose_standard

    chosen = choose_standard(the_book(ctx), names, standard, now(), share=share, reason=reason, by=by)
    say(f"{', '.join(names)}: held against {chosen} from now on.")


add_listing(recipe, "recipes", "recipe", show=False)
add_amending(recipe, "recipes", "recipe")
