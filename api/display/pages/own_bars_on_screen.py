"""What a set plays that is not printed, on a page: the words, the link engraved, and its marks."""

from __future__ import annotations

from dataclasses import dataclass, replace

from api.display.music import MusicView, music_view
from api.display.own_bars import link_where, own_bar_lines
from api.display.planned import PlannedEntry
from api.display.planned_tune import MarkLineView, mark_lines

NO_MUSIC = MusicView()


@dataclass(frozen=True, slots=True)
class OwnBarsView:
    """The altered bar and the link as (name, words), the link's music and its marks."""

    lines: tuple[tuple[str, str], ...] = ()
    music: MusicView = NO_MUSIC
    marks: tuple[MarkLineView, ...] = ()


def own_bars_view(each: PlannedEntry) -> OwnBarsView:
    """What of a tune is this set's own; empty where all is as printed."""
    link = each.link
    if link is None:
        return OwnBarsView(own_bar_lines(each))
    marks = mark_lines(link.marks, "link", False)
    return OwnBarsView(
        lines=own_bar_lines(each),
        music=music_view(link.tune, link.marks, "link-", is_excerpt=True),
        marks=tuple(replace(mark, where=link_where(mark.where)) for mark in marks),
    )
