"""How a round looks in a table, as sentences and as JSON."""

from typing import TYPE_CHECKING, Any

from lugbook.cli.console import say, show_table, warn
from lugbook.cli.verdicts import words_of_rounds

if TYPE_CHECKING:
    from lugbook.jobs.round_closing import Moved, RoundReport, Task
    from lugbook.jobs.round_importing import SheetTaken
    from lugbook.jobs.round_stops import Seen, Stop
    from lugbook.jobs.rounds import RoundFacts

SAID = (
    "build", "state", "opened_at", "closed_at", "voltage_instrument", "current_instrument", "thermometer", "operator",
    "drop_unit", "current_unit", "temperature_unit", "current_ampere", "weather", "note",
)  # fmt: skip


def facts_of(facts: "RoundFacts") -> dict[str, Any]:
    """The facts of a round, for JSON."""
    return {"round": facts.name, **{name: getattr(facts, name) or None for name in SAID}}


def row_of(facts: "RoundFacts", count: int, first: str | None) -> list[str]:
    """One line of the list of rounds."""
    from lugbook.units.wording import word_time

    began = facts.opened_at or first
    meters = ", ".join(filter(None, (facts.voltage_instrument, facts.current_instrument)))
    when = word_time(began, facts.zone) if began else ""
    return [facts.name, facts.build, facts.state, when, str(count), meters, facts.operator or ""]


def pairs_of_round(facts: "RoundFacts") -> list[tuple[str, str]]:
    """What was said when a round was opened and closed."""
    from lugbook.units.symbols import shown
    from lugbook.units.wording import word_time

    meters = (facts.voltage_instrument, facts.current_instrument, facts.thermometer)
    units = (facts.drop_unit, facts.current_unit, facts.temperature_unit)
    return [
        ("round", f"{facts.name}, {facts.build}"),
        ("state", facts.state or "came with its readings"),
        ("opened", word_time(facts.opened_at, facts.zone) if facts.opened_at else ""),
        ("closed", word_time(facts.closed_at, facts.zone) if facts.closed_at else ""),
        ("meters", ", ".join(filter(None, meters))),
        ("by", facts.operator or ""),
        ("numbers in", ", ".join(map(shown, units)) if facts.opened_at else ""),
        ("steady load", "" if facts.current_ampere is None else f"{facts.current_ampere:g} A"),
        ("weather", facts.weather or ""),
        ("note", facts.note or ""),
    ]


def facts_of_report(report: "RoundReport") -> dict[str, Any]:
    """What a round came to, for JSON."""
    return {
        **facts_of(report.facts),
        "stops": [_facts_of_stop(stop) for stop in report.stops],
        "missing": [stop.span for stop in report.missing],
        "moved": [
            {"span": m.span, "before": m.before, "after": m.after, "reason": m.reason} for m in report.moved
        ],
        "meters": [
            {
                "shift_percent": round(shift.percent, 2), "u_percent": round(shift.u_percent, 2),
                "spans_read": shift.spans_read,
                "check_standard_drift_percent": None if shift.bracket is None else shift.bracket.drift_percent,
            }
            for shift in report.shifts
        ],
        "to_do": [_facts_of_task(task) for task in report.tasks],
        "said": [*report.words, *words_of_rounds(report.shifts)],
    }  # fmt: skip


def facts_of_sheet(taken: "SheetTaken") -> dict[str, Any]:
    """What importing a sheet did, for JSON."""
    names = ("new", "present", "skipped", "blank", "odd", "said")
    return {"round": taken.facts.name, **{name: getattr(taken, name) for name in names}}


def tell_sheet(file_name: str, taken: "SheetTaken") -> None:
    """Say what importing a sheet did."""
    readings = f"{taken.new} reading{'' if taken.new == 1 else 's'}"
    already = f", {taken.present} the round already had" if taken.present else ""
    say(f"{file_name}: {readings} entered in round {taken.facts.name}{already}.")
    for sentence in taken.said:
        say(sentence)
    if taken.skipped:
        say(f"Skipped: {', '.join(taken.skipped)}.")
    if taken.blank:
        say(f"Left blank, still to read: {', '.join(taken.blank)}.")
    for sentence in taken.odd:
        warn(f"Look again: {sentence}")


def tell_report(report: "RoundReport") -> None:
    """Say what a round came to: missing, skipped, meters, what moved, what to do."""
    for sentence in report.words:
        warn(sentence)
    done = [stop for stop in report.stops if stop.readings]
    say(f"{len(done)} of {len(report.stops)} stops read.")
    for stop in report.stops:
        if stop.skipped is not None and not stop.readings and not stop.again:
            say(f"Skipped: {stop.span}, {stop.skipped}.")
    if report.missing:
        say(f"Missing: {', '.join(_called(stop) for stop in report.missing)}.")
    for sentence in words_of_rounds(report.shifts) or _nothing_of_meters(report):
        say(sentence)
    _tell_moved(report)
    if report.tasks:
        say("")
        say("To do:")
        rows = [[task.span, task.verdict, str(task.due_on or ""), task.what] for task in report.tasks]
        show_table(("span", "verdict", "due", "why"), rows)


def _nothing_of_meters(report: "RoundReport") -> list[str]:
    if not report.shifts or not report.compared:
        return []
    return ["The meters read as in the other rounds, within what they may differ by."]


def _tell_moved(report: "RoundReport") -> None:
    loud = [one for one in report.moved if not _is_quiet(one)]
    quiet: dict[tuple[str, str], int] = {}
    for one in report.moved:
        if _is_quiet(one):
            quiet[one.before, one.after] = quiet.get((one.before, one.after), 0) + 1
    if loud:
        say("")
        say("Moved since before this round:")
        show_table(("span", "before", "now", "why"), [[m.span, m.before, m.after, m.reason] for m in loud])
    elif report.shifts:
        say("No verdict moved for the worse.")
    for (before, after), count in quiet.items():
        say(f"{count} went from {before} to {after}.")


def _is_quiet(one: "Moved") -> bool:
    return not {one.before, one.after} & {"over limit", "stepped", "creeping"}


def _called(stop: "Stop") -> str:
    return f"{stop.span} at the end" if stop.again else stop.span


def _facts_of_task(task: "Task") -> dict[str, Any]:
    due_on = None if task.due_on is None else task.due_on.isoformat()
    return {"span": task.span, "verdict": task.verdict, "due_on": due_on, "what": task.what}


def _facts_of_stop(stop: "Stop") -> dict[str, Any]:
    return {
        "stop": stop.number, "span": stop.span, "place": stop.place, "where": stop.where or None,
        "expected_low_microohm": None if stop.expected is None else round(stop.expected.low_microohm, 4),
        "expected_high_microohm": None if stop.expected is None else round(stop.expected.high_microohm, 4),
        "readings": [_facts_of_seen(seen) for seen in stop.readings], "skipped": stop.skipped,
    }  # fmt: skip


def _facts_of_seen(seen: "Seen") -> dict[str, Any]:
    return {
        "entry": seen.identity, "taken_at": seen.taken_at, "drop_millivolt": seen.drop_millivolt,
        "current_ampere": seen.current_ampere, "joint_celsius": seen.joint_celsius, "polarity": seen.polarity,
    }  # fmt: skip
