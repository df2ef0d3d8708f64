"""When a span should be tested again, given its verdict and where it lives."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np

from lugbook.assessment.evidence import Floats, Whole

SOURCE = "common practice, no source"


@dataclass(frozen=True)
class Interval:
    """Bounds of the time from one test to the next."""

    longest_day: int
    shortest_day: int


# Our own stated assumption: a laid-up season at most where water comes, two where it does not.
INTERVALS: Mapping[str, Interval] = MappingProxyType(
    {
        "dry": Interval(730, 90),
        "engine": Interval(365, 30),
        "bilge": Interval(183, 14),
        "exposed": Interval(365, 30),
    }
)
UNKNOWN_PLACE = "bilge"  # a place we do not know is treated as the worst

# Why a day was chosen; the order is that of the codes in plan_days.
CODES = (
    "longest",
    "rate",
    "now",
    "few",
    "unread",
    "look again",
    "watch",
    "near limit",
    "check standard",
    "together",
)
LONGEST, RATE, NOW, FEW, UNREAD, LOOK_AGAIN, WATCH, NEAR_LIMIT, CHECK_STANDARD, TOGETHER = range(len(CODES))


@dataclass(frozen=True)
class DuePlan:
    """The day of the next test of each span; arrays of equal length."""

    day: Floats  # days since 1970-01-01; NaN for a check standard, which is read in every round
    code: Whole  # index into CODES


def plan_days(
    today: float,
    last_day: Floats,
    code: Whole,
    days_under_limit: Floats,
    longest_day: Floats,
    shortest_day: Floats,
) -> DuePlan:
    """The day for each span whose reason `code` is known.

    last_day: of its last reading (NaN: none); days_under_limit: how long after it the high end of the rate
    still keeps the span under its limit, used for RATE only. A day in the past means that the test is
    overdue.
    """
    wait = np.select(
        [code == RATE, code == FEW, code == WATCH, code == NEAR_LIMIT],
        [
            np.clip(days_under_limit, shortest_day, longest_day / 2),
            longest_day / 2,
            longest_day / 2,
            shortest_day,
        ],
        longest_day,
    )
    at_once = np.isin(code, (NOW, UNREAD, LOOK_AGAIN, TOGETHER)) | np.isnan(last_day)
    day = np.where(at_once, today, np.floor(last_day) + np.floor(wait))
    return DuePlan(np.where(code == CHECK_STANDARD, np.nan, day), code)


def interval_of(place: str, intervals: Mapping[str, Interval] = INTERVALS) -> Interval:
    """The bounds for a place; those of the worst place where it is not known."""
    return intervals.get(place) or intervals.get(UNKNOWN_PLACE) or INTERVALS[UNKNOWN_PLACE]


def word_next_test(code: str, place: str, interval: Interval) -> str:
    """One sentence: why that day."""
    article = "an" if place[:1] in "aeiou" else "a"
    wait = f"{word_days(interval.longest_day)} for {article} {place} place ({SOURCE})"
    return {
        "longest": f"Longest interval: {wait}.",
        "rate": (
            "It is creeping: the last day at which the high end of its rate keeps it under its limit, but not "
            f"sooner than {word_days(interval.shortest_day)} and not later than half of {wait}."
        ),
        "now": "Service it, or read it again, now.",
        "few": f"Too few readings to judge: half of {wait}.",
        "unread": "It has not been read yet: read it now.",
        "look again": "The last reading stands alone: read it again now, with fresh probe places.",
        "together": "All spans rose together: read a check standard, or use another meter and clamp, now.",
        "watch": f"It may be creeping: half of {wait}.",
        "near limit": f"It is close to its limit: the shortest interval, {word_days(interval.shortest_day)}.",
        "check standard": "A check standard is read in every round.",
    }[code]


def word_days(days: int) -> str:
    """Whole months where it is about that, else days."""
    months = round(days / 30.4)
    if days >= 59 and abs(days - months * 30.4) <= 3:
        return f"{months} months"
    return f"{days} days"
