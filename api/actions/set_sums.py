"""How long does a set last, and how do its joins run? Only the music of its own tunes is read."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass

from api.actions.music import with_music
from api.actions.rules import rulebook_of
from api.storage import tunes as stored_tunes
from api.storage.database import BandId, Session
from planner.errors import RequestError
from planner.event.altered import link_tune
from planner.event.event import SORTS_BY_OCCASION, Entry, Occasion, Set, Setting
from planner.event.joins import Join, judge_joins, neighbour
from planner.event.played_parts import as_played
from planner.event.timetable import SetTimetable, time_set
from planner.music.tune import Tune
from planner.plan import chosen_idiom, chosen_tempo
from planner.rules.rulebook import RuleBook


@dataclass(frozen=True, slots=True)
class SetMusic:
    """What sets are reckoned from, by tune key; a tune without music has a title only."""

    titles: Mapping[str, str]
    tunes: Mapping[str, Tune]
    centres: Mapping[str, str]
    rules: RuleBook


def music_of_sets(session: Session, band: BandId, sets: Iterable[Set]) -> SetMusic:
    """The music of every tune in these sets."""
    return music_of(session, band, {entry.tune_key for each in sets for entry in each.entries})


def music_of(session: Session, band: BandId, keys: Collection[str]) -> SetMusic:
    """The music of these tunes; a key that no tune has is left out."""
    numbers = sorted(int(key) for key in keys)
    found = stored_tunes.tunes_by_number(session, band, numbers) if numbers else {}
    kept = with_music(session, band, tuple(found.values()))
    return SetMusic(
        titles={each.noun.record.key: each.noun.record.title for each in kept},
        tunes={each.noun.record.key: each.noun.tune for each in kept if each.noun.tune},
        centres={each.noun.record.key: each.noun.record.tonal_centre for each in kept},
        rules=rulebook_of(session, band),
    )


def time_of_set(a_set: Set, music: SetMusic) -> SetTimetable | None:
    """How long a set lasts at its occasion; None where it cannot be reckoned."""
    if not _has_all(a_set, music):
        return None
    try:
        return _timed(a_set, music)
    except RequestError:
        return None


def problem_of_set(a_set: Set, music: SetMusic) -> str:
    """Why a set cannot be reckoned, in a sentence; empty text where it can."""
    silent = [music.titles.get(each.tune_key, "A tune") for each in a_set.entries]
    silent = [
        title for title, each in zip(silent, a_set.entries, strict=True) if not _has(each, music)
    ]
    if silent:
        return f"{silent[0]}: its music cannot be read; upload its file again."
    try:
        _timed(a_set, music)
    except RequestError as error:
        return str(error)
    return ""


def _timed(a_set: Set, music: SetMusic) -> SetTimetable:
    occasion = a_set.occasion or _meant_for(a_set)
    setting = Setting(occasion, SORTS_BY_OCCASION[occasion][0])
    return time_set(a_set, music.tunes, music.rules, setting)


def _meant_for(a_set: Set) -> Occasion:
    """What a set without an occasion is reckoned for: rules or a dance say it."""
    if a_set.ruleset:
        return Occasion.COMPETITION
    return Occasion.DANCE if a_set.dance else Occasion.EXHIBITION


def joins_of_set(a_set: Set, music: SetMusic) -> tuple[Join, ...]:
    """How each tune runs into the next; nothing where the set cannot be reckoned."""
    if time_of_set(a_set, music) is None:
        return ()
    neighbours = [
        neighbour(
            as_played(entry, music.tunes[entry.tune_key]),
            _bpm(entry, music),
            music.centres.get(entry.tune_key, ""),
            link_tune(entry, music.tunes[entry.tune_key]),
            entry.cue,
        )
        for entry in a_set.entries
    ]
    return judge_joins(neighbours, music.rules)


def _has_all(a_set: Set, music: SetMusic) -> bool:
    return all(_has(entry, music) for entry in a_set.entries)


def _has(entry: Entry, music: SetMusic) -> bool:
    return entry.tune_key in music.tunes


def _bpm(entry: Entry, music: SetMusic) -> float:
    tune = music.tunes[entry.tune_key]
    idiom = chosen_idiom(tune, music.rules)
    return chosen_tempo(tune, idiom, music.rules, entry.tempo_bpm).bpm
