"""The command `status`."""

from typing import TYPE_CHECKING, Annotated

import typer

from lugbook.cli.arguments import AsJson, OfBuild, day_of_text, the_book, today
from lugbook.cli.console import say, show_json, show_table
from lugbook.cli.tables import noun
from lugbook.cli.verdicts import HEADINGS, VERDICTS, facts_of, row_of, word_counts, words_of_rounds

if TYPE_CHECKING:
    from lugbook.assessment.judging import SpanVerdict
    from lugbook.jobs.assessing import Standing

FOUND_SOMETHING = 10

status = noun("One line a span: verdict, resistance, rate, next test.")
COMMANDS = {"status": status}


@status.command()
def show(
    ctx: typer.Context,
    on: Annotated[
        str | None, typer.Option("--on", help="What was known on this day; today, if left out.")
    ] = None,
    build: OfBuild = None,
    exit_code: Annotated[
        bool, typer.Option("--exit-code", help="Exit 10 if a span is creeping, stepped or over its limit.")
    ] = False,
    as_json: AsJson = False,
) -> None:
    """One line a span: verdict, resistance now and as made, limit, rate, next test; the worst come first."""
    from lugbook.jobs.assessing import judge_book, needs_a_person

    standings = judge_book(the_book(ctx), day_of_text(on, today()), build=build)
    if as_json:
        show_json({
            "spans": [{**facts_of(s.build, v), "joining": s.not_crimped.get(v.span)}
                      for s in standings for v in _worst_first(s)],
            "rounds": [
                {"build": s.build, "round": r.round, "shift_percent": round(r.percent, 2),
                 "u_percent": round(r.u_percent, 2), "spans_read": r.spans_read,
                 "check_standards_read": r.check_standards_read, "lapsed_readings": r.lapsed_readings,
                 "check_standard_drift_percent": None if r.bracket is None else r.bracket.drift_percent}
                for s in standings for r in s.judgement.round_shifts
            ],
        })  # fmt: skip
    elif not standings:
        where = f"of build {build} in this book" if build else "in this book"
        say(
            f"No spans {where} yet; add one with `lugbook span add`, or bring a file in with `lugbook import`."
        )
    for standing in () if as_json else standings:
        verdicts = _worst_first(standing)
        say(f"{standing.build}: {word_counts(verdicts)}")
        say("")
        show_table(HEADINGS, [row_of(v) for v in verdicts], right=(2, 3, 4))
        say("")
        for sentence in words_of_rounds(standing.judgement.round_shifts):
            say(sentence)
        if standing.not_crimped:
            say(f"Not crimped: {', '.join(f'{tag} ({how})' for tag, how in standing.not_crimped.items())}.")
    if standings and not as_json:
        say(
            "Resistances at 20 °C; ± is one standard uncertainty. `lugbook span show SPAN` gives the reasons."
        )
    if exit_code and needs_a_person(standings):
        raise typer.Exit(FOUND_SOMETHING)


def _worst_first(standing: "Standing") -> "list[SpanVerdict]":
    return sorted(standing.judgement.verdicts, key=lambda verdict: VERDICTS.index(verdict.verdict))
