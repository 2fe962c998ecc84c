"""How does a page become paper?

The only door to WeasyPrint. It runs in a worker process of its own, because it holds the
interpreter for seconds. A sheet can use the project's own style sheets and fonts, and pictures
that are written into the sheet itself; every other address is refused, whoever wrote it.
"""

from __future__ import annotations

import hashlib
import logging
from collections import OrderedDict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cache, lru_cache
from threading import Lock
from typing import TYPE_CHECKING, Any
from urllib.parse import unquote, urlsplit

from api.printing.fold import fold
from api.printing.merge import merge
from api.printing.pdf_file import read_pdf, squeezed, write_pdf
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
# How many sheets are remembered? Those of a few events, some megabytes in all.
KEPT_SHEETS = 300
# How much of whole papers is remembered? The files of one pack for a large band.
KEPT_PAPER_BYTES = 50_000_000
# How many densities may be passed over by a sheet that is far too long?
LONGEST_STEP = 4
# Where does the density of a sheet go?
BODY = '<body class="'
KEPT_PATTERNS = 32
# As many marks for those who listen as the library can set; nobody has certified the result.
VARIANT = "pdf/ua-1"


@dataclass(frozen=True, slots=True)
class Section:
    """One sheet of a paper, and how closely it may be set: ``densities`` from the roomiest on.

    A density is a few names of the style sheet. The first that needs at most ``most_pages`` pages
    and has ``headings_first`` headings on its first page is printed; where none does, the roomiest
    of those with the fewest pages: a sheet is never cut off. ``most_pages`` 0 sets no limit.
    ``pattern`` is a sheet of the same kind that says where to begin, so that the cards of all
    players look alike. ``paper`` is ``a4`` or ``letter``.
    """

    html: str
    densities: tuple[str, ...] = ("",)
    most_pages: int = 0
    headings_first: int = 0
    paper: str = "a4"
    pattern: str = ""

    @property
    def digest(self) -> str:
        """Changes with whatever is printed: words, pictures, style or letters."""
        how = (self.densities, self.most_pages, self.headings_first, self.paper)
        said = "\0".join((look_of_paper(), repr(how), self.html, self.pattern))
        return hashlib.sha256(said.encode()).hexdigest()


def html_to_pdf(html: str) -> bytes:
    """One sheet as PDF.

    Raises:
        WorkerError: rendering took too long, or too much memory.
    """
    return sections_to_pdf((Section(html),))


def sections_to_pdf(sections: Sequence[Section], title: str = "") -> bytes:
    """Several sheets in one PDF; a sheet that was printed before is not printed again.

    Raises:
        WorkerError: rendering took too long, or too much memory.
    """
    if len(sections) == 1 and not title:
        return section_to_pdf(sections[0])
    identity = identity_of(sections, title)
    with _lock:
        kept = _merged.get(identity)
    if kept is None:
        kept = merge([section_to_pdf(section) for section in sections], title, identity)
        _keep_merged(identity, kept)
    return kept


def folded_pdf(sections: Sequence[Section], title: str) -> bytes:
    """Several sheets laid two by two on paper twice their size, to be folded once.

    Raises:
        WorkerError: rendering took too long, or too much memory.
    """
    plain = sections_to_pdf(sections, title)
    return fold(plain, title, identity_of(sections, f"folded {title}"))


def identity_of(sections: Sequence[Section], title: str = "") -> str:
    """What tells a paper from all others: 32 hexadecimal digits, the same for the same content."""
    said = "\0".join((title, *(section.digest for section in sections)))
    return hashlib.sha256(said.encode()).hexdigest()[:32]


def section_to_pdf(section: Section) -> bytes:
    """One sheet, printed now unless it was printed before.

    Raises:
        WorkerError: rendering took too long, or too much memory.
    """
    digest = section.digest
    with _lock:
        kept = _printed.get(digest)
        if kept is not None:
            _printed.move_to_end(digest)
            return kept
    pdf, complaints = printer().call(print_section, section, digest[:32])
    for complaint in complaints:
        LOG.warning("printing: %s", complaint)
    with _lock:
        _printed[digest] = pdf
        while len(_printed) > KEPT_SHEETS:
            _printed.popitem(last=False)
    return pdf


