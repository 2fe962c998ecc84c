"""How does a page become paper?

The only door to WeasyPrint. It runs in a worker process of its own, because it holds the
interpreter for seconds. A sheet can use the project's own style sheets and fonts, and pictures
that are written into the sheet itself; every other address is refused, whoever wrote it.
"""

from __future__ import annotations

import logging
from functools import cache
from typing import TYPE_CHECKING, Any
from urllib.parse import unquote, urlsplit

from api.templating import static_folder
from planner.workers import Worker

if TYPE_CHECKING:
    from weasyprint import CSS, Document
    from weasyprint.text.fonts import FontConfiguration

LOG = logging.getLogger(__name__)

# Where do relative addresses in a sheet point? To a host that cannot exist.
STATIC_ADDRESS = "https://static.invalid/"
# What may a sheet take from the static folder?
STATIC_KINDS = {".css": "text/css", ".woff2": "font/woff2"}
# Which pictures may be written into a sheet?
PICTURE_STARTS = (
    "data:image/svg+xml;base64,",
    "data:image/png;base64,",
    "data:image/jpeg;base64,",
)

# How long may one paper take? Twenty tunes need about ten seconds of an ordinary computer.
TIME_LIMIT_S = 180.0
# How large may the process grow? Twenty tunes need about 130 MB.
MEMORY_LIMIT_MB = 1000


def html_to_pdf(html: str) -> bytes:
    """One sheet as PDF.

    Raises:
        WorkerError: rendering took too long, or too much memory.
    """
    return fit_to_pdf(((html,),), most_pages=0)


def fit_to_pdf(sections: tuple[tuple[str, ...], ...], most_pages: int) -> bytes:
    """Several sheets in one PDF, each in the roomiest of its versions that fits.

    Each section lists the same sheet from the roomiest to the closest version. The first that
    needs at most ``most_pages`` pages is printed, or the last one if none does: a sheet is never
    cut off. ``most_pages`` 0 sets no limit.

    Raises:
        WorkerError: rendering took too long, or too much memory.
    """
    pdf, complaints = _printer().call(print_sections, sections, most_pages)
    for complaint in complaints:
        LOG.warning("printing: %s", complaint)
    return pdf


@cache
def _printer() -> Worker:
    return Worker(
        "printing of sheets",
        time_limit_s=TIME_LIMIT_S,
        memory_limit_mb=MEMORY_LIMIT_MB,
        warm_up=warm_up,
    )


def warm_up() -> None:
    """Load the library, the style sheet and the fonts. Runs in the worker process.

    Raises:
        RuntimeError: the project's own style sheets or fonts are broken.
    """
    with _Complaints() as complaints:
        style()
    if complaints.heard:
        raise RuntimeError("; ".join(complaints.heard))


def print_sections(
    sections: tuple[tuple[str, ...], ...], most_pages: int
) -> tuple[bytes, tuple[str, ...]]:
    """The PDF and what WeasyPrint complained about. Runs in the worker process."""
    with _Complaints() as complaints:
        documents = [_first_that_fits(versions, most_pages) for versions in sections]
        pages = [page for document in documents for page in document.pages]
        pdf: bytes = documents[0].copy(pages).write_pdf()
    return pdf, tuple(complaints.heard)


def _first_that_fits(versions: tuple[str, ...], most_pages: int) -> Document:
    for html in versions:
        document = _lay_out(html)
        if not most_pages or len(document.pages) <= most_pages:
            break
    return document


def _lay_out(html: str) -> Document:
    from weasyprint import HTML  # noqa: PLC0415 - heavy, and only the worker needs it

    sheet, fonts = style()
    page = HTML(string=html, base_url=STATIC_ADDRESS, url_fetcher=fetcher())
    return page.render(stylesheets=[sheet], font_config=fonts)


@cache
def style() -> tuple[CSS, FontConfiguration]:
    """The style sheet of all paper and the shipped fonts, read once a process."""
    from weasyprint import CSS  # noqa: PLC0415
    from weasyprint.text.fonts import FontConfiguration  # noqa: PLC0415

    fonts = FontConfiguration()
    sheet = CSS(
        url=f"{STATIC_ADDRESS}css/print.css",
        url_fetcher=fetcher(),
        font_config=fonts,
    )
    return sheet, fonts


@cache
def fetcher() -> Any:
    """What WeasyPrint must ask for every address: refuses all but our own files and pictures."""
    from weasyprint.urls import URLFetcher, URLFetcherResponse  # noqa: PLC0415

    class OwnFilesOnly(URLFetcher):  # type: ignore[misc]
        def fetch(self, url: str, headers: dict[str, str] | None = None) -> Any:
            if url.startswith(PICTURE_STARTS):
                return super().fetch(url, headers)
            body, kind = read_static(url)
            return URLFetcherResponse(url, body, {"Content-Type": kind})

    return OwnFilesOnly(allowed_protocols=("data",), allow_redirects=False)


def read_static(url: str) -> tuple[bytes, str]:
    """Content and media type of one of the project's own static files.

    Raises:
        ValueError: any other address.
    """
    folder = static_folder().resolve()
    path = (folder / unquote(urlsplit(url).path).lstrip("/")).resolve()
    is_ours = url.startswith(STATIC_ADDRESS) and path.is_relative_to(folder)
    if not is_ours or path.suffix not in STATIC_KINDS:
        raise ValueError(f"a sheet may not use {url[:100]}")
    return path.read_bytes(), STATIC_KINDS[path.suffix]


class _Complaints(logging.Handler):
    """Collects what WeasyPrint complains about while it is open."""

    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.heard: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        self.heard.append(record.getMessage())

    def __enter__(self) -> _Complaints:
        logging.getLogger("weasyprint").addHandler(self)
        return self

    def __exit__(self, *_: object) -> None:
        logging.getLogger("weasyprint").removeHandler(self)
