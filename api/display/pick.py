"""Which tunes are there to add to a set? A page of what was looked for, each with its button."""

from __future__ import annotations

from dataclasses import dataclass

from api.display.tunes import Found, TuneLineView, found_words, tune_line


@dataclass(frozen=True, slots=True)
class PickView:
    """What was found; ``before`` and ``after`` are the numbers of the pages beside this one."""

    words: str
    said: str
    lines: tuple[TuneLineView, ...]
    before: str
    after: str
    is_empty: bool


def pick_view(found: Found, words: str) -> PickView:
    """One page of the tunes that were looked for."""
    last = -(-found.count // found.page_size)
    return PickView(
        words=words,
        said=found_words(found) if found.tunes else "Nothing fits",
        lines=tuple(tune_line(tune) for tune in found.tunes),
        before=str(found.page - 1) if 1 < found.page <= last + 1 else "",
        after=str(found.page + 1) if found.page < last else "",
        is_empty=not found.total,
    )
