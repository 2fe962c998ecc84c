"""Which tunes of the band fit a dance, and how many times through?

Only music of the types that are danced to is read, and no more than ``MOST_TUNES``.
"""

from __future__ import annotations

from collections.abc import Sequence

from api.actions.music import with_music
from api.storage.database import BandId, Session
from api.storage.shelf import tunes_of_idioms
from api.storage.tunes import tunes_by_number
from planner.errors import RequestError
from planner.event.dance import Dance, check_steps
from planner.event.dancing.tunes import TempoTunes, tunes_for_dance
from planner.event.programme import type_of_idiom
from planner.music.tune import Tune
from planner.rules.rulebook import RuleBook

MOST_TUNES = 300


def tunes_of_dance(
    session: Session, band: BandId, dance: Dance, steps: Sequence[int], rulebook: RuleBook
) -> tuple[TempoTunes, ...]:
    """Which of the band's tunes fill these steps, and how many times through.

    Raises:
        RequestError: steps that do not fit the dance.
    """
    if not steps:
        raise RequestError("steps", "no number is on record", "give the steps the dancers ask for")
    check_steps(dance, steps)
    types = {tempo.tune_type for tempo in dance.tempos} - {""}
    tunes = _tunes_of(session, band, types, rulebook)
    return tunes_for_dance(dance, steps, tunes)


def _tunes_of(session: Session, band: BandId, types: set[str], book: RuleBook) -> dict[str, Tune]:
    """The music of these types of tune, by key."""
    known = ("reel", *(name.replace("_", " ") for name in book.names("idioms")))
    idioms = [one for one in known if type_of_idiom(one) in types]
    numbers = tunes_of_idioms(session, band, idioms, MOST_TUNES)
    kept = tuple(tunes_by_number(session, band, sorted(numbers)).values()) if numbers else ()
    music = with_music(session, band, kept)
    return {each.noun.record.key: each.noun.tune for each in music if each.noun.tune is not None}
