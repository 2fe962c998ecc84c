"""The same sheet is the same to the byte, and a change changes just the pages that show it."""

import os
import re
import shutil
import subprocess
import sys
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest
from jinja2 import FileSystemLoader

from api import templating
from api.actions.pack import PackWish, pack_drafts
from api.actions.print_order import PrintOrder
from api.actions.sheets import OF_ONE_PLAYER, Draft, Sheet, Wish, draft_of
from api.display.planned import AgreementMade, PlannedEvent
from api.printing import pdf
from api.settings import PrintFormat
from planner.event.event import Instrument, LineUp, Person
from planner.marks.choices import Agreed, Choices
from planner.marks.marks import Verdict
from planner.plan import plan_tune
from planner.rules.load import load_rulebook
from tests.api.display.events import (
    CONTEST,
    jig,
    march,
    planned_entry,
    planned_event,
    planned_set,
)

MARCH, JIG = march(), jig()
MARCH_SET = ("set-cards 1", "phrased-music 0", "drum-sheet 0")


def event(**changes: object) -> PlannedEvent:
    sets = (
        planned_set(planned_entry(MARCH, CONTEST)),
        planned_set(planned_entry(JIG, CONTEST), number=2, name="Hill set"),
    )
    return planned_event(*sets, setting=CONTEST, **changes)


BEFORE = event()
FOLLOW = next(m for m in BEFORE.sets[0].entries[0].plan.marks if m.drums is Verdict.FOLLOW)
AGREED = Choices(
    agreements=(Agreed(FOLLOW.place.address, FOLLOW.move, FOLLOW.ms, 76, is_agreed=True),)
)


def with_plan(rules=None, **changes: object) -> PlannedEvent:
    """The event with its march planned otherwise."""
    first, second = BEFORE.sets
    plan = plan_tune(MARCH, CONTEST, rules or load_rulebook(), **changes)
    entry = replace(first.entries[0], plan=plan)
    return replace(BEFORE, sets=(replace(first, entries=(entry,)), second))


def pages(planned: PlannedEvent, wish: Wish | None = None) -> dict[str, str]:
    """A digest for every sheet of every paper that is not one player's."""
    order = PrintOrder(1, planned, {})
    return {
        f"{sheet} {index}": section.digest
        for sheet in Sheet
        if sheet not in OF_ONE_PLAYER
        for index, section in enumerate(draft_of(order, sheet, wish or Wish()).sections)
    }


def changed(planned: PlannedEvent) -> set[str]:
    before, after = pages(BEFORE), pages(planned)
    assert before.keys() == after.keys()
    return {name for name in before if before[name] != after[name]}


def test_nothing_changes_where_nothing_was_changed() -> None:
    assert changed(event()) == set()


def test_a_tempo_changes_every_sheet_that_says_it() -> None:
    assert changed(with_plan(tempo_bpm=79)) == {*MARCH_SET, "set-cards 0"}


def test_an_agreement_changes_card_music_and_drum_sheet_of_its_tune() -> None:
    assert changed(with_plan(choices=AGREED)) == set(MARCH_SET)


def test_who_agreed_changes_the_drum_sheet_alone() -> None:
    agreed = with_plan(choices=AGREED)
    key = BEFORE.sets[0].entries[0].entry.tune_key
    told = replace(agreed, agreements=(AgreementMade(key, FOLLOW.place.address, True, "Sam"),))
    before, after = pages(agreed), pages(told)
    assert {name for name in before if before[name] != after[name]} == {"drum-sheet 0"}


def test_a_rule_changes_the_sheets_of_the_tune_planned_with_it_alone() -> None:
    book, key = load_rulebook(), "occasions.competition.march_strathspey_reel.across_bar"
    planned = with_plan(book.with_own({key: replace(book[key], value="none")}))
    assert changed(planned) == {*MARCH_SET, "set-cards 0"}, "no mark is left for drums to follow"


def test_an_out_changes_the_card_of_its_set_alone() -> None:
    people = BEFORE.line_up
    outs = people.outs | {("isla", BEFORE.sets[1].entries[0].entry.tune_key)}
    assert changed(event(line_up=replace(people, outs=outs))) == {"set-cards 2"}


def test_a_new_player_changes_the_numbers_alone() -> None:
    people = BEFORE.line_up
    more = LineUp((*people.people, Person("new", "Perrin Oxgate", Instrument.PIPES)),
                  people.outs, people.harmony)  # fmt: skip
    assert changed(event(line_up=more)) == {"call-sheet 0"}


def test_a_new_version_changes_every_page() -> None:
    later = event(made_at=BEFORE.made_at + timedelta(minutes=1))
    assert changed(later) == set(pages(BEFORE))


