"""Label sheets: each label in its place, the right words on it, and no sheet that cannot be."""

from dataclasses import replace
from io import BytesIO
from itertools import pairwise

import pytest
import segno
from pypdf import PdfReader

from lugbook.errors import LabelsDoNotFit
from lugbook.reports.codes import draw_code
from lugbook.reports.labels import Label, Sheet, print_labels

SHEET = Sheet(63.5, 38.1, columns=3, rows=7, left=7.2, top=15.1, gap_across=2.5)
POINTS_PER_MILLIMETRE = 72 / 25.4


def labels(count: int) -> tuple[Label, ...]:
    return tuple(
        Label(f"C{n:02}A", "2/0 AWG, 1.8 m", "to the starter", f"C{n:02}A book") for n in range(count)
    )


def printed(count: int = 1, sheet: Sheet = SHEET, start: int = 1) -> PdfReader:
    return PdfReader(
        BytesIO(print_labels(labels(count), sheet, title="labels", day="2026-11-25", start=start).content)
    )


def place_of(reader: PdfReader, words: str, page: int = 0) -> tuple[float, float]:
    """From the left and the top edge to the start of some words, in millimetre."""
    found: list[tuple[float, float]] = []

    def look(text: str, matrix: list[float], frame: list[float], *_: object) -> None:
        if words in text:
            found.append((matrix[4] * frame[0] + frame[4], matrix[5] * frame[3] + frame[5]))

    reader.pages[page].extract_text(visitor_text=lambda t, cm, tm, *rest: look(t, tm, cm))
    high = float(reader.pages[page].mediabox.height)
    x, y = found[0]
    return x / POINTS_PER_MILLIMETRE, (high - y if y > 0 else -y) / POINTS_PER_MILLIMETRE


def test_a_label_says_tag_size_and_where_it_goes() -> None:
    text = " ".join(printed().pages[0].extract_text().replace("\u00a0", " ").split())

    assert text == "C00A 2/0 AWG, 1.8 m to the starter"


def test_labels_stand_a_label_and_a_gap_apart() -> None:
    reader = printed(4)

    first, second, fourth = (place_of(reader, tag) for tag in ("C00A", "C01A", "C03A"))
    assert second[0] - first[0] == pytest.approx(63.5 + 2.5, abs=0.05)
    assert abs(fourth[1] - first[1]) == pytest.approx(38.1, abs=0.05)
    assert first[0] > 7.2


def test_a_full_sheet_goes_on_the_next() -> None:
    assert len(printed(21).pages) == 1
    assert len(printed(22).pages) == 2


def test_a_sheet_used_before_is_begun_at_the_first_free_place() -> None:
    reader = printed(1, start=3)

    assert place_of(reader, "C00A")[0] - place_of(printed(1), "C00A")[0] == pytest.approx(2 * 66, abs=0.05)


def test_the_same_labels_give_the_same_bytes() -> None:
    one, other = (print_labels(labels(3), SHEET, title="labels", day="2026-11-25") for _ in range(2))

    assert one == other
    assert one.declares_archive


def test_hostile_words_on_a_label_stay_words() -> None:
    nasty = Label("#panic()", "*x* $1/0$", "<b>@ref", "#panic()")

    text = (
        PdfReader(BytesIO(print_labels((nasty,), SHEET, title="#x", day="2026-11-25").content))
        .pages[0]
        .extract_text()
    )

    assert "#panic()" in text
    assert "*x* $1/0$" in text


REFUSED = [
    (replace(SHEET, width=10.0), 1, "a label smaller than 18 mm by 8 mm holds no code that can be scanned"),
    (replace(SHEET, columns=0), 1, "a sheet of 0 by 7 labels has no place number 1"),
    (SHEET, 22, "a sheet of 3 by 7 labels has no place number 22"),
    (replace(SHEET, columns=4), 1, "they take 268.7 mm by 281.8 mm, and the paper is 210 mm by 297 mm"),
    (replace(SHEET, top=30.4), 1, "they take 202.7 mm by 297.1 mm, and the paper is 210 mm by 297 mm"),
]


@pytest.mark.parametrize(("sheet", "start", "why"), REFUSED)
def test_a_sheet_that_cannot_be_is_refused(sheet: Sheet, start: int, why: str) -> None:
    with pytest.raises(LabelsDoNotFit) as refused:
        print_labels(labels(1), sheet, title="labels", day="2026-11-25", start=start)

    assert str(refused.value) == f"These labels cannot be printed: {why}; measure the sheet again."


def test_a_sheet_that_just_fits_is_taken() -> None:
    assert printed(1, replace(SHEET, top=30.3)).pages


def test_the_drawn_code_has_the_modules_of_the_code() -> None:
    """Drawn cell by cell against the matrix of the library that encodes it."""
    text = "C12A 0123456789abcdef0123456789abcdef"
    matrix = [list(row) for row in segno.make_qr(text, error="m").matrix_iter(border=4)]

    drawn = draw_code(text, "", millimetre=20).svg.split('<path d="')[1].split('"')[0]

    cells = [[0] * len(matrix) for _ in matrix]
    for bar in drawn.strip("M").split("M"):
        at, run = bar.split("h")[0], int(bar.split("h")[1].split("v")[0])
        x, y = (int(part) for part in at.split())
        cells[y][x : x + run] = [1] * run
    assert cells == matrix


@pytest.mark.parametrize("tag", ["C12A", "battery to starter A", "W" * 24, "battery negative to engine block left A"])
def test_a_tag_that_wraps_leaves_the_words_below_it_clear(tag: str) -> None:
    small = Sheet(25.4, 10.0, columns=7, rows=20, left=10.0, top=10.0)
    label = Label(tag, "70 mm², 12.35 m", "engine", "code")

    page = PdfReader(BytesIO(print_labels((label,), small, title="labels", day="2026-11-25").content)).pages[0]

    lines: dict[float, float] = {}  # baseline from the foot of the paper -> size of its letters, in points

    def look(text: str, frame: list[float], matrix: list[float], _: object, size: float) -> None:
        if text.strip():
            lines[round(matrix[5] * frame[3] + frame[5], 2)] = abs(size)

    page.extract_text(visitor_text=look)
    high = float(page.mediabox.height)
    heights = sorted(lines, reverse=True)
    assert high - 10 * POINTS_PER_MILLIMETRE > heights[0]
    assert heights[-1] > high - 20 * POINTS_PER_MILLIMETRE
    assert all(above - below > 0.7 * lines[below] for above, below in pairwise(heights))
