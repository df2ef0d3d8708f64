"""The order in which spans are walked."""

from lugbook.assessment.walking import walking_order


def walked(*spans: tuple[str, str | None]) -> list[int]:
    """The order of spans given as (place, when they were walked last)."""
    return walking_order([place for place, _ in spans], [when for _, when in spans])


def test_nobody_ever_walked_it_place_by_place_in_the_order_of_the_book() -> None:
    assert walked(("engine", None), ("bilge", None), ("engine", None), ("bilge", None)) == [0, 2, 1, 3]


def test_it_is_walked_as_last_time() -> None:
    assert walked(("engine", "10:20"), ("engine", "10:10"), ("bilge", "09:59")) == [2, 1, 0]


def test_a_place_is_walked_whole_though_it_was_left_and_entered_again() -> None:
    assert walked(("engine", "10:00"), ("bilge", "10:10"), ("engine", "10:20")) == [0, 2, 1]


def test_a_new_span_comes_after_the_one_before_it_in_the_book() -> None:
    assert walked(("engine", "10:00"), ("engine", None), ("engine", "10:10")) == [0, 1, 2]
    assert walked(("engine", "10:30"), ("engine", None), ("engine", "10:10")) == [2, 0, 1]


def test_a_place_that_nobody_was_in_comes_last() -> None:
    assert walked(("dry", None), ("engine", "10:00"), ("exposed", None)) == [1, 0, 2]


def test_nothing_is_nothing() -> None:
    assert walked() == []
