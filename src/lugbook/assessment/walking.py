"""In which order the spans of a build are walked."""

from __future__ import annotations

from collections.abc import Sequence


def walking_order(places: Sequence[str], walked_at: Sequence[str | None]) -> list[int]:
    """The spans, given in the order of the book, in walking order: place by place, each as it was walked last.

    walked_at: when each was read in the last round, None where it was not. A span that was not read then comes
    after the one before it in the book of the same place; a place nobody was in comes last.
    """
    known: dict[str, str] = {}
    first: dict[str, str] = {}
    keys = []
    for number, (place, when) in enumerate(zip(places, walked_at, strict=True)):
        if when is not None:
            first[place] = min(first.get(place, when), when)
            known[place] = when
        keys.append((place, when or known.get(place, ""), number))
    met = {place: number for number, place in reversed(list(enumerate(places)))}

    def key(number: int) -> tuple[bool, str, int, str, int]:
        place, when, _ = keys[number]
        return place not in first, first.get(place, ""), met[place], when, number

    return sorted(range(len(places)), key=key)
