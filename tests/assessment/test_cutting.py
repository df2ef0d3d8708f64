"""Cables are cut from reels with little left over: against every way there is, and against a lower bound."""

import random
from collections.abc import Sequence
from functools import cache
from itertools import pairwise

import pytest

from lugbook.assessment import reel_packing
from lugbook.assessment.cutting import Piece, Reel, plan_cuts
from lugbook.assessment.reel_packing import pack_pieces
from lugbook.errors import LengthImpossible, PieceTooLong, StockTooShort


def least_of_all_ways(
    pieces: Sequence[int], lengths: Sequence[int], counts: Sequence[int | None]
) -> int | None:
    """The least total of reels that hold all pieces, by trying all ways; None where none does."""
    everything = (1 << len(pieces)) - 1
    total = [
        sum(size for place, size in enumerate(pieces) if held >> place & 1) for held in range(everything + 1)
    ]

    @cache
    def least(done: int, left: tuple[int | None, ...]) -> float:
        if done == everything:
            return 0
        rest, best = everything & ~done, float("inf")
        held = rest
        while held:
            if held & (rest & -rest):  # the first piece not yet cut
                for kind, length in enumerate(lengths):
                    count = left[kind]
                    if count != 0 and total[held] <= length:
                        fewer = None if count is None else count - 1
                        after = (*left[:kind], fewer, *left[kind + 1 :])
                        best = min(best, length + least(done | held, after))
            held = (held - 1) & rest
        return best

    found = least(0, tuple(counts))
    return None if found == float("inf") else int(found)


def cut_up(reels: int, length: int, offcut: int, chance: random.Random) -> list[int]:
    """Pieces that were cut from so many reels of one length, all but an offcut of each; the order forgotten."""
    pieces = []
    for _ in range(reels):
        used = length - offcut
        cuts = [0, *sorted(chance.sample(range(300, used - 300), chance.randint(1, 5))), used]
        pieces += [end - start for start, end in pairwise(cuts)]
    chance.shuffle(pieces)
    return pieces


def invent_stock(kind: int, chance: random.Random) -> tuple[list[int], list[int | None]]:
    if kind == 0:
        return [chance.choice([10_000, 15_000, 20_000, 30_000])], [None]
    if kind == 1:
        return [10_000, 25_000, 50_000], [None, None, None]
    return [chance.randint(9_000, 20_000) for _ in range(4)], [chance.choice([1, 2, None]) for _ in range(4)]


def test_a_hundred_small_lists_are_cut_as_well_as_can_be() -> None:
    chance = random.Random(7)
    for number in range(100):
        pieces = [chance.randint(300, 9_000) for _ in range(chance.randint(3, 7))]
        lengths, counts = invent_stock(number % 3, chance)
        best = least_of_all_ways(pieces, lengths, counts)

        found = pack_pieces(pieces, lengths, counts)

        assert (found is None) == (best is None)
        if found is not None:
            assert sum(lengths[reel.kind] for reel in found.reels) == best
            assert best is not None
            assert found.least <= best
            held_once(found.reels, pieces, lengths, counts)


@pytest.mark.parametrize(
    ("most_reels", "offcut_share"),
    [
        pytest.param(8, 0.0, id="not a millimetre to spare"),
        pytest.param(15, 0.005, id="half a percent to spare"),
    ],
)
def test_fifty_longer_lists_are_cut_from_the_reels_they_came_from(
    most_reels: int, offcut_share: float
) -> None:
    chance = random.Random(8)
    for _ in range(50):
        reels, length = chance.randint(2, most_reels), chance.choice([10_000, 20_000, 30_000])
        pieces = cut_up(reels, length, int(offcut_share * length), chance)

        found = pack_pieces(pieces, [length], [None])

        assert found is not None
        assert len(found.reels) == reels  # fewer cannot hold them
        held_once(found.reels, pieces, [length], [None])


def unequal_remnants(chance: random.Random) -> tuple[list[int], list[int]]:
    """Pieces, and as many remnants again that each hold one or two of them and waste much."""
    remnants = [chance.randint(800, 4000) for _ in range(20)]
    pieces = []
    for length in remnants:
        shares = chance.choice([(0.6,), (0.8,), (0.3, 0.5)])
        pieces += [int(length * share) for share in shares]
    chance.shuffle(pieces)
    return pieces, remnants


