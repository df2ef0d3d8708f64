"""A conductor size has one name and one area, or is refused."""

import pytest

from lugbook import errors
from lugbook.units.sizes import Size, read_size


@pytest.mark.parametrize(
    ("text", "size"),
    [
        # Areas: 4/0 211 600 circular mils and so on (ASTM B258) x 5.067075e-4 mm2 (NIST SP 811).
        ("2/0 AWG", Size("2/0 AWG", "AWG", 67.4309, "67.4309")),
        ("AWG 4/0", Size("4/0 AWG", "AWG", 107.2193, "107.2193")),
        ("awg4/0", Size("4/0 AWG", "AWG", 107.2193, "107.2193")),
        ("2/0", Size("2/0 AWG", "AWG", 67.4309, "67.4309")),
        ("00", Size("2/0 AWG", "AWG", 67.4309, "67.4309")),
        ("0000 AWG", Size("4/0 AWG", "AWG", 107.2193, "107.2193")),
        ("0 AWG", Size("1/0 AWG", "AWG", 53.4751, "53.4751")),
        ("6 AWG", Size("6 AWG", "AWG", 13.3018, "13.3018")),
        # 125 100 circular mils.
        ("SAE 2/0", Size("SAE 2/0", "SAE", 63.3891, "63.3891")),
        ("sae  2/0 ", Size("SAE 2/0", "SAE", 63.3891, "63.3891")),
        ("70 mm2", Size("70 mm2", "mm2", 70.0, "70")),
        ("70.0mm²", Size("70 mm2", "mm2", 70.0, "70")),
        ("2,5 mm^2", Size("2.5 mm2", "mm2", 2.5, "2.5")),
        ("95 sq mm", Size("95 mm2", "mm2", 95.0, "95")),
        # 250 000 circular mils.
        ("250 kcmil", Size("250 kcmil", "AWG", 126.6769, "126.6769")),
        ("250 MCM", Size("250 kcmil", "AWG", 126.6769, "126.6769")),
    ],
    ids=lambda value: value if isinstance(value, str) else None,
)
def test_a_size_has_one_name_and_its_area(text: str, size: Size) -> None:
    assert read_size(text) == size


@pytest.mark.parametrize("name", ["2/0 AWG", "SAE 2/0", "70 mm2", "250 kcmil", "1/0 AWG", "SAE 1"])
def test_the_name_of_a_size_reads_as_itself(name: str) -> None:
    assert read_size(name).text == name


def test_a_bare_number_is_refused_with_the_sizes_it_may_be() -> None:
    with pytest.raises(errors.SizeTwoMeanings) as refused:
        read_size("6")

    assert str(refused.value) == ('The conductor size "6" names no system; type "6 AWG", "SAE 6" or "6 mm2".')


@pytest.mark.parametrize(
    "text",
    ["fat", "", "5/0", "2/0/0", "40 AWG", "SAE 3", "AWG", "mm2", "NaN mm2", "70 MM2", "-70 kcmil", "1/1"],
)
def test_what_is_no_size_is_refused(text: str) -> None:
    with pytest.raises(errors.SizeUnknown):
        read_size(text)


def test_the_sentence_for_no_size_shows_one_of_each_system() -> None:
    with pytest.raises(errors.SizeUnknown) as refused:
        read_size("fat")

    assert str(refused.value) == (
        '"fat" is not a conductor size; type it like "2/0 AWG", "SAE 2/0", "70 mm2" or "250 kcmil".'
    )


def test_an_area_no_cable_has_is_refused_with_the_range() -> None:
    with pytest.raises(errors.OutOfRange) as refused:
        read_size("5000 mm2")

    assert str(refused.value) == (
        'The conductor area "5000 mm2" is outside 0.1 mm² to 1200 mm²; look again at the number and its unit.'
    )
