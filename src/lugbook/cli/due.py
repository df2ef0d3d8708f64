"""The commands `due` and `calendar`."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from lugbook.cli.arguments import AsJson, OfBuild, day_of_text, the_book, today
from lugbook.cli.console import say, show_json, show_table
from lugbook.cli.tables import noun

if TYPE_CHECKING:
    from datetime import date

    from lugbook.jobs.visits import Visit

due = noun("What to test next, why, and what to bring.")
calendar = noun("The visits to come, as a calendar file.")
COMMANDS = {"due": due, "calendar": calendar}

OnDay = Annotated[str | None, typer.Option("--on", help="What was known on this day; today, if left out.")]


@due.command()
def show(
    ctx: typer.Context,
    by: Annotated[str | None, typer.Option("--by", help="Only what is due by this day.")] = None,
    on: OnDay = None,
    build: OfBuild = None,
    as_json: AsJson = False,
) -> None:
    """What to test next, overdue first, why on that day, and what to bring."""
    from lugbook.jobs.visits import plan_visits

    day = day_of_text(on, today())
    visits = plan_visits(the_book(ctx), day, by=day_of_text(by, day) if by else None, build=build)
    if as_json:
        show_json({"due": _facts_of_due(visits, day), "visits": [_facts_of(visit) for visit in visits]})
    elif not visits:
        say("Nothing is due.")
    else:
        _tell(visits, day)


@calendar.command()
def write(
    ctx: typer.Context,
    file: Annotated[Path, typer.Argument(help="The file to write, for a calendar to import: visits.ics.")],
    on: OnDay = None,
    build: OfBuild = None,
) -> None:
    """Write every visit to come; importing the file again brings a calendar up to date."""
    from lugbook.jobs.calendars import write_visits

    visits = write_visits(the_book(ctx), file, day_of_text(on, today()), build=build)
    first = f", the first on {visits[0].day}" if visits else ""
    say(f"{file}: {len(visits)} visit{'' if len(visits) == 1 else 's'}{first}.")


def _tell(visits: "tuple[Visit, ...]", day: "date") -> None:
    from lugbook.jobs.calendars import words_of_bring

    found = sorted(
        (one.next_test, visit.build, one.span, one.reason) for visit in visits for one in visit.spans
    )
    late = sum(next_test < day for next_test, *_ in found)
    say(f"{len(found)} span{'' if len(found) == 1 else 's'}, {late} overdue on {day}.")
    say("")
    several = len({visit.build for visit in visits}) > 1
    rows = [
        [
            next_test.isoformat(),
            "overdue" if next_test < day else "",
            f"{span}, {build}" if several else span,
            reason,
        ]
        for next_test, build, span, reason in found
    ]
    show_table(("next test", "", "span", "why"), rows)
    for visit in visits:
        say("")
        where = f" on {visit.build}" if several else ""
        count = len(visit.spans)
        say(f"Visit{where}, {visit.day}: {count} span{'' if count == 1 else 's'}. Bring:")
        for sentence in list(words_of_bring(visit.bring)) or ["Nothing is known of what to bring."]:
            say(f"  {sentence}")


def _facts_of_due(visits: "tuple[Visit, ...]", day: "date") -> list[dict[str, Any]]:
    found = sorted(
        (one.next_test, visit.build, one.span, one.reason) for visit in visits for one in visit.spans
    )
    return [
        {"span": span, "build": build, "next_test": next_test.isoformat(), "reason": reason,
         "overdue": next_test < day}
        for next_test, build, span, reason in found
    ]  # fmt: skip


def _facts_of(visit: "Visit") -> dict[str, Any]:
    bring = visit.bring
    return {
        "build": visit.build, "day": visit.day.isoformat(), "number": visit.number,
        "spans": [one.span for one in visit.spans],
        "bring": {
            "meters": list(bring.meters), "check_standards": list(bring.check_standards),
            "torques": [{"landing": t.landing, "torque_newton_metre": t.torque_newton_metre} for t in bring.torques],
            "lugs": [{"recipe": one.recipe, "lug": one.lug, "count": one.count} for one in bring.lugs],
        },
    }  # fmt: skip