@pytest.mark.parametrize("seed", range(4))
def test_many_unequal_remnants_that_hold_the_list_are_found_to_do_so_with_bounded_work(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    pieces, remnants = unequal_remnants(random.Random(seed))
    most = 60_000
    monkeypatch.setattr(reel_packing, "_MOST_STEPS", most)
    placed = 0
    fill, place = reel_packing._fill_one_by_one, reel_packing._Search._place

    def fill_counted(sizes, bins, chance):  # type: ignore[no-untyped-def]
        nonlocal placed
        placed += len(sizes)
        return fill(sizes, bins, chance)

    def place_counted(self, item):  # type: ignore[no-untyped-def]
        nonlocal placed
        placed += 1
        return place(self, item)

    monkeypatch.setattr(reel_packing, "_fill_one_by_one", fill_counted)
    monkeypatch.setattr(reel_packing._Search, "_place", place_counted)

    found = pack_pieces(pieces, remnants, [1] * len(remnants))

    assert found is not None
    held_once(found.reels, pieces, remnants, [1] * len(remnants))
    # What looks for the least set is bounded, and so is what gives reels back; each may end one turn late.
    assert placed <= 2 * (most + len(pieces))
    assert not found.proven


def test_a_set_with_too_few_places_for_its_longest_pieces_is_not_searched(monkeypatch: pytest.MonkeyPatch) -> None:
    # Nine pieces of 6 m take nine reels of 10 m; shorter sets of 6, 7 and 8 reels are long enough and cannot hold them.
    fitted = []
    fit = reel_packing._fit

    def fit_noted(sizes, bins, effort):  # type: ignore[no-untyped-def]
        fitted.append(len(bins))
        return fit(sizes, bins, effort)

    monkeypatch.setattr(reel_packing, "_fit", fit_noted)

    found = pack_pieces([6000] * 9, [10_000], [None])

    assert found is not None
    assert (len(found.reels), found.proven, fitted) == (9, True, [9])


def held_once(
    reels: Sequence, pieces: Sequence[int], lengths: Sequence[int], counts: Sequence[int | None]
) -> None:
    """Each piece is cut once, no reel gives more than it has, and no more reels are used than there are."""
    assert sorted(place for reel in reels for place in reel.pieces) == list(range(len(pieces)))
    for reel in reels:
        assert sum(pieces[place] for place in reel.pieces) <= lengths[reel.kind]
    for kind, count in enumerate(counts):
        assert count is None or sum(reel.kind == kind for reel in reels) <= count


def test_a_list_of_two_conductors_becomes_two_cut_lists() -> None:
    pieces = [Piece("C1", 3.2, "2/0 red"), Piece("C2", 6.8, "2/0 red"), Piece("C3", 1.0, "6 black")]
    reels = [Reel("A", 10.0, "2/0 red"), Reel("B", 30.0, "2/0 red"), Reel("C", 5.0, "6 black")]

    heavy, thin = plan_cuts(pieces, reels)

    assert (heavy.conductor, heavy.started_metre, heavy.left_metre, heavy.proven) == (
        "2/0 red",
        10.0,
        0.0,
        True,
    )
    assert [(reel.reel, [piece.name for piece in reel.pieces]) for reel in heavy.reels] == [
        ("A", ["C2", "C1"])
    ]
    assert (thin.needed_metre, thin.left_metre, thin.most_above_percent) == (1.0, 4.0, 0.0)


def test_what_is_left_over_is_kept_in_one_piece() -> None:
    pieces = [Piece(f"C{n}", metre, "c") for n, metre in enumerate((4.0, 4.0, 2.0, 1.5), 1)]

    (found,) = plan_cuts(pieces, [Reel("A", 10.0, "c", count=2)])

    assert [reel.left_metre for reel in found.reels] == [0.0, 8.5]


@pytest.mark.parametrize(
    ("metres", "reels", "refusal", "sentence"),
    [
        pytest.param(
            (12.0,), [("A", 10.0, 3)], PieceTooLong,
            "C1 needs 12 m in one piece and the longest reel has 10 m; add a longer reel, or plan a joint on purpose.",
            id="longer than any reel",
        ),
        pytest.param(
            (6.0, 6.0), [("A", 10.0, 1)], StockTooShort,
            "The list needs 12 m and the reels hold 10 m; add a reel.", id="too few metres",
        ),
        pytest.param(
            (6.0, 6.0, 6.0), [("A", 10.0, 2)], StockTooShort,
            "The list needs 18 m and the reels hold 20 m, but no way was found to cut every piece whole; add a reel.",
            id="enough metres, but in no whole pieces",
        ),
        pytest.param((6.0,), [], StockTooShort, "The list needs 6 m and the reels hold 0 m; add a reel.", id="no reel"),
        pytest.param(
            (0.0,), [("A", 10.0, 1)], LengthImpossible,
            "The length of C1 of 0 m cannot be; look again at the number and its unit.", id="a cut of nothing",
        ),
    ],
)  # fmt: skip
def test_a_list_that_cannot_be_cut_is_refused(
    metres: tuple[float, ...], reels: list[tuple[str, float, int]], refusal: type[Exception], sentence: str
) -> None:
    pieces = [Piece(f"C{number}", metre, "c") for number, metre in enumerate(metres, 1)]

    with pytest.raises(refusal) as refused:
        plan_cuts(pieces, [Reel(name, metre, "c", count) for name, metre, count in reels])

    assert str(refused.value) == sentence


def test_a_length_to_the_millimetre_fits_where_its_float_is_a_hair_more() -> None:
    pieces = [Piece("C1", 0.1 + 0.2, "c"), Piece("C2", 0.7, "c")]

    (found,) = plan_cuts(pieces, [Reel("A", 1.0, "c")])

    assert found.left_metre == 0.0
