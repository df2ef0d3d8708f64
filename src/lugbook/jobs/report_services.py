"""Work on spans as a report tells it: what was found, what was left, and whether it was over its limit."""

from __future__ import annotations

from lugbook.jobs.as_made import Worth
from lugbook.jobs.directory import Row
from lugbook.jobs.report_scope import Scope
from lugbook.jobs.report_terminals import word_torque
from lugbook.records.tables import Service, Span
from lugbook.reports.workmanship import ServiceLine, StagedValue
from lugbook.units.wording import word_number, word_with_uncertainty

Staged = dict[tuple[int, str, str], list[Row]]
"""Readings by span, UTC day and stage."""


def service_lines(scope: Scope) -> tuple[ServiceLine, ...]:
    """Work on spans by time, with what was read as found and as left on that day."""
    current = scope.directory.history.current
    staged: Staged = {}
    for row in scope.readings():
        if row["stage"]:
            key = (current(row["span_id"]), row["taken_at"][:10], row["stage"])
            staged.setdefault(key, []).append(row)
    worth = Worth(scope.connection, scope.on, scope.build["name"]) if staged else None
    return tuple(_service(scope, row, staged, worth) for row in scope.rows(Service, "serviced_at"))


def _service(scope: Scope, row: Row, staged: Staged, worth: Worth | None) -> ServiceLine:
    span, day = scope.directory.row(Span, row["span_id"]), row["serviced_at"][:10]
    limit = span["limit_microohm"]
    found, left = (
        _value(staged.get((span["id"], day, stage), []), worth, limit) for stage in ("as found", "as left")
    )
    return ServiceLine(
        on=scope.day(row["serviced_at"]),
        span=span["tag"],
        action=row["action"],
        by=scope.person(row["operator_id"]),
        found=found,
        left=left,
        limit="" if limit is None else f"{limit:g} µΩ",
        torque=word_torque(row["torque_newton_metre"]) if row["torque_newton_metre"] else "",
        note=scope.free(row["note"]),
    )


def _value(rows: list[Row], worth: Worth | None, limit: float | None) -> StagedValue | None:
    """What the readings of one stage come to; None where there are none that can be used."""
    usable = [row for row in rows if worth is not None and row["id"] in worth.place]
    if not usable or worth is None:
        return None
    microohm, u_microohm = worth.of([row["id"] for row in usable])
    last = usable[-1]
    return StagedValue(
        short=word_number(microohm),
        value=word_with_uncertainty(microohm, u_microohm, "microohm"),
        seen=f"{last['drop_millivolt']:g} mV at {last['current_ampere']:g} A",
        is_over=limit is not None and microohm > limit,
    )
