"""How a report tells the recipes by which terminals were made, and what proves them."""

from __future__ import annotations

from lugbook.reports.blocks import Block, Bullets, Facts, Figure, Notice, Section, Text, table_or_words
from lugbook.reports.workmanship import RecipeEntry, TrialEntry, WorkmanshipReport


def recipe_sections(report: WorkmanshipReport) -> tuple[Section, ...]:
    """How terminals were made and what proves it: trials compared, then each recipe."""
    if not report.recipes:
        nothing = Text("No recipe is recorded: how these terminals were made is not known.")
        return (Section("recipes", "Recipes and their proof", (nothing,)),)
    lead = Text(
        "A recipe is conductor, lug, tool, die setting, presses and strip length together. Its proof is samples made "
        "the same way and pulled to failure."
    )
    heads = Section("recipes", "Recipes and their proof", (lead,))
    trials = (_trial(place, one) for place, one in enumerate(report.trials))
    return (heads, *trials, *(_recipe(place, one) for place, one in enumerate(report.recipes)))


def _trial(place: int, trial: TrialEntry) -> Section:
    caption = "Pulls and resistances of their samples, by die setting."
    blocks = (
        Text(f"{', '.join(trial.recipes)}: {trial.chosen}."),
        Bullets(trial.sentences),
        Figure(trial.picture, caption),
    )
    return Section(f"trial-{place + 1}", f"Recipes compared: {trial.conductor}", blocks, level=2)


def _recipe(place: int, recipe: RecipeEntry) -> Section:
    used = "1 terminal" if recipe.used_on == 1 else f"{recipe.used_on} terminals"
    blocks: list[Block] = [Facts((*recipe.facts, ("used on", used)))]
    if recipe.is_qualified is False:
        blocks.append(Notice("This recipe is not proved", recipe.qualification or ("See the pulls below.",)))
    elif recipe.qualification:
        blocks.append(Bullets(recipe.qualification))
    else:
        blocks.append(Text("Whether its pulls are enough was not judged: not judged is not a pass."))
    if recipe.picture is not None:
        blocks.append(Figure(recipe.picture, f"Pulls of samples of {recipe.name}, by die setting."))
    blocks.append(
        table_or_words(
            f"Samples of {recipe.name} pulled",
            (
                ("sample", 1.0),
                ("day", 1.0),
                ("pulled at", 1.6),
                ("failed by", 1.4),
                ("tester", 0.9),
                ("by", 1.4),
            ),
            [(one.sample, one.on, one.force, one.failure, one.instrument, one.by) for one in recipe.pulls],
            "No sample of this recipe was pulled: it has no proof in this book.",
        )
    )
    return Section(f"recipe-{place + 1}", f"Recipe {recipe.name}", tuple(blocks), level=2)
