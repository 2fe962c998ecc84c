"""What is one tune planned from? Its music, the rules, the drums, and what people said of it.

A plan is remembered by everything it depends on, so that nothing stale is ever shown.
"""

from __future__ import annotations

from collections.abc import Hashable, Mapping
from dataclasses import dataclass, replace

from api.actions.choices import LOCKED, Choices
from api.actions.memo import Memo
from api.actions.reading import LibraryTune
from api.storage.records import HandMark, Lift, OwnRule, Settled
from planner.errors import RequestError
from planner.event.altered import link_tune
from planner.event.event import Entry, LineUp, Setting
from planner.event.played_parts import as_played
from planner.event.who import setting_for_tune
from planner.licence.licence import Level
from planner.marks import choices as marks
from planner.marks.as_played import choices_as_played
from planner.marks.marks import LeftOut, Move, Verdict
from planner.music.drums import DrumScore
from planner.music.tune import Tune
from planner.plan import Ground, TunePlan, plan_marks, prepare
from planner.rules.rulebook import RuleBook

# How many plans are remembered? A season's events have fewer entries than this.
_plans = Memo[TunePlan](limit=400)

# How many tunes are kept ready for the next mark by hand? What is being worked on.
_grounds = Memo[Ground](limit=100)

ByHand = Mapping[str, tuple[marks.ByHand, ...]]
Agreed = Mapping[str, tuple[marks.Agreed, ...]]
"""People's words on the marks of each tune, by its key."""


@dataclass(frozen=True, slots=True)
class Shelf:
    """The music and the rules that plans are made from, fetched.

    No plan of a tune hangs on ``own_rulesets``, the contest rules that the band has added.
    """

    tunes: Mapping[str, LibraryTune]
    rulebook: RuleBook
    own_rules: tuple[OwnRule, ...]
    drum_scores: Mapping[str, DrumScore]
    own_rulesets: tuple[OwnRule, ...] = ()


@dataclass(frozen=True, slots=True)
class Desk:
    """Everything the plans of one event are made from; ``line_up`` is empty away from an event."""

    setting: Setting
    line_up: LineUp
    shelf: Shelf
    by_hand: ByHand
    agreed: Agreed
    lifted: Mapping[str, marks.Lifted]


def lay_out(setting: Setting, line_up: LineUp, shelf: Shelf, choices: Choices) -> Desk:
    """Put everything together that plans are made from."""
    by_hand, agreed = _by_tune(choices, setting, shelf)
    lifted = {lift.tune_key: _lifted(lift) for lift in choices.lifts}
    return Desk(setting, line_up, shelf, by_hand, agreed, lifted)


def plan_entry(desk: Desk, entry: Entry) -> TunePlan:
    """The plan of a tune as a set plays it.

    Raises:
        RequestError: the tune has no music to plan.
    """
    said = _choices(desk, entry)
    known = (_identity(desk, entry, said), said.by_hand, said.agreements)
    return _plans.get(known, lambda: plan_marks(ground_of(desk, entry), said))


def plan_within_ceiling(desk: Desk, entry: Entry) -> TunePlan:
    """The plan that is played from: marks by hand above the occasion's ceiling are left off it.

    Each of them is listed among what was left off, with its reason.

    Raises:
        RequestError: the tune has no music to plan.
    """
    plan = plan_entry(desk, entry)
    above = {mark.place.note_id: mark for mark in plan.above_ceiling}
    if not above:
        return plan
    said = _choices(desk, entry)
    kept = tuple(word for word in said.by_hand if word.note_id not in above)
    within = plan_marks(ground_of(desk, entry), replace(said, by_hand=kept))
    occasion = within.licence.occasion.words
    left_off = tuple(
        LeftOut(mark.place, f"{mark.move} set by hand goes beyond what {occasion} allows")
        for mark in above.values()
    )
    others = tuple(each for each in within.left_out if each.place.note_id not in above)
    return replace(within, left_out=(*left_off, *others))


def ground_of(desk: Desk, entry: Entry) -> Ground:
    """What every plan of a tune stands on, whatever is said of its notes.

    Raises:
        RequestError: the tune has no music to plan.
    """
    said, played = _choices(desk, entry), as_played(entry, _tune(desk, entry))
    setting, rules = _setting(desk, entry), desk.shelf.rulebook
    return _grounds.get(
        _identity(desk, entry, said),
        lambda: prepare(played, setting, rules, tempo_bpm=entry.tempo_bpm, choices=said),
    )


