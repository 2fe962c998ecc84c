"""What does somebody look for among the tunes? The words of a search, from the address."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import Annotated

from fastapi import Query

from api.actions.shelf import PAGE, Looking, ShelfPage, levels_from
from api.display.form import FormView
from api.display.pages.tunes import Found, ShelfTune

Word = Annotated[str, Query(max_length=120)]


@dataclass(frozen=True, slots=True)
class Looked:
    """A search as the address says it; what is empty lets everything through."""

    words: Word = ""
    idiom: Word = ""
    metre: Word = ""
    tag: Word = ""
    centre: Word = ""
    ready: Word = ""
    rung: Annotated[str, Query(pattern="^[1-4]?$")] = ""

    def looking(self) -> Looking:
        """The search as the library takes it; a rung alone asks for the lowest level.

        Raises:
            RequestError: a level nobody knows.
        """
        ready = self.ready or ("chanter" if self.rung else "")
        return Looking(
            words=self.words,
            idiom=self.idiom,
            metre=self.metre,
            tonal_centre=self.centre,
            tag=self.tag,
            levels=levels_from(ready),
            rung=int(self.rung) if self.rung else None,
        )

    def form(self, action: str) -> FormView:
        """The search as it stands in its form."""
        return FormView(action, {name: (words,) for name, words in asdict(self).items()})


def on_shelf(found: ShelfPage, page: int, size: int = PAGE) -> Found:
    """What was found, as the pages show it."""
    tunes = tuple(
        ShelfTune(
            key=line.key,
            title=line.title,
            idiom=line.idiom,
            metre=line.metre,
            part_count=line.part_count,
            tempo_bpm=line.tempo_bpm,
            tags=line.tags,
            has_notes=line.has_notes,
        )
        for line in found.lines
    )
    return Found(tunes, found.found, found.total, page, size)
