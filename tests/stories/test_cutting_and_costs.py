"""Before anything is crimped: how long to cut, from which reel, and what it costs beside bought cables."""

import pytest

from conftest import Shell


@pytest.fixture
def locker(shell: Shell) -> Shell:
    """A book with two planned cables, reels of their conductor, and prices of nearly all they take."""
    shell.does("book", "new", shell.book)
    shell.does("build", "add", "My boat")
    shell.does("conductor", "add", "2/0 tinned", "--size", "2/0 AWG")
    shell.does(
        *("recipe", "add", "R1", "--conductor", "2/0 tinned", "--lug", "2/0 M10", "--tool", "press"),
        *("--die", "13 hex", "--strip", "26 mm", "--sealing", "sleeve"),
    )
    cable = ("--conductor", "2/0 tinned", "--recipe", "R1", "--length")
    shell.does(
        *("cable", "add", "C1", *cable, "1.80 m", "--route", "1.60 m", "--loop", "0.15 m", "--bends", "2"),
        *(
            "--radius",
            "100 mm",
            "--trim",
            "10 mm",
            "--loom",
            "1.6 m",
            "--shield",
            "40 cm",
            "--quoted",
            "62 EUR",
        ),
    )
    shell.does("cable", "add", "C2", *cable, "2.40 m", "--quoted", "71.50 EUR")
    shell.does("reel", "add", "drum 1", "--conductor", "2/0 tinned", "--length", "3 m")
    shell.does("reel", "add", "drum 2", "--conductor", "2/0 tinned", "--length", "5 m", "--to-buy")
    shell.does("price", "add", "2/0 tinned", "10 EUR", "--per", "metre")
    shell.does("price", "add", "2/0 M10", "3,20 EUR", "--per", "piece")
    shell.does("price", "add", "loom", "2.50 EUR", "--per", "metre")
    shell.does("price", "add", "sleeve", "1 EUR", "--per", "piece")
    return shell


def test_a_cut_is_route_and_loop_and_bends_and_both_trims(locker: Shell) -> None:
    # By hand: 1.6 + 0.15 + 2 x 0.1 x pi / 2 + 2 x 0.01 = 2.08416, up to the millimetre 2.085.
    cables = locker.tells("cable", "cut-list")["cables"]

    assert [(one["cable"], one["cut_metre"]) for one in cables] == [("C1", 2.085), ("C2", 2.4)]
    assert cables[0]["parts_metre"] == {"route": 1.6, "service_loop": 0.15, "bends": 0.314, "trim": 0.02}


def test_the_least_cable_is_started(locker: Shell) -> None:
    # 2.085 + 2.4 = 4.485 m: neither fits drum 1 with the other; one drum 2 holds both.
    (cut,) = locker.tells("cable", "cut-list")["conductors"]

    assert (cut["started_metre"], cut["left_metre"], cut["least_proven"]) == (5.0, 0.515, True)
    assert [piece["cable"] for piece in cut["reels"][0]["pieces"]] == ["C2", "C1"]


def test_a_cable_that_has_a_terminal_is_not_cut_again_unless_named(locker: Shell) -> None:
    locker.does("terminal", "make", "C1A", "--recipe", "R1", "--place", "dry")

    assert [one["cable"] for one in locker.tells("cable", "cut-list")["cables"]] == ["C2"]
    assert [one["cable"] for one in locker.tells("cable", "cut-list", "C1")["cables"]] == ["C1"]
    locker.does("terminal", "make", "C2A", "--place", "dry")
    assert locker.refuses("cable", "cut-list") == (
        "No cable is left to cut: each has a terminal on one of its ends; name the cables to cut, or add planned ones."
    )


def test_the_cost_stands_beside_the_quoted_price(locker: Shell) -> None:
    # By hand: 4.485 x 10 + 1.6 x 2.50 + 4 x 3.20 + 4 x 1 = 44.85 + 4 + 12.80 + 4 = 65.65; 133.50 less that is 67.85.
    before = locker.tells("cable", "costs")
    locker.does("price", "add", "heat shield", "5 EUR", "--per", "metre")
    facts = locker.tells("cable", "costs")

    assert (before["total"], before["saved"], before["without_price"]) == ("65.65", None, ["heat shield"])
    assert (facts["total"], facts["currency"], facts["quoted"], facts["saved"]) == (
        "67.65",  # and 0.4 m of heat shield
        "EUR",
        "133.50",
        "65.85",
    )


