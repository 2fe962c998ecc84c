"""What is there to add? A page of the tunes or sets that were looked for, each with its button."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from api.display.pages.tunes import Found, TuneLineView, found_words, tune_line
from api.display.words import counted, sentence_start


@dataclass(frozen=True, slots=True)
class PickLineView:
    """One thing that can be added."""

    key: str
    title: str
    facts: str


@dataclass(frozen=True, slots=True)
class PickView:
    """What was found; ``before`` and ``after`` are the numbers of the pages beside this one."""

    words: str
    said: str
    lines: tuple[PickLineView, ...]
    before: str
    after: str
    is_empty: bool


def pick_view(found: Found, words: str) -> PickView:
    """One page of the tunes that were looked for."""
    lines = [tune_line(tune) for tune in found.tunes]
    return _page(
        tuple(PickLineView(each.key, each.title, _facts(each)) for each in lines),
        words,
        found_words(found),
        (found.page, -(-found.count // found.page_size)),
        is_empty=not found.total,
    )


def pick_sets(
    sets: Sequence[tuple[str, str, str]], count: int, words: str, page: int, page_size: int
) -> PickView:
    """One page of the sets that were looked for, as (key, name, occasion)."""
    lines = tuple(PickLineView(*each) for each in sets)
    first = (page - 1) * page_size + 1
    here = f", {first} to {first + len(lines) - 1} on this page" if count > page_size else ""
    said = sentence_start(f"{counted(count, 'set')}{here}")
    pages = (page, -(-count // page_size))
    return _page(lines, words, said, pages, is_empty=not count and not words)


def _facts(line: TuneLineView) -> str:
    return f"{line.facts}; {line.note}" if line.note else line.facts


def _page(
    lines: tuple[PickLineView, ...],
    words: str,
    said: str,
    pages: tuple[int, int],
    *,
    is_empty: bool,
) -> PickView:
    page, last = pages
    return PickView(
        words=words,
        said=said if lines else "Nothing fits",
        lines=lines,
        before=str(page - 1) if 1 < page <= last + 1 else "",
        after=str(page + 1) if page < last else "",
        is_empty=is_empty,
    )
