"""How does an attached scan become pictures that can be printed?

The only door to the libraries that read other people's pictures and PDF files. They run in a
worker process of their own, since such a file can be broken or made to harm. What comes out is
grey, upright, and no finer than paper shows: a page from a telephone's camera is made small.
"""

from __future__ import annotations

import io
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import TYPE_CHECKING

from planner.errors import WorkerError
from planner.workers import Worker

if TYPE_CHECKING:
    from PIL.Image import Image

# The longer side of a printed page at 200 dots an inch: enough for the lines of a staff.
MOST_DOTS = 2100
# How many pages of a PDF are printed? A long tune has four.
MOST_PAGES = 12
JPEG_QUALITY = 80
TIME_LIMIT_S = 30.0
# Reading the largest picture that is allowed takes about 300 MB.
MEMORY_LIMIT_MB = 600
KEPT_SCANS = 8


@dataclass(frozen=True, slots=True)
class ScannedPage:
    """One page of a scan as a grey JPEG, and its size in dots."""

    jpeg: bytes
    width: int
    height: int


@lru_cache(maxsize=KEPT_SCANS)
def scanned_pages(content: bytes, media_type: str) -> tuple[ScannedPage, ...]:
    """The pages of a PDF, PNG or JPEG file; none where the file cannot be read."""
    try:
        return _reader().call(_read, content, media_type)
    except (WorkerError, ValueError):
        return ()


@cache
def _reader() -> Worker:
    return Worker(
        "reading of scans",
        time_limit_s=TIME_LIMIT_S,
        memory_limit_mb=MEMORY_LIMIT_MB,
        warm_up=_load,
    )


def _load() -> None:
    import PIL.Image  # noqa: F401, PLC0415 - these read files of others: in the worker only
    import pypdfium2  # noqa: F401, PLC0415


def _read(content: bytes, media_type: str) -> tuple[ScannedPage, ...]:
    """Runs in the worker.

    Raises:
        ValueError: the file is broken or asks for a password.
    """
    try:
        pictures = _pdf_pages(content) if media_type == "application/pdf" else [_picture(content)]
        return tuple(_page(picture) for picture in pictures)
    except Exception as problem:  # the two libraries raise all kinds of errors
        raise ValueError(str(problem)) from problem


def _pdf_pages(content: bytes) -> list[Image]:
    import pypdfium2  # noqa: PLC0415

    document = pypdfium2.PdfDocument(content)
    pages = [document[n] for n in range(min(len(document), MOST_PAGES))]
    return [page.render(scale=MOST_DOTS / max(page.get_size())).to_pil() for page in pages]


def _picture(content: bytes) -> Image:
    import PIL.Image  # noqa: PLC0415
    import PIL.ImageOps  # noqa: PLC0415

    picture = PIL.Image.open(io.BytesIO(content))
    picture.draft("L", (MOST_DOTS, MOST_DOTS))  # a JPEG is read no finer than needed
    return PIL.ImageOps.exif_transpose(picture)


def _page(picture: Image) -> ScannedPage:
    import PIL.Image  # noqa: PLC0415

    picture.thumbnail((MOST_DOTS, MOST_DOTS))
    if picture.has_transparency_data:
        paper = PIL.Image.new("RGBA", picture.size, "white")
        picture = PIL.Image.alpha_composite(paper, picture.convert("RGBA"))
    packed = io.BytesIO()
    picture.convert("L").save(packed, "JPEG", quality=JPEG_QUALITY)
    return ScannedPage(packed.getvalue(), *picture.size)
