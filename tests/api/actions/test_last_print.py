from dataclasses import replace

from api.actions.last_print import changes_since_last_print
from api.display.paper.drum_sheet import BarView, DrumSheetView, StripView
from api.storage.database import Database
from api.storage.prints import prints_of_event
from tests.api.library import an_event
from tests.api.printing.views import drum_sheet, drum_tune


def with_bar(verdict: str) -> DrumSheetView:
    tune = drum_tune()
    strips = (StripView("Part 1", (BarView("1", verdict),)),)
    return drum_sheet(replace(tune, strips=strips))


def test_the_first_sheet_has_nothing_to_compare_with(client) -> None:
    assert changes(client, int(an_event(client)), with_bar("strict")) == ()


def test_the_next_sheet_tells_what_is_new_however_often_it_is_asked_for(client) -> None:
    event = int(an_event(client))
    changes(client, event, with_bar("strict"))
    told = ("The Lantern on Harrow Brae, Part 1, bar 1: watch (was strict).",)
    assert changes(client, event, with_bar("watch")) == told
    assert changes(client, event, with_bar("watch")) == told


def test_the_same_sheet_is_kept_once(client) -> None:
    event = int(an_event(client))
    for _ in range(3):
        changes(client, event, with_bar("strict"))
    database: Database = client.app.state.database
    with database.reading() as session:
        assert len(prints_of_event(session, database.home_band(), event)) == 1


def test_a_sheet_that_goes_back_is_compared_with_the_one_between(client) -> None:
    event = int(an_event(client))
    for verdict in ("strict", "watch"):
        changes(client, event, with_bar(verdict))
    back = changes(client, event, with_bar("strict"))
    assert back == ("The Lantern on Harrow Brae, Part 1, bar 1: strict (was watch).",)


def changes(client, event: int, sheet: DrumSheetView) -> tuple[str, ...]:
    database: Database = client.app.state.database
    return changes_since_last_print(database, database.home_band(), event, 1, sheet)
