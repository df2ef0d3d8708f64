"""The commands `due` and `calendar`."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from lugbook.cli.arguments import AsJson, OfBuild, day_of_text, now, the_book, today
from lugbook.cli.console import say, say_wrapped, show_json
from lugbook.cli.tables import noun

if TYPE_CHECKING:
    from datetime import date

    from lugbook.jobs.visits import Visit

due = noun("What to test next, why, and what to bring.")
calendar = noun("The visits to come, as a calendar file.")
COMMANDS = {"due": due, "calendar": calendar}

Risk = Annotated[
    str | None,
    typer.Option(
        "--accepted-risk",
        help="Chance of finding a span over its limit that you accept in fifty years of tests: "
        '"5 %", if left out; of what starts, steers, pumps or grounds two fifths of it.',
    ),
]
OnDay = Annotated[str | None, typer.Option("--on", help="What was known on this day; today, if left out.")]


@due.command()
def show(
    ctx: typer.Context,
    by: Annotated[str | None, typer.Option("--by", help="Only what is due by this day.")] = None,
    on: OnDay = None,
    risk: Risk = None,
    build: OfBuild = None,
    as_json: AsJson = False,
) -> None:
    """What to test next, overdue first, why on that day, and what to bring."""
    from lugbook.jobs.visits import plan_visits

    day = day_of_text(on, today())
    accepted = _risk(risk)
    visits = plan_visits(
        the_book(ctx), day, by=day_of_text(by, day) if by else None, build=build, accepted_risk=accepted
    )
    if as_json:
        show_json({
            "accepted_risk_percent": None if accepted is None else 100 * accepted,
            "due": _facts_of_due(visits, day),
            "visits": [_facts_of(visit) for visit in visits],
        })  # fmt: skip
        return
    if not visits:
        say("Nothing is due.")
        return
    _tell(visits, day)
    if accepted is not None:
        from lugbook.assessment.scheduling import ACCEPTED_RISK

        say("")
        say(f"Accepted risk: {100 * accepted:g} % in fifty years of a span, as asked; "
            f"{100 * ACCEPTED_RISK:g} % where nothing is said.")  # fmt: skip


@calendar.command()
def write(
    ctx: typer.Context,
    file: Annotated[Path, typer.Argument(help="The file to write, for a calendar to import: visits.ics.")],
    on: OnDay = None,
    risk: Risk = None,
    build: OfBuild = None,
) -> None:
    """Write every visit to come; written to the same file and imported again, it brings a calendar up to date."""
    from lugbook.jobs.calendars import write_visits

    written = write_visits(
        the_book(ctx), file, day_of_text(on, today()), now(), build=build, accepted_risk=_risk(risk)
    )
    visits = written.visits
    first = f", the first on {visits[0].day}" if visits else ""
    cancelled = f"; {written.cancelled} that stood in it before cancelled" if written.cancelled else ""
    say(f"{file}: {_counted(len(visits), 'visit')}{first}{cancelled}.")


def _risk(text: str | None) -> float | None:
    """An accepted risk as typed, "2 %", as a share."""
    from lugbook.units.fields import RISK_PERCENT
    from lugbook.units.parsing import read_measured

    return None if text is None else read_measured(text, RISK_PERCENT).value / 100


def _tell(visits: "tuple[Visit, ...]", day: "date") -> None:
    from lugbook.jobs.calendars import words_of_bring

    found = [one for visit in visits for one in visit.spans]
    late = sum(one.next_test < day for one in found)
    say(f"{_counted(len(found), 'span')} in {_counted(len(visits), 'visit')}; {late} overdue on {day}.")
    several = len({visit.build for visit in visits}) > 1
    for visit in visits:
        say("")
        where = f" on {visit.build}" if several else ""
        say(f"Visit{where}, {visit.day}: {_counted(len(visit.spans), 'span')}")
        for reason, tags in _by_reason(visit, day):
            say_wrapped(f"{', '.join(tags)}: {reason}")
        say("  Bring:")
        for sentence in list(words_of_bring(visit.bring)) or ["Nothing is known of what to bring."]:
            say_wrapped(sentence, indent=4)


def _by_reason(visit: "Visit", day: "date") -> list[tuple[str, list[str]]]:
    """Spans that are due for the same reason, told together; what is overdue first."""
    grouped: dict[tuple[bool, str], list[str]] = {}
    for one in visit.spans:
        late = one.next_test < day
        reason = f"overdue since {one.next_test}. {one.reason}" if late else one.reason
        grouped.setdefault((not late, reason), []).append(one.said)
    return [(reason, tags) for (_, reason), tags in sorted(grouped.items(), key=lambda item: item[0][0])]


def _counted(count: int, noun: str) -> str:
    return f"{count} {noun}{'' if count == 1 else 's'}"


def _facts_of_due(visits: "tuple[Visit, ...]", day: "date") -> list[dict[str, Any]]:
    found = sorted(
        (one.next_test, visit.build, one.span, one.reason, one.joining)
        for visit in visits
        for one in visit.spans
    )
    return [
        {"span": span, "build": build, "next_test": next_test.isoformat(), "reason": reason,
         "overdue": next_test < day, "joining": joining or None}
        for next_test, build, span, reason, joining in found
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
