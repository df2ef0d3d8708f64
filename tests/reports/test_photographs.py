"""Photos in a report: nothing the camera wrote, upright, small, and refused where they are no photo."""

from io import BytesIO

import pytest
from PIL import ExifTags, Image, PngImagePlugin

from invented_report import photo
from lugbook.errors import PhotoUnusable
from lugbook.reports.photographs import MOST_BYTES, kept_print, print_photo


def reread(jpeg: bytes) -> Image.Image:
    return Image.open(BytesIO(jpeg))


def with_position(orientation: int) -> bytes:
    """A picture of two halves, black above white, that carries a place, a camera and a way to be turned."""
    picture = Image.new("RGB", (400, 200), "white")
    picture.paste("black", (0, 0, 400, 100))
    exif = Image.Exif()
    exif[ExifTags.Base.Make] = "SECRETCAMERA"
    exif[ExifTags.Base.Orientation] = orientation
    exif.get_ifd(ExifTags.IFD.GPSInfo)[ExifTags.GPS.GPSLatitude] = (38.0, 32.0, 1.0)
    page = BytesIO()
    picture.save(page, "JPEG", exif=exif, comment=b"SECRETCOMMENT", quality=95)
    return page.getvalue()


def test_nothing_the_camera_wrote_comes_along() -> None:
    original = with_position(1)
    assert b"SECRETCAMERA" in original
    assert b"SECRETCOMMENT" in original

    jpeg = print_photo(original, "a.jpg", "").jpeg

    assert not reread(jpeg).getexif()
    assert set(reread(jpeg).info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}
    assert b"SECRET" not in jpeg
    assert b"Exif" not in jpeg


def test_text_in_a_png_does_not_come_along() -> None:
    words = PngImagePlugin.PngInfo()
    words.add_text("Author", "SECRETNAME")
    original = photo(kind="PNG", pnginfo=words)
    assert b"SECRETNAME" in original

    assert b"SECRET" not in print_photo(original, "a.png", "").jpeg


def test_a_photo_held_sideways_is_shown_upright() -> None:
    """Orientation 6 of Exif 2.3: row 0 of the file is the right side of the scene; turn it a quarter clockwise."""
    shown = print_photo(with_position(6), "a.jpg", "")

    assert (shown.width_pixel, shown.height_pixel) == (200, 400)
    picture = reread(shown.jpeg).convert("L")
    assert picture.getpixel((190, 200)) < 60
    assert picture.getpixel((10, 200)) > 200


@pytest.mark.parametrize(
    ("size", "shown"), [((4000, 3000), (840, 630)), ((300, 200), (300, 200)), ((100, 2000), (42, 840))]
)
def test_a_photo_is_made_no_larger_than_it_is_shown(size: tuple[int, int], shown: tuple[int, int]) -> None:
    printed = print_photo(photo(size=size), "a.jpg", "")

    assert (printed.width_pixel, printed.height_pixel) == shown
    assert reread(printed.jpeg).size == shown


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_the_same_photo_gives_the_same_bytes(kind: str) -> None:
    original = photo(kind=kind)

    assert print_photo(original, "a", "") == print_photo(original, "a", "")


def test_what_can_be_seen_through_is_set_on_white() -> None:
    page = BytesIO()
    Image.new("RGBA", (8, 8), (0, 0, 0, 0)).save(page, "PNG")

    picture = reread(print_photo(page.getvalue(), "a.png", "").jpeg)

    assert picture.getpixel((4, 4)) == (255, 255, 255)


def moving() -> bytes:
    page = BytesIO()
    frames = [Image.new("RGB", (8, 8), (n, 0, 0)) for n in range(0, 250, 50)]
    frames[0].save(page, "WEBP", save_all=True, append_images=frames[1:])
    return page.getvalue()


def huge() -> bytes:
    page = BytesIO()
    Image.new("1", (20_000, 20_000)).save(page, "PNG")
    return page.getvalue()


def gif() -> bytes:
    page = BytesIO()
    Image.new("RGB", (8, 8)).save(page, "GIF")
    return page.getvalue()


REFUSED = [
    pytest.param(lambda: b"", "it is empty, and may have up to 30 MB", id="nothing"),
    pytest.param(
        lambda: b"\xff\xd8" + bytes(MOST_BYTES),
        "it is 30 MB, and may have up to 30 MB",
        id="500 MB would be no other",
    ),
    pytest.param(
        lambda: b"%PDF-1.7 not a picture",
        "it is none of JPEG, PNG and WebP, or it is damaged",
        id="another kind",
    ),
    pytest.param(gif, "it is none of JPEG, PNG and WebP, or it is damaged", id="a picture of another kind"),
    pytest.param(huge, "it has more than 50 million pixels", id="20000 by 20000 in a few kilobytes"),
    pytest.param(moving, "it moves; a photo is one picture", id="many frames"),
]


@pytest.mark.parametrize(("make", "why"), REFUSED)
def test_what_is_no_photo_is_refused(make, why: str) -> None:  # type: ignore[no-untyped-def]
    content = make()

    with pytest.raises(PhotoUnusable) as refused:
        print_photo(content, "crimp.jpg", "")

    assert str(refused.value) == f'The photo "crimp.jpg" cannot be taken: {why}.'


def test_a_photo_cut_short_is_refused_when_it_is_read() -> None:
    content = photo()[:4000]

    with pytest.raises(PhotoUnusable) as refused:
        print_photo(content, "crimp.jpg", "")

    assert str(refused.value) == 'The photo "crimp.jpg" cannot be taken: it is damaged or cut short.'


def test_a_print_that_was_kept_is_the_print_as_made() -> None:
    made = print_photo(photo(), "a.jpg", "from the side")

    assert kept_print(made.jpeg, "from the side") == made
