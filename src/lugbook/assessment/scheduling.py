"""When a span should be tested again: the latest day on which it is still unlikely to be over its limit."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np

from lugbook.assessment.evidence import Flags, Floats, Whole
from lugbook.inference.forecast import Outlook, chance_over, latest_years
from lugbook.inference.rounds import DAYS_PER_YEAR
from lugbook.units.wording import word_chance

SOURCE = "common practice, no source"


@dataclass(frozen=True)
class Interval:
    """Bounds of the time from one test to the next."""

    longest_day: int
    shortest_day: int


# Our own stated assumption: two seasons at most where water comes, three where it is wet or shakes, four where dry.
INTERVALS: Mapping[str, Interval] = MappingProxyType(
    {
        "dry": Interval(1461, 90),
        "engine": Interval(1096, 30),
        "bilge": Interval(731, 14),
        "exposed": Interval(1096, 30),
    }
)
# How often a steady span of a place begins to creep, a year. No figure was found in print: our assumption, which a
# book's own spans outweigh once they have been watched for ONSET_YEARS span-years.
ONSETS_PER_YEAR: Mapping[str, float] = MappingProxyType(
    {"dry": 0.005, "engine": 0.012, "bilge": 0.03, "exposed": 0.02}
)
ONSET_YEARS = 50.0
# A span that creeps, and one whose series is younger than FIRST_UP_TO_DAY, is looked at again sooner: our assumption.
LONGEST_OF_CREEPING, LONGEST_OF_FIRST_DAY, FIRST_UP_TO_DAY = 0.5, 365, 180
UNKNOWN_PLACE = "bilge"  # a place we do not know is treated as the worst
# Chance of being over its limit at a test that is accepted in ACCEPTED_YEARS of a span, spent evenly: a wait of t
# years may cost t/50 of 5 %, one in a thousand a year. By what hangs on the span: our assumption.
ACCEPTED_RISK, ACCEPTED_YEARS = 0.05, 50.0
ACCEPTED_BY_DUTY: Mapping[str, float] = MappingProxyType(
    {"starting": 0.02, "steering": 0.02, "bilge pump": 0.02, "grounding": 0.02}
)
# A visit may take a span along once this part of its wait has passed, or until its chance is so many times the
# accepted one: people go aboard once, not eleven times. Our assumption.
EARLY_FROM, LATE_UP_TO = 0.75, 1.25

# Why a day was chosen.
CODES = ("risk", "longest", "mend", "now", "unread", "look again", "check standard", "together")
RISK, LONGEST, MEND, NOW, UNREAD, LOOK_AGAIN, CHECK_STANDARD, TOGETHER = range(len(CODES))
AT_ONCE = (NOW, UNREAD, LOOK_AGAIN, TOGETHER)


@dataclass(frozen=True)
class DuePlan:
    """The day of the next test of each span; arrays of equal length, days since 1970-01-01."""

    own_day: Floats  # the latest by its own chance; NaN for a check standard, which is read in every round
    day: Floats  # of the visit that takes it along
    code: Whole  # index into CODES; MEND: it should not be waited for longer than that day
    chance: Floats  # of being over its limit on own_day; NaN where it was not asked
    accepted: Floats
    companions: Whole  # other spans of the same visit
    longest_day: Floats  # the longest interval of each


def plan_tests(
    today: float,
    last_day: Floats,
    forced: Whole,
    creeps: Flags,
    outlook: Outlook,
    accepted: Floats,
    shortest_day: Floats,
    longest_day: Floats,
) -> DuePlan:
    """The day of each span (J,). A day in the past means that the test is overdue.

    last_day: of its last reading (NaN: none); forced: a code that decides by itself, or RISK. For the others the
    latest day at which chance_over is at most `accepted`, within the bounds for its place. One that surely `creeps` and
    cannot wait its longest interval is to be mended by then: to come back again and again would take the accepted
    chance each time.
    """
    at_once = np.isin(forced, AT_ONCE) | np.isnan(last_day)
    asked = ~at_once & (forced != CHECK_STANDARD)
    shortest, longest = shortest_day / DAYS_PER_YEAR, longest_day / DAYS_PER_YEAR
    wait, latest, chance = (np.full(len(last_day), np.nan) for _ in range(3))
    if asked.any():
        some, bounds = outlook.take(asked), (shortest[asked], longest[asked])
        pace = accepted[asked] / ACCEPTED_YEARS
        wait[asked] = latest_years(some, pace, *bounds)
        latest[asked] = latest_years(some, LATE_UP_TO * pace, *bounds)
        chance[asked] = chance_over(some, wait[asked])
    code = np.where(asked, _which_bound(wait, longest, creeps | (chance > accepted)), forced)
    own_day = np.where(at_once, today, np.floor(last_day + wait * DAYS_PER_YEAR))
    own_day = np.where(code == CHECK_STANDARD, np.nan, own_day)
    early = np.where(asked, np.floor(last_day + EARLY_FROM * wait * DAYS_PER_YEAR), own_day)
    late = np.where(asked, np.floor(last_day + latest * DAYS_PER_YEAR), own_day)
    day = group_visits(early, np.fmax(late, own_day))
    return DuePlan(own_day, day, code, chance, accepted, _companions(day), longest_day)


def _which_bound(wait: Floats, longest: Floats, cannot_wait: Flags) -> Whole:
    return np.where(wait >= longest, LONGEST, np.where(cannot_wait, MEND, RISK))


def group_visits(early: Floats, late: Floats) -> Floats:
    """A day for each span within its window (days, early <= late), on as few days as possible; NaN stays NaN.

    Each visit is on the last day that the most urgent span allows, and takes along all whose window is open then:
    the fewest points that meet every interval (the textbook's greedy choice).
    """
    day = np.full(len(late), np.nan)
    for place in np.argsort(late, kind="stable").tolist():
        if np.isnan(late[place]):
            break
        if np.isnan(day[place]):
            along: Flags = np.isnan(day) & (early <= late[place])
            day[along] = late[place]
    return day


def _companions(day: Floats) -> Whole:
    known = ~np.isnan(day)
    _, place, count = np.unique(day[known], return_inverse=True, return_counts=True)
    companions = np.zeros(len(day), np.int64)
    companions[known] = count[place] - 1
    return companions


def interval_of(place: str, intervals: Mapping[str, Interval] = INTERVALS) -> Interval:
    """The bounds for a place; those of the worst place where it is not known."""
    return intervals.get(place) or intervals.get(UNKNOWN_PLACE) or INTERVALS[UNKNOWN_PLACE]


@dataclass(frozen=True)
class DayFacts:
    """What is said about the day of one span."""

    code: str
    place: str
    duty: str | None
    longest_day: int  # the interval that bounds it
    of_place_day: int  # the longest for its place
    chance: float
    limit: str  # "its limit", or what was taken for one
    creep: str  # '' or what is known of its creep
    moved_days: int  # the visit is so many days after its own day; before: negative
    companions: int


def word_next_test(facts: DayFacts) -> str:
    """Why that day, in one or two sentences."""
    accepted = "what is accepted" + (f" of a {facts.duty} span" if facts.duty else "")
    chance = f"the chance of being over {facts.limit} by then"
    size = word_chance(facts.chance)
    said = {
        "longest": (f"Longest interval, {word_days(facts.longest_day)} {_where(facts)}; {chance} is {size}"),
        "risk": f"{chance[0].upper()}{chance[1:]} is {size}, {accepted}",
        "mend": f"Mend it by then: {chance} is {size}, {accepted}",
        "now": "Service it, or read it again, now",
        "unread": "It has not been read yet: read it now",
        "look again": "The last reading stands alone: read it again now, with fresh probe places",
        "together": "All spans rose together: read a check standard, or use another meter and clamp, now",
        "check standard": "A check standard is read in every round",
    }[facts.code]
    return f"{said}{facts.creep}.{_with_others(facts)}"


def _where(facts: DayFacts) -> str:
    """What the longest interval is the longest for."""
    article = "an" if facts.place[:1] in "aeiou" else "a"
    place = f"{article} {facts.place} place ({SOURCE})"
    if facts.longest_day == facts.of_place_day:
        return f"for {place}"
    return f"{'while it creeps' if facts.creep else 'as it was first read lately'}, in {place}"


def _with_others(facts: DayFacts) -> str:
    if facts.companions == 0 or facts.moved_days == 0:
        return ""
    others = "another span" if facts.companions == 1 else f"{facts.companions} other spans"
    return f" On one visit with {others}."


def word_days(days: int) -> str:
    """Whole months where it is about that, else days."""
    months = round(days / 30.4)
    if days >= 59 and abs(days - months * 30.4) <= 3:
        return f"{months} months"
    return f"{days} day{'' if days == 1 else 's'}"
