"""The HTML report in a real browser: hostile text runs nothing and asks nobody for anything."""

import re
import shutil
import subprocess
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import pytest

from invented_report import fill_every_text, photo, small_report, terminal
from lugbook.reports.html import html_document
from lugbook.reports.photographs import print_photo
from lugbook.reports.workmanship_pages import workmanship_document
from parsed_page import Page

BROWSER = shutil.which("chromium") or shutil.which("chromium-browser")
QUIET = (
    "--headless=new", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync", "--virtual-time-budget=2000",
)  # fmt: skip
RAN = "a script has run"

pytestmark = pytest.mark.skipif(BROWSER is None, reason="no Chromium here: install Debian's package chromium")


def hostile(port: int) -> str:
    """Text that, were it markup, would ask the listener for six things and leave a sentence in the title."""
    there = f"http://127.0.0.1:{port}"
    return (
        f"\"'></title></style><script>document.title='{RAN}'</script><script src={there}/script></script>"
        f"<img src={there}/picture onerror=\"document.title='{RAN}'\"><link rel=stylesheet href={there}/style>"
        f"<iframe src={there}/frame></iframe><style>body{{background:url({there}/paper)}}</style>"
        f"<svg><image href={there}/drawing /></svg>"
    )


@contextmanager
def listener() -> Iterator[tuple[int, list[str]]]:
    """A server on this machine that writes down what it is asked for."""
    asked: list[str] = []

    class Ear(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            asked.append(self.path)
            self.send_response(404)
            self.end_headers()

        def log_message(self, format: str, *args: object) -> None:
            """Say nothing."""

    server = ThreadingHTTPServer(("127.0.0.1", 0), Ear)
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    try:
        yield server.server_port, asked
    finally:
        server.shutdown()
        server.server_close()
        thread.join()


def opened(page: Path, folder: Path) -> str:
    """The page as the browser has it after loading, as text."""
    assert BROWSER is not None
    ran = subprocess.run(
        [BROWSER, *QUIET, f"--user-data-dir={folder / 'profile'}", "--dump-dom", page.as_uri()],
        capture_output=True, text=True, timeout=60, check=True,
    )  # fmt: skip
    return ran.stdout


def test_hostile_text_runs_no_script_and_makes_no_request(tmp_path: Path) -> None:
    page = tmp_path / "report.html"
    with listener() as (port, asked):
        pictured = small_report(terminals=(terminal(photos=(print_photo(photo(), "a.jpg", "a"),)),))
        page.write_bytes(html_document(workmanship_document(fill_every_text(pictured, hostile(port)))))

        shown = opened(page, tmp_path)

    assert asked == []
    assert f"<title>{RAN}" not in shown
    elements = Page(shown).elements
    assert {tag for tag, _ in elements} & {"script", "iframe", "link", "object", "embed"} == set()
    assert [name for _, attributes in elements for name in attributes if name.startswith("on")] == []
    assert "&lt;script&gt;" in shown


def test_the_listener_hears_and_the_script_runs_where_text_is_taken_as_markup(tmp_path: Path) -> None:
    """The check above can fail: the same text, put into a page as it is, does all of it."""
    page = tmp_path / "careless.html"
    with listener() as (port, asked):
        page.write_text(
            f'<!DOCTYPE html><title>careless</title><p title="{hostile(port)}">', encoding="utf-8"
        )

        shown = opened(page, tmp_path)

    assert {"/script", "/picture", "/style", "/frame"} <= set(asked)
    assert f"<title>{RAN}" in shown


def asked_on_a_phone(content: str, question: str, folder: Path) -> float:
    """The number that a page 390 pixels wide, with a script added for the purpose, answers of itself."""
    told = f"<script>document.title={question}</script></body>"
    open_content = re.sub(r'<meta http-equiv="Content-Security-Policy"[^>]*>', "", content)
    (folder / "phone.html").write_text(open_content.replace("</body>", told), encoding="utf-8")
    framed = folder / "framed.html"
    framed.write_text(
        "<!DOCTYPE html><title></title><iframe src='phone.html' width=390 height=844 onload=\"document.title="
        'this.contentDocument.title"></iframe>',
        encoding="utf-8",
    )
    assert BROWSER is not None
    ran = subprocess.run(
        [BROWSER, *QUIET, "--allow-file-access-from-files", f"--user-data-dir={folder / 'profile'}", "--dump-dom",
         framed.as_uri()],
        capture_output=True, text=True, timeout=60, check=True,
    )  # fmt: skip
    (title,) = re.findall(r"<title>([\d.]+)</title>", ran.stdout)
    return float(title)


def test_the_page_is_no_wider_than_a_phone(tmp_path: Path) -> None:
    """Long words in every field do not widen it."""
    content = html_document(workmanship_document(fill_every_text(small_report(), " " + "W" * 200))).decode()

    assert asked_on_a_phone(content, "document.documentElement.scrollWidth", tmp_path) <= 390


def test_the_caption_of_a_table_is_one_line_on_a_phone(tmp_path: Path) -> None:
    """A caption set as narrow as the first column would stand letter under letter."""
    content = html_document(workmanship_document(small_report())).decode()
    tallest = "Math.max(...[...document.querySelectorAll('caption')].map(one => one.offsetHeight))"

    assert 15 < asked_on_a_phone(content, tallest, tmp_path) < 40