def test_a_saving_is_not_named_while_the_lugs_of_a_cable_are_not_known(locker: Shell) -> None:
    locker.does("price", "add", "heat shield", "5 EUR", "--per", "metre")
    locker.does("cable", "add", "C3", "--conductor", "2/0 tinned", "--length", "1 m", "--quoted", "9 EUR")

    assert locker.tells("cable", "costs")["saved"] is None


def test_a_cut_shorter_than_the_cable_itself_is_said(locker: Shell) -> None:
    locker.does("cable", "amend", "C2", "route_metre=2.2 m", "--reason", "measured")

    sentence = (
        "C2 comes out at 2.2 m, shorter than its own length of 2.4 m: look again at its route, its bends and its "
        "length.\n"
    )
    assert sentence in locker.does("cable", "cut-list")
    assert sentence in locker.does("cable", "costs")


def test_what_is_not_planned_or_quoted_is_said(locker: Shell) -> None:
    locker.does("cable", "add", "C3", "--conductor", "2/0 tinned", "--length", "1 m")

    said = locker.does("cable", "costs")

    assert "Without a planned recipe, so without lugs and sealing: C3.\n" in said
    assert "No price was quoted for C3: nothing is set beside the cost.\n" in said


def test_a_piece_that_no_reel_holds_is_said_and_the_rest_is_cut(locker: Shell) -> None:
    locker.does("cable", "add", "C3", "--conductor", "2/0 tinned", "--length", "6 m")

    sentence = "C3 needs 6 m in one piece and the longest reel has 5 m; add a longer reel, or plan a joint on purpose."
    facts = locker.tells("cable", "cut-list")
    assert (facts["conductors"][0]["started_metre"], facts["not_cut"]) == (5.0, [sentence])
    assert f"Not cut: {sentence}\n" in locker.does("cable", "cut-list")
    assert locker.refuses("cable", "cut-list", "C3") == sentence


def test_a_conductor_without_a_reel_does_not_block_the_others(locker: Shell) -> None:
    locker.does("conductor", "add", "4 AWG", "--size", "4 AWG")
    locker.does("cable", "add", "C3", "--conductor", "4 AWG", "--length", "2 m")

    facts = locker.tells("cable", "cut-list")

    assert [cut["conductor"] for cut in facts["conductors"]] == ["2/0 tinned"]
    assert facts["not_cut"] == ["4 AWG: The list needs 2 m and the reels hold 0 m; add a reel."]


def test_a_price_by_the_piece_of_what_goes_by_the_metre_is_said_and_not_counted(locker: Shell) -> None:
    locker.does("price", "amend", "loom", "per=piece", "--reason", "a slip")

    facts = locker.tells("cable", "costs")

    # By hand: 65.65 less 1.6 m of loom at 2.50.
    assert (facts["total"], facts["saved"], facts["without_price"]) == (
        "61.65",
        None,
        ["loom", "heat shield"],
    )
    assert facts["mispriced"] == [
        "The price of loom is for a piece, and it is taken by the metre; put it right with `lugbook price amend`."
    ]


def test_two_currencies_are_not_added(locker: Shell) -> None:
    locker.does("price", "amend", "loom", "price=2.50 GBP", "--reason", "bought abroad")

    assert locker.refuses("cable", "costs") == (
        "Prices in EUR and GBP cannot be added up; state all in one currency."
    )


def test_everything_planned_comes_out_and_goes_in_again(locker: Shell) -> None:
    for kind in ("cables", "recipes", "reels", "prices"):
        table = locker.folder / f"{kind}.csv"
        locker.does("export", kind, table)
        before = locker.line_count()

        assert ": 0 " in locker.does("import", kind, table)
        assert locker.line_count() == before
