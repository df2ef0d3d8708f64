"""The noun `workmanship`."""

from typing import Annotated

import typer

from lugbook.cli.arguments import AsJson, By, Note, OfBuild, now, the_book
from lugbook.cli.changing import add_amending, add_withdrawing
from lugbook.cli.console import say, show_json, show_table
from lugbook.cli.tables import add_listing, noun

workmanship = noun("The checklist of a good crimp, and its answers.")
COMMANDS = {"workmanship": workmanship}


@workmanship.command("checklist")
def checklist(as_json: AsJson = False) -> None:
    """Show what to look at, what good looks like, and who says so."""
    from lugbook.assessment.workmanship import CHECKLIST

    if as_json:
        names = ("code", "question", "good", "fault", "serious", "source", "provenance")
        show_json({"checklist": [{name: getattr(item, name) for name in names} for item in CHECKLIST]})
        return
    rows = [
        [
            item.code,
            item.question,
            item.good,
            "yes" if item.serious else "",
            f"{item.source}; {item.provenance}",
        ]
        for item in CHECKLIST
    ]
    headings = ("line", "question", "good looks like", "a no refuses it", "source")
    show_table(headings, rows, wrap=(1, 2, 4))


@workmanship.command("record")
def record(
    ctx: typer.Context,
    words: Annotated[
        list[str],
        typer.Argument(
            metavar="END ANSWERS...",
            help='The cable end, then LINE=ANSWER each: C12A all=yes "no ears=no" "sealed=not applicable". '
            "Answers are yes (good), no, not applicable, not answered. With --sample: answers alone.",
        ),
    ],
    recipe: Annotated[str | None, typer.Option(help="Of a sample: its recipe.")] = None,
    sample: Annotated[str | None, typer.Option(help="Of a sample: its number.")] = None,
    when: Annotated[str | None, typer.Option("--when", help="When; now, if left out.")] = None,
    by: By = None,
    build: OfBuild = None,
    note: Note = None,
) -> None:
    """Answer the checklist for a terminal or a sample; an answer given later counts from then on."""
    from lugbook.assessment.workmanship import word_workmanship
    from lugbook.jobs.sampling import record_answers

    end, answers = (None, words) if sample else (words[0], words[1:])
    of = {
        "cable_end": end, "recipe": recipe, "sample": sample, "looked_at": when, "operator": by,
        "build": build, "note": note,
    }  # fmt: skip
    given = {k: v for k, v in of.items() if v is not None}
    summary = record_answers(the_book(ctx), given, answers, now())
    say(f"{end or f'Sample {sample} of {recipe}'}: {word_workmanship(summary)}")


add_listing(workmanship, "answers", "answers of cable end")
add_amending(workmanship, "answers", "cable end")
add_withdrawing(workmanship, "answers", "cable end")
