import io
import re
import zipfile
from dataclasses import replace

import pytest

from api.actions.pack import PackWish, pack_drafts, pack_of, print_distinct
from api.actions.print_order import PrintOrder
from api.actions.sheets import ANY_WISH
from api.display.paper.pictures import forget_drawings
from api.printing import pdf
from api.printing.pdf import Section
from planner.engraving import engrave as engraving
from planner.event.event import LineUp
from tests.api.display.events import (
    CONTEST,
    ISLA,
    JO,
    SAM,
    jig,
    march,
    planned_entry,
    planned_event,
    planned_set,
)

LEARNER = replace(JO, key="pip", name="Pip Larkenfold", is_learner=True, rung=1)
NAMES = ("Isla Rennick", "Jo Pell", "Sam Orrin", "Pip Larkenfold")


class CountingPrinter:
    """Prints every sheet as the same page, and counts."""

    def __init__(self, page: bytes) -> None:
        self.page, self.count = page, 0

    def call(self, _function: object, _section: Section, _identity: str):
        self.count += 1
        return self.page, ()


@pytest.fixture(scope="module")
def order() -> PrintOrder:
    march_entry, jig_entry = planned_entry(march(), CONTEST), planned_entry(jig(), CONTEST)
    key = march_entry.entry.tune_key
    line_up = LineUp((ISLA, JO, SAM, LEARNER), frozenset({("pip", key), ("jo", key)}))
    sets = (planned_set(march_entry, jig_entry), planned_set(jig_entry, number=2, name="Hill set"))
    return PrintOrder(1, planned_event(*sets, setting=CONTEST, line_up=line_up), {})


@pytest.fixture
def printer(monkeypatch: pytest.MonkeyPatch) -> CountingPrinter:
    head = '<html lang="en"><head><title>A page</title></head>'
    page = pdf.html_to_pdf(f"{head}<body><p>page</p></body></html>")
    counting = CountingPrinter(page)
    monkeypatch.setattr(pdf, "printer", lambda: counting)
    pdf.forget_printed()
    yield counting
    pdf.forget_printed()


def words_of(section: Section) -> str:
    html = re.sub(r'src="[^"]*"', "", section.html)
    return " ".join(re.sub(r"<[^>]*>", " ", html).split())


def test_a_page_that_several_files_share_is_printed_once(order, printer) -> None:
    drafts = pack_drafts(order, PackWish())
    distinct = {section.digest for draft in drafts for section in draft.sections}
    assert print_distinct(drafts) == len(distinct) == printer.count
    assert sum(len(draft.sections) for draft in drafts) >= 1.5 * len(distinct)
    for draft in drafts:
        draft.print()
    assert printer.count == len(distinct), "putting the files together prints nothing again"


def test_a_pack_that_was_printed_before_is_not_printed_again(order, printer, monkeypatch) -> None:
    first = [each.print() for each in pack_drafts(order, PackWish()) if not each.is_folded]
    printed = printer.count
    monkeypatch.setattr(pdf, "merge", None)  # and what was put together before is not again
    drafts = [each for each in pack_drafts(order, PackWish()) if not each.is_folded]
    assert [draft.print() for draft in drafts] == first
    assert printer.count == printed


def test_every_tune_is_engraved_once_for_each_shape_it_is_shown_in(order, monkeypatch) -> None:
    calls: list[tuple[str, object]] = []
    ask = engraving.engraver.call

    def counted(function, tune, layout):
        calls.append((tune, layout))
        return ask(function, tune, layout)

    monkeypatch.setattr(engraving.engraver, "call", counted)
    forget_drawings()
    pack_drafts(order, PackWish())
    # the music, the first bars on the card, and both ends of the one join
    assert len(calls) == len(set(calls)) == 2 + 2 + 2


def test_progress_is_told_after_every_sheet(order, printer) -> None:
    told: list[tuple[int, int]] = []
    count = print_distinct(pack_drafts(order, PackWish()), lambda *done: told.append(done))
    assert told == [(number, count) for number in range(1, count + 1)]


def test_a_player_gets_their_cards_and_the_music_they_are_not_out_of(order) -> None:
    files = {draft.file_name: draft for draft in pack_drafts(order, PackWish())}
    jo = " ".join(words_of(section) for section in files["players/jo-pell.pdf"].sections)
    assert "card of Jo Pell" in jo
    assert "What Jo Pell plays" in jo
    assert "phrased music" in jo
    music = [s for s in files["players/jo-pell.pdf"].sections if 'class="sheet music"' in s.html]
    assert [("Oats in" in words_of(s)) for s in music] == [True, True]
    assert "note on every beat" not in jo


def test_a_drummer_gets_the_drum_sheet_and_a_learner_a_learners_card(order) -> None:
    files = {draft.file_name: draft for draft in pack_drafts(order, PackWish())}
    sam = " ".join(words_of(section) for section in files["players/sam-orrin.pdf"].sections)
    pip = " ".join(words_of(section) for section in files["players/pip-larkenfold.pdf"].sections)
    assert "Drum sheet" in sam
    assert "phrased music" not in sam
    assert "The note on every beat" in pip


def noticeboard(order: PrintOrder, names_outs: bool = False) -> str:
    wanted = PackWish(ANY_WISH, names_outs)
    hung = next(d for d in pack_drafts(order, wanted) if d.file_name == "noticeboard.pdf")
    return " ".join(words_of(section) for section in hung.sections)


def test_the_noticeboard_names_nobody_and_judges_nobody(order) -> None:
    text = noticeboard(order)
    assert "Running order" in text
    assert "Call sheet" in text
    assert not [name for name in NAMES if name in text]
    assert not re.search(r"learner|rung|ready|readiness|still to settle", text, re.IGNORECASE)


def test_outs_hang_by_name_where_the_band_has_said_so(order) -> None:
    text = noticeboard(order, names_outs=True)
    assert "Jo Pell" in text


def test_two_players_of_one_name_have_two_files(order) -> None:
    twin = replace(JO, key="jo2")
    people = replace(order.planned.line_up, people=(JO, twin))
    twins = replace(order, planned=replace(order.planned, line_up=people))
    names = [d.file_name for d in pack_drafts(twins, PackWish()) if "players" in d.file_name]
    assert names == ["players/jo-pell.pdf", "players/jo-pell-2.pdf"]


def test_the_zip_is_the_same_to_the_byte_and_dated_by_the_event(order, printer) -> None:
    packed = pack_of(order, PackWish())
    assert packed == pack_of(order, PackWish())
    with zipfile.ZipFile(io.BytesIO(packed)) as pack:
        assert {each.date_time for each in pack.infolist()} == {(2031, 6, 12, 18, 4, 0)}