def plan_link(desk: Desk, entry: Entry) -> TunePlan | None:
    """The plan of the bars that link a tune to the next, None where there are none.

    A mark there that the drums would have to agree on is left off: nobody could be asked.

    Raises:
        RequestError: the tune has no music to plan.
    """
    link = link_tune(entry, _tune(desk, entry)) if entry.link else None
    if link is None:
        return None
    said = marks.Choices(lifted=desk.lifted.get(entry.tune_key))
    known = ("link", link, _identity(desk, entry, said))
    return _plans.get(known, lambda: _with_strict_drums(desk, entry, link, said))


def parts_not_played(desk: Desk, entry: Entry) -> tuple[int, ...]:
    """The numbers of the printed parts that an entry leaves out."""
    printed = _tune(desk, entry).parts if entry.parts else ()
    return tuple(part.number for part in printed if part.number not in entry.parts)


def _with_strict_drums(desk: Desk, entry: Entry, link: Tune, said: marks.Choices) -> TunePlan:
    setting, rules = _setting(desk, entry), desk.shelf.rulebook
    ground = prepare(link, setting, rules, tempo_bpm=entry.tempo_bpm, choices=said)
    while True:
        plan = plan_marks(ground, said)
        asking = [mark.place for mark in plan.marks if mark.drums is not Verdict.STRICT]
        if not asking:
            return plan
        left = [
            marks.ByHand(at.address.part, at.address.bar, at.address.ending, at.index, None)
            for at in asking
        ]
        said = replace(said, by_hand=(*said.by_hand, *left))


def _tune(desk: Desk, entry: Entry) -> Tune:
    library_tune = desk.shelf.tunes[entry.tune_key]
    if library_tune.tune is None:
        title = library_tune.record.title
        raise RequestError("tune", f"“{title}” has no music to plan", "upload its file again")
    return library_tune.tune


def _identity(desk: Desk, entry: Entry, said: marks.Choices) -> Hashable:
    """All that a plan depends on but the words on single notes: music, drums, setting, rules."""
    record = desk.shelf.tunes[entry.tune_key].record
    is_once = entry.times_through == 1
    played = (entry.tempo_bpm, entry.parts, entry.part_times, entry.last_bar, is_once)
    return (record, _setting(desk, entry), played, desk.shelf.own_rules, said.lifted)


def _setting(desk: Desk, entry: Entry) -> Setting:
    return setting_for_tune(desk.setting, desk.line_up, entry.tune_key)


def _choices(desk: Desk, entry: Entry) -> marks.Choices:
    """What people said of a tune, at the addresses it has as the entry plays it."""
    key, tune = entry.tune_key, desk.shelf.tunes[entry.tune_key].tune
    said = marks.Choices(
        desk.by_hand.get(key, ()),
        desk.agreed.get(key, ()),
        desk.shelf.drum_scores.get(key),
        desk.lifted.get(key),
    )
    return choices_as_played(said, tune, as_played(entry, tune)) if tune else said


def _by_tune(choices: Choices, setting: Setting, shelf: Shelf) -> tuple[ByHand, Agreed]:
    """Marks by hand and agreements as the engine takes them, by tune."""
    by_hand: dict[str, tuple[marks.ByHand, ...]] = {}
    for kept in choices.hand_marks:
        mark = kept.noun
        by_hand[mark.tune_key] = (*by_hand.get(mark.tune_key, ()), _by_hand(mark))
    agreed: dict[str, tuple[marks.Agreed, ...]] = {}
    for outcome in choices.agreements:
        said = _agreed(outcome, _is_for_this(outcome, setting, shelf))
        agreed[outcome.tune_key] = (*agreed.get(outcome.tune_key, ()), said)
    return by_hand, agreed


def _by_hand(mark: HandMark) -> marks.ByHand:
    place = mark.place
    move = Move(mark.move) if mark.move and mark.will == LOCKED else None
    return marks.ByHand(
        place.part, place.bar, place.ending, place.index, move, mark.ms, mark.set_by
    )


def _lifted(lift: Lift) -> marks.Lifted:
    levels = tuple((layer, Level(level)) for layer, level in lift.levels)
    day = lift.lifted_at.date() if lift.lifted_at else None
    return marks.Lifted(levels, lift.lifted_by, day)


def _is_for_this(outcome: Settled, setting: Setting, shelf: Shelf) -> bool:
    """True when a word was given for this occasion, and of the music that is on file now."""
    if (outcome.occasion, outcome.sort) != (setting.occasion, setting.sort):
        return False
    tune = shelf.tunes.get(outcome.tune_key)
    file = tune.record.file if tune else None
    return not (outcome.music and file and file.sha256 != outcome.music)


def _agreed(outcome: Settled, is_for_this: bool) -> marks.Agreed:
    return marks.Agreed(
        outcome.address,
        Move(outcome.move),
        outcome.ms,
        outcome.tempo_bpm,
        outcome.is_agreed,
        outcome.who,
        is_for_this,
    )
