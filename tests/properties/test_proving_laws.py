"""Laws of bounds, choices and cut lists."""

from hypothesis import given
from hypothesis import strategies as st

from lugbook.assessment.reel_packing import pack_pieces
from lugbook.inference.choosing import choose_best
from lugbook.inference.samples import summarise_samples
from lugbook.inference.tolerance import k_factor

NEWTONS = st.lists(st.integers(500, 20_000).map(float), min_size=2, max_size=8)


@given(st.integers(2, 60), st.sampled_from([0.9, 0.95, 0.99]))
def test_more_samples_or_a_smaller_share_take_less_from_the_mean(count: int, share: float) -> None:
    assert k_factor(count + 1, share) < k_factor(count, share)
    assert k_factor(count, share) < k_factor(count, share + 0.005)
    assert k_factor(count, share, 0.90) < k_factor(count, share, 0.95)


@given(NEWTONS, st.randoms(use_true_random=False))
def test_the_order_of_samples_does_not_matter(newtons: list[float], chance: object) -> None:
    shuffled = list(newtons)
    chance.shuffle(shuffled)  # type: ignore[attr-defined]

    first, second = summarise_samples(newtons), summarise_samples(shuffled)

    assert (first.mean, first.sd, first.lower_bound) == (second.mean, second.sd, second.lower_bound)
    assert {newtons[place] for place in first.outliers} == {shuffled[place] for place in second.outliers}


@given(st.dictionaries(st.sampled_from("ABCD"), NEWTONS, min_size=2))
def test_the_chosen_one_has_the_greatest_mean_and_a_choice_is_never_half_made(
    samples: dict[str, list[float]],
) -> None:
    found = choose_best(samples)

    least = min(one.behind for one in found.ranked)
    leaders = {one.name for one in found.ranked if one.behind == least}
    assert found.chosen is None or found.chosen in leaders
    assert found.contenders[0] in leaders
    assert found.chosen in (None, found.contenders[0])
    assert len(found.ranked) == len(samples)


@given(st.dictionaries(st.sampled_from("ABCD"), NEWTONS, min_size=2))
def test_a_choice_does_not_depend_on_the_unit(samples: dict[str, list[float]]) -> None:
    doubled = {name: [2 * newton for newton in newtons] for name, newtons in samples.items()}

    assert choose_best(doubled).chosen == choose_best(samples).chosen


@given(st.lists(st.integers(100, 5_000), min_size=1, max_size=25), st.integers(5_000, 30_000))
def test_every_piece_is_cut_once_and_no_reel_gives_more_than_it_has(pieces: list[int], length: int) -> None:
    found = pack_pieces(pieces, [length], [None])

    assert found is not None
    assert sorted(place for reel in found.reels for place in reel.pieces) == list(range(len(pieces)))
    assert all(sum(pieces[place] for place in reel.pieces) <= length for reel in found.reels)
    assert found.least <= length * len(found.reels)
