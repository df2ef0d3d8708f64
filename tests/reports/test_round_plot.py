"""The picture of rounds holds every span's say beside the shift."""

import re
from html import unescape

from lugbook.assessment.judging import RoundShift
from lugbook.assessment.round_story import RoundStory
from lugbook.reports.round_plot import draw_rounds

ROUNDS = (
    RoundStory(RoundShift("2022", 0.8, 0.4, 119, 0, 0, None), (0.5, 0.9, 1.0)),
    RoundStory(RoundShift("2023", -3.7, 0.4, 121, 0, 0, None), (-3.5, -3.9)),
)


def test_rounds_show_their_shift_and_how_many_spans_say_so() -> None:
    picture = draw_rounds("Sallowmere", ROUNDS, "svg")

    words = {unescape(found) for found in re.findall(r"<text[^>]*>([^<]*)</text>", picture.decode())}
    assert {"2022", "119 spans", "2023", "121 spans", "read high or low (%)", "one span"} <= words
    assert "shift, ± 2 standard uncertainties" in words
    assert picture == draw_rounds("Sallowmere", ROUNDS, "svg")


def test_every_span_has_its_mark() -> None:
    none = tuple(RoundStory(one.shift, ()) for one in ROUNDS)

    marks = [draw_rounds("Sallowmere", rounds, "svg").decode().count("<use ") for rounds in (ROUNDS, none)]

    # Five spans, and the ring that explains them in the legend, which is there without them too.
    assert marks[0] - marks[1] == 5


def test_a_span_far_off_is_drawn_at_the_edge_and_not_lost() -> None:
    far = (RoundStory(ROUNDS[0].shift, (0.5, 400.0)), ROUNDS[1])

    assert draw_rounds("Sallowmere", far, "png").startswith(b"\x89PNG")


def test_a_build_without_rounds_is_an_empty_picture() -> None:
    assert draw_rounds("Sallowmere", (), "pdf").startswith(b"%PDF-")