def _keep_merged(identity: str, paper: bytes) -> None:
    with _lock:
        _merged[identity] = paper
        while sum(map(len, _merged.values())) > KEPT_PAPER_BYTES:
            _merged.popitem(last=False)


def forget_printed() -> None:
    """Print everything anew from here on."""
    with _lock:
        _printed.clear()
        _merged.clear()


_printed: OrderedDict[str, bytes] = OrderedDict()
_merged: OrderedDict[str, bytes] = OrderedDict()
_lock = Lock()


@cache
def look_of_paper() -> str:
    """Changes with every style sheet and letter, which all paper shares.

    A template changes the sheets it makes by what they say then, and no others.
    """
    folder = static_folder()
    files = [*(folder / "css").glob("*print*"), folder / "css" / "fonts.css"]
    files += (folder / "fonts").glob("*.woff2")
    look = hashlib.sha256()
    for path in sorted(files):
        look.update(path.name.encode() + path.read_bytes())
    return look.hexdigest()


@cache
def printer() -> Worker:
    """The process that prints."""
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


def print_section(section: Section, identity: str) -> tuple[bytes, tuple[str, ...]]:
    """The PDF and what WeasyPrint complained about. Runs in the worker process."""
    with _Complaints() as complaints:
        document = _first_that_fits(section)
        # uncompressed only to be read: letters and drawings are packed right after
        pdf = document.write_pdf(
            pdf_variant=VARIANT, pdf_identifier=identity.encode(), uncompressed_pdf=True
        )
    packed = write_pdf(squeezed(read_pdf(pdf)), identity.encode())
    return packed, tuple(dict.fromkeys(complaints.heard))


def _first_that_fits(section: Section) -> Document:
    start = _where_to_begin(section.pattern, replace(section, html="", pattern=""))
    return _lay_out_from(section, start)[1]


@lru_cache(maxsize=KEPT_PATTERNS)
def _where_to_begin(pattern: str, section: Section) -> int:
    """The place of the density that fits the pattern; the first where there is no pattern."""
    return _lay_out_from(replace(section, html=pattern), 0)[0] if pattern else 0


def _lay_out_from(section: Section, start: int) -> tuple[int, Document]:
    """The roomiest density that fits, and the sheet; where none does, the roomiest of few pages."""
    best: tuple[int, Document] | None = None
    pictures: dict[Any, Any] = {}
    index, last = start, len(section.densities) - 1
    while index <= last:
        document = _lay_out(section, section.densities[index], pictures)
        pages = len(document.pages)
        is_whole = len(document.pages[0].bookmarks) >= section.headings_first
        if is_whole and (not section.most_pages or pages <= section.most_pages):
            return index, document
        if best is None or pages < len(best[1].pages):
            best = (index, document)
        # far too long: the next density, a little closer, would not do either
        step = min(LONGEST_STEP, max(1, pages // (section.most_pages or pages) - 1))
        index = min(index + step, last) if index < last else last + 1
    assert best is not None, "a section has at least one density"
    return best


def _lay_out(section: Section, density: str, pictures: dict[Any, Any]) -> Document:
    from weasyprint import HTML  # noqa: PLC0415 - heavy, and only the worker needs it

    sheets, fonts = style()
    used = [sheets[0]] if section.paper == "a4" else list(sheets)
    html = section.html.replace(BODY, f"{BODY}{density} ", 1)
    page = HTML(string=html, base_url=STATIC_ADDRESS, url_fetcher=fetcher())
    return page.render(stylesheets=used, font_config=fonts, cache=pictures)


@cache
def style() -> tuple[tuple[CSS, CSS], FontConfiguration]:
    """The style of all paper, what US paper changes in it, and the shipped fonts, read once."""
    from weasyprint import CSS  # noqa: PLC0415
    from weasyprint.text.fonts import FontConfiguration  # noqa: PLC0415

    fonts = FontConfiguration()
    sheets = [
        CSS(url=f"{STATIC_ADDRESS}css/{name}", url_fetcher=fetcher(), font_config=fonts)
        for name in ("print.css", "print-letter.css")
    ]
    return (sheets[0], sheets[1]), fonts


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
