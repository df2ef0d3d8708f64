"""Which spans are read on the same visit: people go aboard once, not eleven times."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

TOGETHER_DAYS = 45
"""Spans due within so many days of the first of a visit are read on it, early rather than late: our assumption."""


def visit_days(due: Sequence[date], today: date, together_days: int = TOGETHER_DAYS) -> list[date]:
    """The day of the visit on which each span is read.

    A visit is on the day of the first span that is due, today where that is past; what falls due within
    `together_days` after it is read on it. So none is read later than it is due, unless it is overdue already.
    """
    days: dict[date, date] = {}
    visit: date | None = None
    for day in sorted({max(one, today) for one in due}):
        if visit is None or (day - visit).days > together_days:
            visit = day
        days[day] = visit
    return [days[max(one, today)] for one in due]
