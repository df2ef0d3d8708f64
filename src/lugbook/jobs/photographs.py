"""Photos: how they are noted, where their originals are kept and found again, by digest and never by name."""

from __future__ import annotations

import os
from collections.abc import Mapping, Sequence
from contextlib import suppress
from hashlib import sha256
from pathlib import Path

from lugbook.errors import FileUnwritable, PhotoHeld
from lugbook.jobs.desk import Desk, Entry
from lugbook.jobs.exchanging import read_file
from lugbook.records.tables import Photo


def photo_folder(book: Path) -> Path:
    """The folder beside a book that holds the originals: boat.db -> boat_photos."""
    return book.with_name(f"{book.stem}_photos")


def record_photo(desk: Desk, book: Path, of: Mapping[str, int], file: Path, note: str | None) -> str:
    """Note a photo `of` a terminal or a sample (column and identity), keep its original, and return its digest.

    The print that reports show is made and kept now: a damaged picture is refused while it is at hand, and a report
    need not shrink every photo again. Raises FileMissing, PhotoHeld, PhotoUnusable, FileUnwritable.
    """
    from lugbook.reports.photographs import print_photo

    content = read_file(file)
    _refuse_held(desk, of, sha256(content).hexdigest(), file.name)
    shown = print_photo(content, file.name, "").jpeg
    digest = keep_original(book, content)
    fact = {
        **of, "digest": digest, "byte_count": len(content), "file_name": file.name, "note": note,
        "print_digest": keep_original(book, shown),
    }  # fmt: skip
    desk.enter(Photo, fact, Entry({}))
    return digest


def _refuse_held(desk: Desk, of: Mapping[str, int], digest: str, file_name: str) -> None:
    """Raises PhotoHeld for a photo that was noted of the same terminal or sample before."""
    current = desk.directory.history.current
    for row in desk.directory.rows(Photo).values():
        if row["digest"] == digest and all(current(row[name] or 0) == current(of[name]) for name in of):
            raise PhotoHeld(file_name, row["id"])


def keep_original(book: Path, content: bytes) -> str:
    """Keep the bytes of a photo or print beside the book under their digest, on the disk before anything is entered.

    Returns the SHA-256, 64 hex digits. The name is the digest alone: no name a camera or a person gave becomes a path.
    Raises FileUnwritable.
    """
    digest, folder = sha256(content).hexdigest(), photo_folder(book)
    place = folder / digest
    draft = folder / f".{digest}.part"
    try:
        folder.mkdir(exist_ok=True)
        if place.exists() and place.read_bytes() == content:
            return digest
        with draft.open("wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        draft.replace(place)
    except OSError as error:
        with suppress(OSError):
            draft.unlink()
        raise FileUnwritable(place) from error
    return digest


def find_original(book: Path, digest: str, byte_count: int, folders: Sequence[Path]) -> bytes | None:
    """The original of a digest, kept beside the book or lying in one of the folders; None where it is nowhere."""
    for path in _candidates(photo_folder(book) / digest, byte_count, folders):
        try:
            content = path.read_bytes()
        except OSError:
            continue
        if sha256(content).hexdigest() == digest:
            return content
    return None


def is_changed(book: Path, digest: str) -> bool:
    """Whether there is something beside the book in the place of an original."""
    return (photo_folder(book) / digest).exists()


def _candidates(kept: Path, byte_count: int, folders: Sequence[Path]) -> list[Path]:
    """The place where it was kept, then every file of the right size: names may have changed."""
    found = [kept]
    for folder in folders:
        with suppress(OSError):
            found += sorted(p for p in folder.iterdir() if p.is_file() and p.stat().st_size == byte_count)
    return found
