"""The command `due`."""

from typing import Annotated

import typer

from lugbook.cli.arguments import AsJson, OfBuild, day_of_text, the_book, today
from lugbook.cli.console import say, show_json, show_table
from lugbook.cli.tables import noun

due = noun("What to test next, and why.")
COMMANDS = {"due": due}


@due.command()
def show(
    ctx: typer.Context,
    by: Annotated[str | None, typer.Option("--by", help="Only what is due by this day.")] = None,
    on: Annotated[
        str | None, typer.Option("--on", help="What was known on this day; today, if left out.")
    ] = None,
    build: OfBuild = None,
    as_json: AsJson = False,
) -> None:
    """What to test next, the soonest first, and why on that day."""
    from lugbook.jobs.assessing import list_due

    day = day_of_text(on, today())
    found = list_due(the_book(ctx), day, by=day_of_text(by, day) if by else None, build=build)
    if as_json:
        facts = [{"span": d.span, "build": d.build, "next_test": d.next_test.isoformat(), "reason": d.reason,
                  "overdue": d.next_test < day} for d in found]  # fmt: skip
        show_json({"due": facts})
    elif not found:
        say("Nothing is due.")
    else:
        late = sum(d.next_test < day for d in found)
        say(f"{len(found)} span{'' if len(found) == 1 else 's'}, {late} overdue on {day}.")
        say("")
        several = len({d.build for d in found}) > 1
        rows = [
            [d.next_test.isoformat(), "overdue" if d.next_test < day else "",
             f"{d.span}, {d.build}" if several else d.span, d.reason]
            for d in found
        ]  # fmt: skip
        show_table(("next test", "", "span", "why"), rows)
