"""Where do the pages before and after one page of a long list lie?"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from urllib.parse import urlencode


@dataclass(frozen=True, slots=True)
class TurnView:
    """The addresses of the pages before and after, empty where there is none."""

    before: str
    after: str


def turn_view(address: str, looked: Mapping[str, str], page: int, last: int) -> TurnView:
    """The neighbours of a page (from 1) of so many; ``looked`` are the words of the search."""
    return TurnView(
        before=_page(address, looked, page - 1) if 1 < page <= last + 1 else "",
        after=_page(address, looked, page + 1) if page < last else "",
    )


def _page(address: str, looked: Mapping[str, str], page: int) -> str:
    asked = {name: words for name, words in looked.items() if words}
    return f"{address}?{urlencode({**asked, 'page': page})}"
