"""How does one tune on two occasions get on paper?"""

from __future__ import annotations

from api.actions.planning import plan_of_tune
from api.actions.sheets import ANY_WISH, Draft, Wish, plain_name
from api.actions.tunes import one_tune
from api.display.paper.phrased_music import TunePictures
from api.display.paper.pictures import HALF, tune_pictures
from api.display.paper.side_by_side import side_by_side_view
from api.display.words import version_words
from api.printing.press import Press
from api.printing.sheets import side_by_side_sections
from api.storage.database import BandId, Database
from planner.event.event import Setting
from planner.plan import TunePlan


def draft_side_by_side(
    database: Database,
    band: BandId,
    number: int,
    settings: tuple[Setting, Setting],
    wish: Wish = ANY_WISH,
    query: str = "",
) -> Draft:
    """One tune of the library on two occasions; ``query`` is what its address asks for.

    Raises:
        NotFoundError: the band has no such tune.
        RequestError: a sort does not go with its occasion, or the tune has no music to plan.
    """
    with database.reading() as session:
        kept = one_tune(session, band, number)
        left, right = (plan_of_tune(session, band, number, each) for each in settings)
    version = version_words(kept.version, kept.changed_at)
    view = side_by_side_view(left, right, _drawn(left), _drawn(right), version)
    address = f"{wish.address}/tunes/{number}" if wish.address else ""
    press = Press(wish.format, kept.changed_at, address)
    sections = side_by_side_sections(view, press, f"side-by-side.pdf{query}")
    name = f"{plain_name(view.title) or 'tune'}-side-by-side-v{kept.version}.pdf"
    return Draft(name, f"{view.title}: two occasions", sections)


def _drawn(plan: TunePlan) -> TunePictures:
    return tune_pictures(plan.tune, plan.marks, layout=HALF, most_mm=0)
