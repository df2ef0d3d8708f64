"""The noun `plan`."""

from typing import TYPE_CHECKING, Annotated, Any

import typer

from lugbook.cli.arguments import AsJson, OfBuild, the_book, today
from lugbook.cli.console import say, show_json, show_table
from lugbook.cli.tables import noun

if TYPE_CHECKING:
    from lugbook.jobs.planning import ReadingPlan, SeasonPlan

plan = noun("What to measure with, before anyone crawls.")
COMMANDS = {"plan": plan}

Percent = Annotated[str, typer.Option("--change", help='The change that should show: "10 %".')]
CAUTION = (
    "A current of this size heats what carries it: draw it only as long as the reading takes, through a load made for "
    "it, with the battery space ventilated, and stop if anything grows warm."
)


@plan.command("reading")
def reading(
    ctx: typer.Context,
    span: Annotated[str, typer.Argument(help="The span: C12A/crimp.")],
    change: Percent = "10 %",
    at: Annotated[
        str | None,
        typer.Option("--at", help='What would show at this current: "60 A"; that of the last reading.'),
    ] = None,
    expect: Annotated[
        str | None, typer.Option(help='What it should read: "40 microohm"; as last read, if left out.')
    ] = None,
    most: Annotated[
        str | None,
        typer.Option(help='The most that can be drawn through it for a reading: "150 A"; else 200 A.'),
    ] = None,
    voltmeter: Annotated[str | None, typer.Option(help="Meter of the drop; as in the last reading.")] = None,
    ammeter: Annotated[str | None, typer.Option(help="Meter of the current; as in the last reading.")] = None,
    build: OfBuild = None,
    as_json: AsJson = False,
) -> None:
    """Which current, one way or both, how many repeats; and what change shows at one current."""
    from lugbook.jobs.planning import plan_reading
    from lugbook.units.fields import CHANGE_PERCENT
    from lugbook.units.parsing import read_measured
    from lugbook.units.wording import word_number

    found = plan_reading(
        the_book(ctx), today(), span, change_percent=read_measured(change, CHANGE_PERCENT).value, at=at,
        expected=expect, most=most, voltmeter=voltmeter, ammeter=ammeter, build=build,
    )  # fmt: skip
    if as_json:
        show_json(_facts(found))
        return
    for sentence in _sentences(found):
        say(sentence)
    say("")
    at_ampere = f"{found.sights[0].ampere:g} A"
    headings = [
        "way",
        "repeats",
        "probes set",
        f"current for {found.change_percent:g} %",
        f"shows at {at_ampere}",
    ]
    rows = [
        [need.way, str(need.repeats), str(need.readings), _ampere(need.ampere),
         f"{word_number(sight.visible_percent, 2)} %"]
        for need, sight in zip(found.needs, found.sights, strict=True)
    ]  # fmt: skip
    show_table(headings, rows, right=(1, 2, 3, 4))
    say("")
    say(CAUTION)


def _sentences(found: "ReadingPlan") -> list[str]:
    from lugbook.units.wording import word_number

    beside = (
        f"read beside {found.others} other spans, so that the percentages of the meters cancel"
        if found.others
        else "read alone, so that the percentages of the meters count in full"
    )
    said = [
        f"{found.span}: {word_number(found.expected_microohm)} µΩ expected ({found.expected_from}), with "
        f"{found.voltmeter} and {found.ammeter}, {beside}."
    ]
    able = [need for need in found.needs if need.ampere is not None]
    if able:
        best = min(able, key=lambda need: (need.readings, need.ampere or 0.0))
        said.append(
            f"Least work for a change of {found.change_percent:g} %: {best.ampere:g} A, {best.way}"
            f"{'' if best.repeats == 1 else f', {best.repeats} repeats'}."
        )
    else:
        said.append(
            f"A change of {found.change_percent:g} % does not show with these meters at any current up to "
            f"{found.most_ampere:g} A; what stands in the way: {found.foremost}."
        )
    if found.resolution_millivolt is not None:
        said.append(
            f"A voltmeter with a last digit of {found.resolution_millivolt:g} mV would show it at "
            f"{found.sights[0].ampere:g} A."
        )
    said.append(f"At {found.sights[0].ampere:g} A what limits most: {found.foremost}.")
    said.append(
        "Shows: claimed wrongly once in 20 times and missed once in 20, between two outings read alike."
    )
    return said


def _ampere(needed: float | None) -> str:
    return "none" if needed is None else f"{needed:g} A"


def _facts(found: "ReadingPlan") -> dict[str, Any]:
    return {
        **{k: v for k, v in found.__dict__.items() if k not in ("needs", "sights")},
        "needs": [need.__dict__ for need in found.needs],
        "sights": [sight.__dict__ for sight in found.sights],
    }


@plan.command("season")
def season(
    ctx: typer.Context,
    rate: Annotated[
        list[str] | None, typer.Option("--rate", help='A creep, "5 %" a year; may be said several times.')
    ] = None,
    every: Annotated[float, typer.Option(min=0.1, max=5, help="Years between rounds.")] = 1.0,
    build: OfBuild = None,
    as_json: AsJson = False,
) -> None:
    """How many seasons of readings until a creep is noticed, with this book's own noise."""
    from lugbook.jobs.planning import plan_season
    from lugbook.units.fields import CHANGE_PERCENT
    from lugbook.units.parsing import read_measured

    rates = tuple(
        read_measured(text, CHANGE_PERCENT).value for text in rate or ("2 %", "5 %", "10 %", "20 %")
    )
    plans = plan_season(the_book(ctx), today(), rates_percent=rates, years_between=every, build=build)
    if as_json:
        show_json({"plans": [one.__dict__ for one in plans]})
        return
    for one in plans:
        _show_season(one)


def _years(years: float) -> str:
    return "year" if years == 1 else f"{years:g} years"


def _show_season(one: "SeasonPlan") -> None:
    from lugbook.jobs.coarse_currents import COARSE_FROM
    from lugbook.units.wording import word_chance

    spans = f"{one.spans} span{'' if one.spans == 1 else 's'}"
    say(
        f"{one.build}: {spans} a round, a reading's own noise {one.own_percent:.2g} %, the meters' share "
        f"{one.gain_percent:.2g} %, {one.bad_percent:.2g} % of readings bad, a round every {_years(one.years_between)}."
    )
    if one.digits_percent >= 100 * COARSE_FROM:
        say(
            "The currents of its rounds are little for their meter, whose last digits alone may be "
            f"{one.digits_percent:.0f} % of them: draw more current, or use a finer meter."
        )
    say("Chance that a span which creeps from the first of these rounds has been called creeping by round:")
    say("")
    seasons = range(3, min(11, len(one.chances[0]) + 1))
    rows = [
        [f"{rate:g} % a year", *(word_chance(chances[n - 1]) for n in seasons)]
        for rate, chances in zip(one.rates_percent, one.chances, strict=True)
    ]
    show_table(["creep", *map(str, seasons)], rows, right=range(1, len(seasons) + 1))
    say("")
    say(
        f"Two rounds are too few for anybody. From {one.simulated_builds} simulated builds a rate, judged as your "
        "readings are."
    )
