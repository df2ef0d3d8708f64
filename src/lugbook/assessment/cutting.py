"""The cut list: which pieces come off which reel, with the least cable started."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, floor

from lugbook.assessment.reel_packing import Packing, pack_pieces
from lugbook.errors import LengthImpossible, PieceTooLong, StockTooShort

_ROUND_OFF = 1e-6  # millimetre; 1.2 m is 1200 mm although the float is a hair more


@dataclass(frozen=True, slots=True)
class Piece:
    """One cable to be cut."""

    name: str  # its tag: "C12"
    length_metre: float  # as cut; rounded up to whole millimetres
    conductor: str


@dataclass(frozen=True, slots=True)
class Reel:
    """Reels of one conductor and length, on hand or to be bought."""

    name: str
    length_metre: float  # rounded down to whole millimetres
    conductor: str
    count: int | None = 1  # None: as many as wanted


@dataclass(frozen=True, slots=True)
class CutReel:
    """One reel started and what is cut from it, longest first."""

    reel: str
    length_metre: float
    pieces: tuple[Piece, ...]
    left_metre: float


@dataclass(frozen=True, slots=True)
class CutList:
    """The cuts of one conductor."""

    conductor: str
    reels: tuple[CutReel, ...]  # fullest first; what is left over is mostly on the last
    needed_metre: float  # all pieces
    started_metre: float  # all reels started
    left_metre: float
    least_metre: float  # no set of these reels of less length is long enough
    proven: bool  # nothing shorter can hold the pieces

    @property
    def most_above_percent(self) -> float:
        """The cable started is no more than this above the least possible [%]."""
        return 0.0 if self.proven else 100 * (self.started_metre / self.least_metre - 1)


def plan_cuts(pieces: Sequence[Piece], reels: Sequence[Reel]) -> tuple[CutList, ...]:
    """A cut list for each conductor, in order of first mention.

    The total length of the reels started is the least that was found (`reel_packing`), then what is left over is
    brought together on one reel as far as single pieces can move. A saw takes no width from a cable.
    Raises LengthImpossible; PieceTooLong; StockTooShort where the reels of a conductor hold too little.
    """
    for piece in pieces:
        if not piece.length_metre > 0:
            raise LengthImpossible(f"length of {piece.name}", piece.length_metre)
    conductors = dict.fromkeys(piece.conductor for piece in pieces)
    return tuple(
        _plan_one(
            conductor,
            [piece for piece in pieces if piece.conductor == conductor],
            [reel for reel in reels if reel.conductor == conductor and reel.length_metre > 0],
        )
        for conductor in conductors
    )


def _plan_one(conductor: str, pieces: Sequence[Piece], reels: Sequence[Reel]) -> CutList:
    sizes = [ceil(1000 * piece.length_metre - _ROUND_OFF) for piece in pieces]
    lengths = [floor(1000 * reel.length_metre + _ROUND_OFF) for reel in reels]
    longest = max(range(len(pieces)), key=sizes.__getitem__)
    if reels and sizes[longest] > max(lengths):
        raise PieceTooLong(pieces[longest].name, sizes[longest] / 1000, max(lengths) / 1000)
    packing = pack_pieces(sizes, lengths, [reel.count for reel in reels]) if reels else None
    if packing is None:
        held = sum(length * (reel.count or 0) for length, reel in zip(lengths, reels, strict=True))
        raise StockTooShort(sum(sizes) / 1000, held / 1000)
    held_by = _gather_leftover(packing, sizes, lengths)
    cut = [
        CutReel(
            reel=reels[kind].name,
            length_metre=lengths[kind] / 1000,
            pieces=tuple(pieces[place] for place in sorted(held, key=lambda place: -sizes[place])),
            left_metre=(lengths[kind] - sum(sizes[place] for place in held)) / 1000,
        )
        for kind, held in held_by
    ]
    started = sum(lengths[kind] for kind, _ in held_by)
    return CutList(
        conductor=conductor,
        reels=tuple(sorted(cut, key=lambda one: one.left_metre)),
        needed_metre=sum(sizes) / 1000,
        started_metre=started / 1000,
        left_metre=(started - sum(sizes)) / 1000,
        least_metre=packing.least / 1000,
        proven=packing.proven or started == packing.least,
    )


def _gather_leftover(
    packing: Packing, sizes: Sequence[int], lengths: Sequence[int]
) -> list[tuple[int, list[int]]]:
    """Move single pieces off the reel with most left over while another has room: one long end is worth more."""
    held_by = [(one.kind, list(one.pieces)) for one in packing.reels]

    def left(one: tuple[int, list[int]]) -> int:
        return lengths[one[0]] - sum(sizes[place] for place in one[1])

    emptiest = max(held_by, key=left)
    for place in sorted(emptiest[1], key=lambda place: -sizes[place]):
        others = [one for one in held_by if one is not emptiest and left(one) >= sizes[place]]
        if others and len(emptiest[1]) > 1:
            min(others, key=left)[1].append(place)
            emptiest[1].remove(place)
    return held_by
