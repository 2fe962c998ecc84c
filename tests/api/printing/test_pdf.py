import base64
import os
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest

from api.printing import pdf
from tests.api.printing.paper import dark_pixels, fonts, letters, page_words, words

SHIPPED = {
    f"Pacestick-{family}{style}"
    for family in ("Serif", "Sans")
    for style in ("", "-Regular", "-Italic", "-Bold")
}


def page(content: str) -> str:
    return (
        f'<html lang="en"><head><title>A page</title></head><body class="">{content}</body></html>'
    )


def printed(content: str) -> bytes:
    return pdf.html_to_pdf(page(content))


def base_names(names: set[str]) -> set[str]:
    return {name.split("+")[-1] for name in names}


def test_a_sentence_comes_out_of_the_paper_as_it_went_in() -> None:
    assert words(printed("<p>Hold the D, “lightly” – à la façon of old.</p>")) == (
        "Hold the D, “lightly” – à la façon of old."
    )


@pytest.mark.parametrize(
    "address",
    [
        "file:///etc/passwd",
        "http://example.org/x.png",
        "https://static.invalid/../../pyproject.toml",
        "https://static.invalid/%2e%2e/%2e%2e/pyproject.toml",
        "data:text/html;base64,PGI+aGk8L2I+",
        "../../api/templating.py",
    ],
)
def test_a_sheet_can_reach_nothing_but_our_own_files(
    address: str, caplog: pytest.LogCaptureFixture
) -> None:
    paper = printed(f'<p>before</p><img src="{address}" alt="none"><p>after</p>')
    assert words(paper) == "before after none"
    assert "Failed to load" in caplog.text
    caplog.clear()


def test_a_picture_that_is_written_into_the_sheet_cannot_reach_out_either(
    caplog: pytest.LogCaptureFixture,
) -> None:
    svg = (
        '<svg xmlns="http://www.w3.org/2000/svg" width="50mm" height="50mm">'
        '<image href="file:///etc/passwd" width="9" height="9"/></svg>'
    )
    printed(f'<img src="{_written_in(svg)}" alt="drawing">')
    assert "file:///etc/passwd" in caplog.text
    caplog.clear()


def test_a_picture_that_is_written_into_the_sheet_prints_as_ink() -> None:
    svg = (
        '<svg xmlns="http://www.w3.org/2000/svg" width="50mm" height="50mm" '
        'viewBox="0 0 10 10"><path d="M0 0H10V10H0z"/></svg>'
    )
    paper = printed(f'<img src="{_written_in(svg)}" alt="drawing">')
    assert dark_pixels(paper, (0, 0, 210, 297)) > 15_000


@pytest.mark.parametrize(
    "url", ["file:///etc/passwd", "https://static.invalid/css/../../base.html"]
)
def test_static_files_are_style_sheets_and_fonts_of_ours_only(url: str) -> None:
    with pytest.raises(ValueError, match="a sheet may not use"):
        pdf.read_static(url)


LONG = "<style>.half p { font-size: 5pt } .tiny p { font-size: 2pt }</style>" + "<p>word</p>" * 200
SIZES = ("", "half", "tiny")


def long_sheet(most_pages: int, **more: object) -> pdf.Section:
    return pdf.Section(page(LONG), SIZES, most_pages, **more)


def sizes_of(section: pdf.Section) -> set[float]:
    return {letter.size_pt for letter in letters(pdf.section_to_pdf(section))}


def test_the_roomiest_density_that_fits_is_printed() -> None:
    assert sizes_of(long_sheet(most_pages=3)) == {5.0}


def test_a_sheet_is_printed_whole_even_if_no_density_fits() -> None:
    paper = pdf.section_to_pdf(pdf.Section(page(LONG), ("", "half"), most_pages=1))
    assert words(paper).count("word") == 200


def test_the_pattern_decides_where_to_begin() -> None:
    short = pdf.Section(page(LONG.replace("<p>word</p>" * 150, "")), SIZES, most_pages=3)
    assert sizes_of(short) == {11.0}
    assert sizes_of(replace(short, pattern=page(LONG))) == {5.0}


def test_sections_follow_each_other_in_one_paper() -> None:
    first, second = (pdf.Section(page(f"<p>{word}</p>")) for word in ("first", "second"))
    paper = pdf.sections_to_pdf((first, second))
    assert page_words(paper) == ["first", "second"]


def test_only_shipped_fonts_are_embedded() -> None:
    paper = printed(
        "<p>sans <b>bold</b> <i>italic</i></p><h1>serif</h1>"
        f'<img src="{_written_in(TEXT_PICTURE)}" alt="words">'
    )
    assert base_names(fonts(paper)) <= SHIPPED
    assert len(base_names(fonts(paper))) >= 4


def test_the_shipped_fonts_are_enough_where_the_machine_has_none(tmp_path: Path) -> None:
    config = tmp_path / "fonts.conf"
    config.write_text('<?xml version="1.0"?><fontconfig></fontconfig>')
    out = tmp_path / "sheet.pdf"
    code = (
        "import sys; from api.printing.pdf import Section, print_section; "
        f"pdf, heard = print_section(Section({page('<p>plain <b>bold</b></p>')!r}), 'ab'); "
        "assert not heard, heard; open(sys.argv[1], 'wb').write(pdf)"
    )
    surroundings = os.environ | {"FONTCONFIG_FILE": str(config)}
    subprocess.run([sys.executable, "-c", code, str(out)], env=surroundings, check=True)
    assert words(out.read_bytes()) == "plain bold"
    assert base_names(fonts(out.read_bytes())) <= SHIPPED


def test_every_font_has_its_licence_beside_it() -> None:
    folder = pdf.static_folder() / "fonts"
    families = {path.name.split("-")[1] for path in folder.glob("*.woff2")}
    for family in families:
        assert "SIL OPEN FONT LICENSE" in (folder / f"OFL-{family}.txt").read_text()


TEXT_PICTURE = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="50mm" height="20mm" viewBox="0 0 500 200">'
    '<text x="20" y="100" font-size="60" font-family="Pacestick Serif">in a picture</text></svg>'
)


def _written_in(svg: str) -> str:
    return "data:image/svg+xml;base64," + base64.b64encode(svg.encode()).decode()