def test_other_paper_changes_every_page() -> None:
    before, after = pages(BEFORE), pages(BEFORE, Wish(PrintFormat.LETTER))
    assert not set(before.values()) & set(after.values())


@pytest.mark.parametrize(
    "path", ["static/css/print-card.css", "static/fonts/pacestick-sans-bold.woff2"]
)
def test_a_style_or_a_letter_changes_every_page(
    path: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    templates = pdf.static_folder().parent
    before = look_below(templates, monkeypatch)
    shutil.copytree(templates / "static", tmp_path / "static")
    assert look_below(tmp_path, monkeypatch) == before
    with (tmp_path / path).open("ab") as changed_file:
        changed_file.write(b"\n")
    after = look_below(tmp_path, monkeypatch)
    assert after != before
    old = pages(BEFORE)
    monkeypatch.setattr(pdf, "look_of_paper", lambda: after)
    assert not set(pages(BEFORE).values()) & set(old.values())


@pytest.mark.parametrize(
    ("template", "sheets"),
    [
        ("set_card.html", {"set-cards 1", "set-cards 2"}),
        ("front_card.html", {"set-cards 0"}),
        ("drum_sheet.html", {"drum-sheet 0"}),
        ("verdict.html", {"drum-sheet 0"}),
        ("phrased_music.html", {"phrased-music 0", "phrased-music 1"}),
    ],
)
def test_a_template_changes_the_sheets_that_are_made_from_it_alone(
    template: str, sheets: set[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = pages(BEFORE)
    shutil.copytree(templating.templates_folder() / "print", tmp_path / "print")
    path = tmp_path / "print" / template
    path.write_text(re.sub(r"<(section|span|header)", r"<\1 title='other'", path.read_text()))
    changed_place = templating.environment().overlay(loader=FileSystemLoader(tmp_path))
    monkeypatch.setattr(templating, "environment", lambda: changed_place)
    after = pages(BEFORE)
    assert {name for name in before if before[name] != after[name]} == sheets


def test_an_out_changes_the_bytes_of_the_pages_that_name_it_and_no_others() -> None:
    key = BEFORE.sets[1].entries[0].entry.tune_key
    outs = BEFORE.line_up.outs | {("isla", key)}
    after = event(line_up=replace(BEFORE.line_up, outs=outs))
    changes = {
        (draft.file_name.partition("-v")[0], index)
        for draft, other in zip(paper(BEFORE), paper(after), strict=True)
        for index, (old, new) in enumerate(zip(draft.sections, other.sections, strict=False))
        if pdf.section_to_pdf(old) != pdf.section_to_pdf(new)
    }
    assert changes == {
        ("harvest-parade-set-cards", 2),  # the second set's card
        ("noticeboard.pdf", 4),
        ("players/isla-rennick.pdf", 2),
        ("players/isla-rennick.pdf", 3),  # what Isla plays; the music after it is one sheet less
        ("players/jo-pell.pdf", 2),
        ("players/sam-orrin.pdf", 2),
    }


def paper(planned: PlannedEvent) -> list[Draft]:
    """The files of a pack whose pages are told apart: cards, noticeboard and players."""
    drafts = pack_drafts(PrintOrder(1, planned, {}), PackWish(names_outs=True))
    return [
        each
        for each in drafts
        if "set-cards-v" in each.file_name or not each.file_name.startswith("harvest")
    ]


def look_below(templates: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    with monkeypatch.context() as patched:
        patched.setattr(pdf, "static_folder", lambda: templates / "static")
        return pdf.look_of_paper.__wrapped__()


def test_the_same_sheet_is_the_same_to_the_byte_in_another_process(tmp_path: Path) -> None:
    section = draft_of(PrintOrder(1, BEFORE, {}), Sheet.PHRASED_MUSIC).sections[0]
    here = pdf.section_to_pdf(section)
    html, out = tmp_path / "sheet.html", tmp_path / "sheet.pdf"
    html.write_text(section.html)
    code = (
        "import sys; from pathlib import Path; from api.printing.pdf import *; "
        "from api.printing.sheets import MUSIC_DENSITIES; "
        "html, identity, out = sys.argv[1:]; "
        "section = Section(Path(html).read_text(), MUSIC_DENSITIES, most_pages=1); "
        "Path(out).write_bytes(print_section(section, identity)[0])"
    )
    surroundings = os.environ | {"PYTHONHASHSEED": "7", "TZ": "Pacific/Auckland"}
    command = [sys.executable, "-c", code, str(html), section.digest[:32], str(out)]
    subprocess.run(command, env=surroundings, check=True)
    assert out.read_bytes() == here
