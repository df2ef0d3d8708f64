"""Photos in a report: kept beside the book under their digest, printed once, and missed when they are gone."""

from base64 import b64decode
from hashlib import sha256
from pathlib import Path

import pytest

from conftest import Shell
from invented_report import photo
from lugbook.jobs.photographs import keep_original
from lugbook.reports.photographs import print_photo
from parsed_page import Page


def page_of(shell: Shell, *words: str) -> Page:
    """The HTML that `report` with these words writes."""
    facts = shell.tells("report", "--out", shell.folder / "out", *words)
    return Page(Path(facts["html"]).read_text(encoding="utf-8"))


@pytest.fixture
def made(bench: Shell) -> Shell:
    """A bench with a terminal on C12A."""
    bench.does("conductor", "add", "2/0 tinned", "--size", "2/0 AWG", "--tinned")
    bench.does("recipe", "add", "R1", "--conductor", "2/0 tinned", "--lug", "2/0 M10", "--tool", "press", "--die",
               "13 hex", "--presses", "2", "--strip", "26 mm")  # fmt: skip
    bench.does("cable", "add", "C12", "--conductor", "2/0 tinned", "--length", "1.80 m", "--from", "engine", "--to",
               "bilge")  # fmt: skip
    bench.does("terminal", "make", "C12A", "--recipe", "R1")
    return bench


@pytest.fixture
def pictured(made: Shell) -> Shell:
    """The same with a photo of it."""
    picture = made.file("c12a.jpg", photo())
    made.does("terminal", "photo", "C12A", picture, "--note", "from the side")
    picture.unlink()
    return made


def kept(shell: Shell) -> Path:
    """Where the one original is kept; its print lies beside it."""
    (place,) = (path for path in (shell.folder / "book_photos").iterdir() if path != kept_print(shell))
    return place


def kept_print(shell: Shell) -> Path:
    """Where its print is kept."""
    return shell.folder / "book_photos" / sha256(print_photo(photo(), "c12a.jpg", "").jpeg).hexdigest()


def test_a_photo_is_kept_beside_the_book_and_shown(pictured: Shell) -> None:
    digest = sha256(photo()).hexdigest()

    page = page_of(pictured)

    assert kept(pictured).name == digest
    assert kept(pictured).read_bytes() == photo()
    (shown,) = [a for tag, a in page.elements if tag == "img" and a["src"].startswith("data:image/jpeg")]
    assert shown["alt"] == f"from the side · {digest[:12]}"


def test_a_missing_photo_stops_the_report_and_is_named(pictured: Shell) -> None:
    digest, entry = kept(pictured).name, pictured.line_count()
    kept(pictured).unlink()

    assert pictured.refuses("report", "--out", pictured.folder / "out") == (
        "No report was made, because one photo is not as the book says:\n"
        f'  C12A: photo "c12a.jpg" (entry {entry}, SHA-256 {digest[:16]}...) is missing.\n'
        "Name the folder that holds the originals with --photos FOLDER, or leave all photos out with --no-photos, "
        "which the report will say."
    )


def test_a_changed_photo_stops_the_report_and_is_named(pictured: Shell) -> None:
    kept(pictured).write_bytes(photo(1))

    refused = pictured.refuses("report", "--out", pictured.folder / "out")

    assert "has changed since it was noted." in refused


def shown_pictures(page: Page) -> list[bytes]:
    """The photos that a page shows."""
    sources = [attributes["src"] or "" for tag, attributes in page.elements if tag == "img"]
    return [b64decode(src.partition(",")[2]) for src in sources if src.startswith("data:image/jpeg")]


def test_a_photo_is_shown_as_it_was_printed_when_it_was_kept(
    pictured: Shell, monkeypatch: pytest.MonkeyPatch
) -> None:
    printed = kept_print(pictured).read_bytes()

    def again(*_: object) -> None:
        raise AssertionError("the print was made a second time")

    monkeypatch.setattr("lugbook.jobs.report_photos.print_photo", again)

    assert shown_pictures(page_of(pictured)) == [printed]


@pytest.mark.parametrize("harm", [Path.unlink, lambda path: path.write_bytes(photo(1))], ids=["lost", "swapped"])
def test_a_print_that_is_lost_or_swapped_is_made_anew_from_the_original(pictured: Shell, harm) -> None:  # type: ignore[no-untyped-def]
    printed = kept_print(pictured).read_bytes()
    harm(kept_print(pictured))

    assert shown_pictures(page_of(pictured)) == [printed]


def test_verifying_looks_at_the_originals_too(pictured: Shell) -> None:
    digest, entry = kept(pictured).name, pictured.line_count()
    assert "Sound" in pictured.does("book", "verify")
    kept(pictured).write_bytes(photo(1))

    verified = pictured("book", "verify")

    assert "Sound" in verified.out
    assert (verified.exit_code, verified.err) == (
        1,
        f'The original of photo "c12a.jpg" (entry {entry}, SHA-256 {digest[:16]}...) has changed since it was noted.\n',
    )
    kept(pictured).unlink()

    verified = pictured("book", "verify")

    assert verified.exit_code == 0, "a book may be moved without its photos"
    assert f"SHA-256 {digest[:16]}...) is not beside the book." in verified.err


def test_an_original_is_found_by_its_content_in_a_folder_named(pictured: Shell) -> None:
    elsewhere = pictured.folder / "camera"
    elsewhere.mkdir()
    kept(pictured).rename(elsewhere / "another name.jpg")
    (elsewhere / "decoy.jpg").write_bytes(photo()[:-1] + b"x")

    page = page_of(pictured, "--photos", str(elsewhere))

    assert [a for tag, a in page.elements if tag == "img" and a["src"].startswith("data:image/jpeg")]


def test_photos_left_out_are_said(pictured: Shell) -> None:
    kept(pictured).unlink()

    texts = page_of(pictured, "--no-photos").texts

    assert "Left out of this issue on request: 1 photo noted in the book." in texts


def test_a_photo_of_a_sample_is_no_photo_of_the_report(sallowmere: Shell) -> None:
    sample = sallowmere.tells("sample", "list")["samples"][0]
    picture = sallowmere.file("cut.jpg", photo())
    sallowmere.does("sample", "photo", sample["recipe"], sample["sample"], picture)
    kept(sallowmere).unlink()
    picture.unlink()

    page_of(sallowmere)
    texts = page_of(sallowmere, "--no-photos").texts

    assert "Left out of this issue on request" not in "".join(texts)
    assert 'The original of photo "cut.jpg"' in sallowmere("book", "verify").err


def test_an_original_is_named_by_its_digest_alone(tmp_path: Path) -> None:
    digest = keep_original(tmp_path / "boat.db", b"abc")

    # SHA-256 of "abc": FIPS 180-2, appendix B.1.
    assert digest == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    assert [path.name for path in (tmp_path / "boat_photos").iterdir()] == [digest]


def test_what_is_no_photo_is_not_kept(made: Shell) -> None:
    file = made.file("notes.jpg", b"not a picture")

    assert made.refuses("terminal", "photo", "C12A", file) == (
        'The photo "notes.jpg" cannot be taken: it is none of JPEG, PNG and WebP, or it is damaged.'
    )
    assert not (made.folder / "book_photos").exists()
