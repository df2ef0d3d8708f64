"""How long a report of 200 terminals with plots and 60 photos takes, beside setting the same pages alone.

Run with: python tests/benchmarks/report.py. Checking and re-encoding the photos, drawing every trend and the large
plots, composing, HTML and PDF all count; both times are of one run, and only their ratio is a promise.
"""

import pickle
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from hashlib import sha256
from pathlib import Path
from tempfile import TemporaryDirectory
from time import perf_counter

sys.path.insert(0, str(Path(__file__).parents[1] / "reports"))

from invented_report import large_report, photo, span
from test_plots import a_story, with_band

from lugbook.reports.blocks import Document, Print
from lugbook.reports.html import html_document
from lugbook.reports.pdf import pages_of, pdf_document
from lugbook.reports.photographs import print_photo
from lugbook.reports.plots import draw_span
from lugbook.reports.workmanship import WorkmanshipReport
from lugbook.reports.workmanship_pages import workmanship_document

TERMINALS, PHOTOS, LARGE_PLOTS = 200, 60, 12
PHOTO_PIXELS = (4000, 3000)
MOST_TIMES, MOST_BYTES, RUNS = 5.0, 15_000_000, 3
SET_ALONE = """
import pickle, sys, typst
from pathlib import Path
from time import perf_counter
from lugbook.reports.typesetting import set_pages
data, pictures, day = pickle.loads(Path(sys.argv[1]).read_bytes())
start = perf_counter()
set_pages("report.typ", data, pictures, day)
print(perf_counter() - start)
"""


def main() -> None:
    """Print each part, the ratio and the size of the HTML, of three runs, each in a process of its own."""
    if sys.argv[1:] == ["once"]:
        run()
        return
    print(
        f"{TERMINALS} terminals, {PHOTOS} photos of 12 megapixels, {LARGE_PLOTS} large plots; {MOST_TIMES} is asked"
    )
    for _ in range(RUNS):
        subprocess.run([sys.executable, __file__, "once"], check=True)


def run() -> None:
    """One run: the time of everything as a multiple of the time of setting the pages alone."""
    originals = [photo(n, PHOTO_PIXELS, "noise", quality=60) for n in range(4)] * (PHOTOS // 4)
    draw_span(with_band(a_story(), 19, 20, 21), "svg")  # the plotting library loads once, before the clock
    start = perf_counter()
    report = drawn(originals)
    gathered = perf_counter()
    document = workmanship_document(report)
    page = html_document(document)
    told = perf_counter()
    paper = pdf_document(document)
    done = perf_counter()
    alone = set_alone(document)
    whole = done - start
    assert len(page) < MOST_BYTES, len(page)
    print(
        f"photos and plots {gathered - start:.2f} s, HTML {told - gathered:.2f} s ({len(page) / 1e6:.1f} MB), "
        f"PDF {done - told:.2f} s ({len(paper.content) / 1e6:.1f} MB); pages alone {alone:.2f} s: "
        f"ratio {whole / alone:.2f}"
    )


def set_alone(document: Document) -> float:
    """Time of setting the same pages alone, in a new process: the typesetter remembers what it has set before."""
    with TemporaryDirectory() as folder:
        kept = Path(folder) / "pages.pickle"
        kept.write_bytes(pickle.dumps((*pages_of(document, "a4"), document.day)))
        ran = subprocess.run(
            [sys.executable, "-c", SET_ALONE, str(kept)], capture_output=True, text=True, check=True
        )
    return float(ran.stdout)


def drawn(originals: list[bytes]) -> WorkmanshipReport:
    """The large report with its photos checked and re-encoded and its large plots drawn."""
    with ThreadPoolExecutor(max_workers=4) as side_by_side:  # photos meanwhile, as in jobs/reporting.py
        pending = side_by_side.map(checked_print, originals)
        plots = [draw_span(with_band(a_story(), 19, 20, 21), "svg").decode() for _ in range(LARGE_PLOTS)]
        prints = list(pending)
    report = large_report(TERMINALS, 0)
    plotted = [number * (TERMINALS // LARGE_PLOTS) for number in range(LARGE_PLOTS)]
    terminals = []
    for number, terminal in enumerate(report.terminals):
        spans = terminal.spans
        if number in plotted:
            picture = plots[plotted.index(number)]
            spans = (span(spans[0].tag, "creeping", picture=picture), *spans[1:])
        terminals.append(replace(terminal, spans=spans, photos=tuple(prints[number : number + 1])))
    return replace(report, terminals=tuple(terminals))


def checked_print(original: bytes) -> Print:
    """A photo hashed, as a report does before it shows it, and re-encoded."""
    return print_photo(original, "photo.jpg", sha256(original).hexdigest()[:12])


if __name__ == "__main__":
    main()
