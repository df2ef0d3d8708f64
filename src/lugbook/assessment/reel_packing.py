"""How pieces of given lengths are cut from reels of given lengths so that the reels started are least."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import accumulate, islice
from random import Random

_MOST_NODES = 20_000  # of one search for a way to fit all pieces into one set of reels
_MOST_SETS = 150  # sets of reels tried
_MOST_STEPS = 600_000  # pieces placed by all ways to fill and all searches of one list; then all reels are taken
_MOST_LOOKED_AT = 3_000  # sets of reels looked at, most of them for having too few places
_SETS_PER_TOTAL = 4  # of sets with the same total length
_SHUFFLES = 200  # ways to start filling that are tried before the search


@dataclass(frozen=True, slots=True)
class PackedReel:
    """One reel started."""

    kind: int  # place in the list of reel lengths
    pieces: tuple[int, ...]  # places in the list of pieces


@dataclass(frozen=True, slots=True)
class Packing:
    """A way to cut all pieces."""

    reels: tuple[PackedReel, ...]
    least: int  # no set of reels of less total length is long enough
    proven: bool  # nothing shorter can hold the pieces: all were searched to the end


def pack_pieces(
    pieces: Sequence[int], lengths: Sequence[int], counts: Sequence[int | None]
) -> Packing | None:
    """Cut `pieces` from reels of `lengths`, of which there are `counts` (None: as many as wanted); all whole mm.

    Sets of reels are tried in order of total length from the least that is long enough, but for those that have too
    few places for the longest pieces. For each, reels are filled one by one by subset sums, first in order and then
    shuffled (fixed seed), and then a depth-first search places the longest piece first, best fit first, giving up a
    branch whose ends too short for any piece left exceed what the set has to spare. The first set that holds all is
    taken, so the total is the least possible where all shorter sets were searched to the end, which `proven` says.
    Where too many sets fail, all reels there are are taken, and given back one by one. No width is lost to a cut.
    None where nothing was found.
    """
    order = sorted(range(len(pieces)), key=lambda place: -pieces[place])
    sizes = [pieces[place] for place in order]
    places, effort = _Places(sizes), _Effort(_MOST_STEPS)
    proven, least, tried = True, 0, 0
    found: _Held | None = None
    for kinds, whole in islice(_sets(sum(sizes), len(sizes), lengths, counts), _MOST_LOOKED_AT):
        bins = [lengths[kind] for kind in kinds]
        least = least or sum(bins)
        if places.suffice(bins):
            held, searched = _fit(sizes, bins, effort)
            if held is not None:
                found = kinds, held
                break
            proven, tried = proven and searched, tried + 1
        proven = proven and whole
        if tried == _MOST_SETS or effort.left <= 0:
            break
    if found is None:
        found, proven = _from_all_reels(sizes, lengths, counts), False
    if found is None:
        return None
    reels = [
        PackedReel(kind, tuple(order[item] for item in items))
        for kind, items in zip(*found, strict=True)
        if items
    ]
    return Packing(tuple(reels), least, proven)


@dataclass(slots=True)
class _Effort:
    """What may still be done, in pieces placed."""

    left: int


_Held = tuple[list[int], list[list[int]]]
"""The kinds of some reels, and the items that each of them holds."""


class _Places:
    """How many of the longest pieces a set of reels can hold at most, by number alone."""

    def __init__(self, sizes: Sequence[int]) -> None:
        # Of the j longest the shortest come first: as many as fit into a reel are no fewer than any j of them.
        self._sums = [list(accumulate(reversed(sizes[:count]))) for count in range(1, len(sizes) + 1)]

    def suffice(self, bins: Sequence[int]) -> bool:
        """False where the j longest pieces cannot all be held, for some j: however they are placed."""
        return all(sum(bisect_right(sums, one) for one in bins) >= len(sums) for sums in self._sums)


def _from_all_reels(
    sizes: Sequence[int], lengths: Sequence[int], counts: Sequence[int | None]
) -> _Held | None:
    """The pieces in all reels there are, and then in as few of them as do without one, the longest given back first."""
    kinds = [
        kind
        for kind in sorted(range(len(lengths)), key=lambda kind: -lengths[kind])
        for _ in range(_most(counts[kind], len(sizes)))
    ]
    effort = _Effort(_MOST_STEPS)
    held, _ = _fit(sizes, [lengths[kind] for kind in kinds], effort)
    if held is None:
        return None
    kinds, held = _used(kinds, held)
    place = 0
    while place < len(kinds) and effort.left > 0:
        fewer = kinds[:place] + kinds[place + 1 :]
        again, _ = _fit(sizes, [lengths[kind] for kind in fewer], effort)
        if again is None:
            place += 1
        else:
            kinds, held = _used(fewer, again)
    return kinds, held


def _used(kinds: Sequence[int], held: Sequence[list[int]]) -> _Held:
    pairs = [(kind, items) for kind, items in zip(kinds, held, strict=True) if items]
    return [kind for kind, _ in pairs], [items for _, items in pairs]


def _most(count: int | None, pieces: int) -> int:
    return pieces if count is None else min(pieces, count)


def _sets(
    needed: int, pieces: int, lengths: Sequence[int], counts: Sequence[int | None]
) -> Iterator[tuple[list[int], bool]]:
    """Sets of reels (kinds, longest reel first) by total length, and whether all sets of that total are given."""
    most = [_most(count, pieces) for count in counts]
    highest = 2 * needed + max(
        lengths
    )  # any two reels of a best set hold more than the longer, or one could go
    reachable = [1]
    for length, count in zip(lengths, most, strict=True):
        reachable.append(_add_reels(reachable[-1], length, count, highest))
    totals = reachable[-1] >> needed
    total = needed
    while totals:
        step = (totals & -totals).bit_length() - 1
        total, totals = total + step, totals >> (step + 1)
        found = list(islice(_ways(total, len(lengths), lengths, most, reachable), _SETS_PER_TOTAL + 1))
        for kinds in found[:_SETS_PER_TOTAL]:
            yield sorted(kinds, key=lambda kind: -lengths[kind]), len(found) <= _SETS_PER_TOTAL
        total += 1


def _add_reels(sums: int, length: int, count: int, highest: int) -> int:
    """The totals (as bits) that can be made with up to `count` more reels of `length`."""
    mask = (1 << (highest + 1)) - 1
    added = sums
    for _ in range(min(count, highest // length)):
        sums = (sums << length) & mask
        added |= sums
    return added


def _ways(
    total: int, kinds: int, lengths: Sequence[int], most: Sequence[int], reachable: Sequence[int]
) -> Iterator[list[int]]:
    """Sets of reels of the first `kinds` kinds with exactly this total."""
    if kinds == 0:
        if total == 0:
            yield []
        return
    kind = kinds - 1
    for count in range(min(most[kind], total // lengths[kind]), -1, -1):
        rest = total - count * lengths[kind]
        if reachable[kind] >> rest & 1:
            for way in _ways(rest, kind, lengths, most, reachable):
                yield way + [kind] * count


def _fit(
    sizes: Sequence[int], bins: Sequence[int], effort: _Effort
) -> tuple[list[list[int]] | None, bool]:
    """Items of each bin, or None; and whether None is proved. `sizes` from the longest down."""
    if sizes and sizes[0] > max(bins, default=0):
        return None, True
    random = Random(0)
    for shuffle in range(_SHUFFLES):
        effort.left -= len(sizes)
        if effort.left <= 0:
            return None, False
        held = _fill_one_by_one(sizes, bins, random if shuffle else None)
        if held is not None:
            return held, True
    return _Search(sizes, bins, effort).run()


def _fill_one_by_one(
    sizes: Sequence[int], bins: Sequence[int], random: Random | None
) -> list[list[int]] | None:
    """Fill each bin as full as it gets, with the longest piece left, or a random one, in it."""
    left = list(range(len(sizes)))
    turns = list(range(len(bins)))
    if random is None:
        turns.sort(key=lambda place: bins[place])
    else:
        random.shuffle(turns)
    held: list[list[int]] = [[] for _ in bins]
    for place in turns:
        fitting = [item for item in left if sizes[item] <= bins[place]]
        if not fitting:
            continue
        first = fitting[0] if random is None or random.random() < 0.7 else random.choice(fitting)
        rest = [item for item in fitting if item != first]
        if random is not None:
            random.shuffle(rest)
        held[place] = [first, *_fullest(rest, sizes, bins[place] - sizes[first])]
        taken = set(held[place])
        left = [item for item in left if item not in taken]
    return None if left else held


def _fullest(items: Sequence[int], sizes: Sequence[int], room: int) -> list[int]:
    """Items whose sizes come nearest to `room` from below (subset sum; sums as the bits of one number)."""
    mask = (1 << (room + 1)) - 1
    sums = [1]
    for item in items:
        sums.append((sums[-1] | sums[-1] << sizes[item]) & mask)
        if sums[-1] >> room & 1:
            break
    target = sums[-1].bit_length() - 1
    chosen = []
    for place in range(len(sums) - 2, -1, -1):
        if not sums[place] >> target & 1:
            chosen.append(items[place])
            target -= sizes[items[place]]
    return chosen


class _Search:
    """Depth-first search for a way to hold all pieces."""

    def __init__(self, sizes: Sequence[int], bins: Sequence[int], effort: _Effort) -> None:
        self.effort = effort
        self.sizes, self.room = sizes, list(bins)
        self.spare = sum(bins) - sum(sizes)
        self.held: list[list[int]] = [[] for _ in bins]
        self.nodes = 0

    def run(self) -> tuple[list[list[int]] | None, bool]:
        """What each bin holds, or None; and whether that is proved."""
        if len(self.sizes) > 300:  # deeper than the interpreter likes to go
            return None, False
        if self._place(0):
            return self.held, True
        return None, not self._tired()

    def _place(self, item: int) -> bool:
        if item == len(self.sizes):
            return True
        self.nodes += 1
        self.effort.left -= 1
        if self._tired() or self._too_much_lost():
            return False
        tried: set[int] = set()
        for place in sorted(range(len(self.room)), key=self.room.__getitem__):
            if self.room[place] < self.sizes[item] or self.room[place] in tried:
                continue
            tried.add(self.room[place])
            self.room[place] -= self.sizes[item]
            self.held[place].append(item)
            if self._place(item + 1):
                return True
            self.held[place].pop()
            self.room[place] += self.sizes[item]
            if self._tired() or self.room[place] == self.sizes[item]:
                return False  # of a perfect fit that fails: no other place for this piece can do better
        return False

    def _tired(self) -> bool:
        return self.nodes > _MOST_NODES or self.effort.left <= 0

    def _too_much_lost(self) -> bool:
        shortest = self.sizes[-1]
        return sum(room for room in self.room if room < shortest) > self.spare
