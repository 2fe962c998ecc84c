"""What does paper from Pacestick look like? Every sheet of the demo band, page by page, as PNG.

The pictures go to ``docs/gallery`` (or the folder named): small enough to keep beside the text, and
made anew by one command whenever a sheet changes, so that a person can look at all of them.
"""

from __future__ import annotations

import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pypdfium2
from PIL import Image, ImageOps

from api.actions.demo import load_demo
from api.actions.events import all_events
from api.actions.sheets import Sheet, print_sheet
from api.settings import seed_data_dir
from api.storage.database import BandId, Database
from api.storage.library import open_library

DOTS_PER_INCH = {Sheet.SET_CARDS: 110}
USUAL_DOTS_PER_INCH = 75
POINTS_PER_INCH = 72
CARD_GAP = 18
GREYS = 16  # enough for ink on paper, and small files


def main(folder: Path) -> None:
    """Draw the whole gallery into a folder, which is emptied of earlier pictures first."""
    folder.mkdir(parents=True, exist_ok=True)
    for old in folder.glob("*.png"):
        old.unlink()
    with tempfile.TemporaryDirectory() as scratch:
        database = open_library(f"sqlite:///{scratch}/gallery.sqlite3", "Demo band")
        band = database.home_band()
        with database.writing() as session:
            load_demo(session, band, seed_data_dir())
        for name, pdf, scale in _papers(database, band):
            _draw(pdf, scale, folder / name)
        database.close()
    _draw_card([folder / f"parade-set-cards-{side}.png" for side in (2, 3)], folder.parent)


def _draw_card(sides: list[Path], folder: Path) -> None:
    """Both sides of one set card beside each other: the picture on the front page."""
    pictures = [ImageOps.expand(Image.open(side).convert("L"), 1, 170) for side in sides]
    width = sum(picture.width for picture in pictures) + CARD_GAP * (len(pictures) + 1)
    card = Image.new("L", (width, pictures[0].height + 2 * CARD_GAP), 246)
    left = CARD_GAP
    for picture in pictures:
        card.paste(picture, (left, CARD_GAP))
        left += picture.width + CARD_GAP
    card.quantize(GREYS).save(folder / "card.png", optimize=True)


def _papers(database: Database, band: BandId) -> Iterator[tuple[str, bytes, float]]:
    with database.reading() as session:
        events = all_events(session, band)
    for event in events:
        for sheet in Sheet:
            paper = print_sheet(database, band, event.id, sheet)
            dots = DOTS_PER_INCH.get(sheet, USUAL_DOTS_PER_INCH)
            yield f"{event.noun.setting.occasion}-{sheet}", paper.pdf, dots / POINTS_PER_INCH


def _draw(pdf: bytes, scale: float, stem: Path) -> None:
    document = pypdfium2.PdfDocument(pdf)
    for number, page in enumerate(document, start=1):
        picture = page.render(scale=scale).to_pil().convert("L").quantize(GREYS)
        path = stem.with_name(f"{stem.name}-{number}.png")
        picture.save(path, optimize=True)
        print(path.name)
    document.close()


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else Path("docs/gallery"))
