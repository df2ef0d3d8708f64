"""Which photos may be shown, and how: small, upright, without a word of what the camera wrote into them."""

from __future__ import annotations

import warnings
from io import BytesIO
from typing import TYPE_CHECKING

from lugbook.errors import PhotoUnusable
from lugbook.reports.blocks import Print

if TYPE_CHECKING:
    from PIL.Image import Image

KINDS = ("JPEG", "PNG", "WEBP")
MOST_BYTES = 30_000_000
MOST_PIXELS = 50_000_000
SHOWN_PIXELS = 840
"""Longest side as shown: 70 mm at 300 dots per inch."""
QUALITY = 78


def print_photo(content: bytes, name: str, caption: str) -> Print:
    """The picture as a report shows it: upright, at most 840 pixels long, JPEG without metadata.

    The same bytes in give the same bytes out. Raises PhotoUnusable.
    """
    from PIL import Image, ImageOps

    picture = _opened(content, name)
    try:
        share = SHOWN_PIXELS / max(picture.size)
        # A large JPEG is read at half, a quarter or an eighth of its size: the next one above what is shown.
        picture.draft("RGB", (round(share * picture.width), round(share * picture.height)))
        upright = ImageOps.exif_transpose(picture)
        upright.thumbnail((SHOWN_PIXELS, SHOWN_PIXELS), Image.Resampling.BILINEAR)
        flat = _on_white(upright)
        page = BytesIO()
        flat.save(page, "JPEG", quality=QUALITY)
    except (OSError, ValueError, SyntaxError, EOFError) as error:
        raise PhotoUnusable(name, "it is damaged or cut short") from error
    return Print(page.getvalue(), flat.width, flat.height, caption)


def kept_print(content: bytes, caption: str) -> Print:
    """A print made earlier by `print_photo`, for which its bytes vouch."""
    from PIL import Image

    with Image.open(BytesIO(content)) as picture:
        return Print(content, picture.width, picture.height, caption)


def _opened(content: bytes, name: str) -> Image:
    from PIL import Image, UnidentifiedImageError

    if not content or len(content) > MOST_BYTES:
        size = f"{len(content) / 1e6:.0f} MB" if content else "empty"
        raise PhotoUnusable(name, f"it is {size}, and may have up to {MOST_BYTES // 1_000_000} MB")
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # of the library's own limit on pixels; ours is lower
            picture = Image.open(BytesIO(content), formats=KINDS)
    except Image.DecompressionBombError as error:
        raise PhotoUnusable(name, _too_many_pixels()) from error
    except (UnidentifiedImageError, OSError, ValueError, SyntaxError) as error:
        raise PhotoUnusable(name, "it is none of JPEG, PNG and WebP, or it is damaged") from error
    if picture.width * picture.height > MOST_PIXELS:
        raise PhotoUnusable(name, _too_many_pixels())
    if getattr(picture, "n_frames", 1) > 1 and picture.format != "JPEG":
        raise PhotoUnusable(name, "it moves; a photo is one picture")
    return picture


def _too_many_pixels() -> str:
    return f"it has more than {MOST_PIXELS // 1_000_000} million pixels"


def _on_white(picture: Image) -> Image:
    """A new picture of the bare pixels: no text, position, camera or thumbnail comes along."""
    from PIL import Image

    flat = Image.new("RGB", picture.size, "white")
    if picture.mode in ("RGBA", "LA", "PA") or "transparency" in picture.info:
        with_alpha = picture.convert("RGBA")
        flat.paste(with_alpha, mask=with_alpha.getchannel("A"))
    else:
        flat.paste(picture.convert("RGB"))
    return flat
