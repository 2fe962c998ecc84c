"""The ink of an SVG on paper, as a grid of dark pixels: printed by WeasyPrint, seen by PDFium."""

import base64

import numpy as np
import pypdfium2
import weasyprint

DPI = 250


def ink_of(svg: str, width_mm: float, height_mm: float, dpi: int = DPI) -> np.ndarray:
    """True where the page is dark."""
    data = base64.b64encode(svg.encode()).decode()
    page = (
        f"<style>@page {{ size: {width_mm}mm {height_mm}mm; margin: 0 }} body {{ margin: 0 }}"
        "img { display: block }</style>"
        f'<img src="data:image/svg+xml;base64,{data}">'
    )
    document = pypdfium2.PdfDocument(weasyprint.HTML(string=page).write_pdf())
    assert len(document) == 1
    pixels = document[0].render(scale=dpi / 72, grayscale=True).to_numpy().squeeze()
    document.close()
    return np.asarray(pixels < 128)


def spread(dark: np.ndarray, pixels: int = 1) -> np.ndarray:
    """The dark pixels and their neighbours."""
    grown = dark.copy()
    for down in range(-pixels, pixels + 1):
        for right in range(-pixels, pixels + 1):
            grown |= np.roll(np.roll(dark, down, 0), right, 1)
    return grown
