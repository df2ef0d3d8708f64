"""How long a report of 200 terminals with plots and 60 photos takes, beside setting the same pages alone.

Run: PYTHONPATH=tests:tests/reports python tests/benchmarks/report.py [megapixels of a photo, 12 if left out]
Reading and hashing originals and prints from a folder, drawing every trend and the large plots, composing, HTML and
PDF all count. Prints are made when a photo is noted, before the clock; beside it stands what making all of them anew
would add. All times are of one run; only their ratio is a promise, and by the clock on a quiet machine.
"""

import pickle
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from pathlib import Path
from tempfile import TemporaryDirectory
from time import perf_counter, process_time

from test_plots import a_story, with_band

from invented_report import large_report, photo, span
from lugbook.jobs.photographs import find_original, keep_original
from lugbook.reports.blocks import Document, Print
from lugbook.reports.html import html_document
from lugbook.reports.pdf import pages_of, pdf_document
from lugbook.reports.photographs import kept_print, print_photo
from lugbook.reports.plots import draw_span
from lugbook.reports.workmanship import WorkmanshipReport
from lugbook.reports.workmanship_pages import workmanship_document

TERMINALS, PHOTOS, LARGE_PLOTS = 200, 60, 8
MOST_TIMES, MOST_BYTES, RUNS = 5.0, 15_000_000, 3
SET_ALONE = """
import pickle, sys, typst
from pathlib import Path
from time import perf_counter, process_time
from lugbook.reports.typesetting import set_pages
data, pictures, day = pickle.loads(Path(sys.argv[1]).read_bytes())
start, busy = perf_counter(), process_time()
set_pages("report.typ", data, pictures, day)
print(perf_counter() - start, process_time() - busy)
"""


def main() -> None:
    """Print each part, the ratios and the size of the HTML, of three runs, each in a process of its own."""
    if sys.argv[1:2] == ["once"]:
        run(float(sys.argv[2]))
        return
    megapixels = sys.argv[1] if sys.argv[1:] else "12"
    print(f"{TERMINALS} terminals, {PHOTOS} photos of {megapixels} megapixels, {LARGE_PLOTS} large plots")
    for _ in range(RUNS):
        subprocess.run([sys.executable, __file__, "once", megapixels], check=True)


def run(megapixels: float) -> None:
    """One run: the time of everything as a multiple of the time of setting the pages alone."""
    size = round(2000 * (megapixels / 3) ** 0.5), round(1500 * (megapixels / 3) ** 0.5)
    originals = [photo(n, size, "grain", quality=85) for n in range(4)] * (PHOTOS // 4)
    with TemporaryDirectory() as folder:
        measure(Path(folder) / "boat.db", originals)


def measure(book: Path, originals: list[bytes]) -> None:
    """The same of photos kept beside a book."""
    kept = [keep_original(book, original) for original in originals]
    began = perf_counter()
    with ThreadPoolExecutor(max_workers=4) as side_by_side:
        prints = [
            made.jpeg for made in side_by_side.map(lambda one: print_photo(one, "photo.jpg", ""), originals)
        ]
    anew = perf_counter() - began
    printed = [keep_original(book, jpeg) for jpeg in prints]
    draw_span(with_band(a_story(), 19, 20, 21), "svg")  # the plotting library loads once, before the clock
    began, busy = perf_counter(), process_time()
    report = drawn(book, list(zip(kept, printed, strict=True)))
    gathered = perf_counter()
    document = workmanship_document(report)
    with ThreadPoolExecutor(max_workers=1) as beside:  # both files side by side, as in jobs/reporting.py
        asked = beside.submit(html_document, document)
        paper = pdf_document(document)
        page = asked.result()
    done, busy = perf_counter(), process_time() - busy
    alone, busy_alone = set_alone(document)
    assert len(page) < MOST_BYTES, len(page)
    print(
        f"photos and plots {gathered - began:.2f} s, HTML and PDF {done - gathered:.2f} s ({len(page) / 1e6:.1f} and "
        f"{len(paper.content) / 1e6:.1f} MB); pages alone {alone:.2f} s: ratio {(done - began) / alone:.1f} by the "
        f"clock, {busy / busy_alone:.1f} by processor time, {(done - began + anew) / alone:.1f} with every print made "
        f"anew; {MOST_TIMES:g} is asked"
    )


def set_alone(document: Document) -> tuple[float, float]:
    """Time by the clock and of the processors of setting the same pages alone.

    In a new process, since the typesetter remembers what it has set before.
    """
    with TemporaryDirectory() as folder:
        kept = Path(folder) / "pages.pickle"
        kept.write_bytes(pickle.dumps((*pages_of(document, "a4"), document.day)))
        ran = subprocess.run(
            [sys.executable, "-c", SET_ALONE, str(kept)], capture_output=True, text=True, check=True
        )
    by_clock, busy = ran.stdout.split()
    return float(by_clock), float(busy)


def drawn(book: Path, photos: list[tuple[str, str]]) -> WorkmanshipReport:
    """The large report with its photos checked and its large plots drawn; of each photo the digests of both files."""
    with ThreadPoolExecutor(max_workers=4) as side_by_side:  # photos meanwhile, as in jobs/reporting.py
        pending = side_by_side.map(lambda photo: checked_print(book, *photo), photos)
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


def checked_print(book: Path, original: str, printed: str) -> Print:
    """A photo read and hashed, as a report does before it shows it, and its print read and hashed."""
    assert find_original(book, original, 0, ()) is not None
    jpeg = find_original(book, printed, 0, ())
    assert jpeg is not None
    return kept_print(jpeg, original[:12])


if __name__ == "__main__":
    main()
