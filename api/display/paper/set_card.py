"""What does a set card say?

A card is read in the car park and in the gaps, at arm's length, in the rain: few words, large. The
view holds finished words; which of them are printed large is the template's business.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from api.display.marks import MarkGroup, short_words, worth_a_flag
from api.display.own_bars import own_bar_facts
from api.display.paper.outs import HARMONY, mine_words
from api.display.paper.phrased_music import PictureView
from api.display.paper.pictures import sign_picture
from api.display.planned import (
    PlannedEntry,
    PlannedEvent,
    PlannedSet,
    strictness_word,
)
from api.display.words import (
    beats_a_minute,
    clock_words,
    counted,
    day_words,
    join_words,
    lifted_words,
    metre_words,
    number_words,
    parts_played,
    sentence_start,
    start_words,
    stop_words,
    tempo_words,
    times_through,
    version_words,
)
from planner.event.event import Clock, Entry, LineUp, Occasion, Person
from planner.licence.licence import Licence
from planner.marks.marks import Agreement, Mark, Verdict
from planner.music.tune import Tune
from planner.plan import TunePlan

# A card is glanced at: more flags than this are left to the phrased music.
MOST_FLAGS = 3
# Three tempos fit the card's largest type; more are said by the first.
MOST_TEMPOS = 3


@dataclass(frozen=True, slots=True)
class FlagView:
    """One phrasing flag: its words, and the sign that stands on the staff with its one word."""

    words: str
    sign: PictureView | None = None


@dataclass(frozen=True, slots=True)
class CardTuneView:
    """One tune on a card. Empty text and empty tuples are left out of the print.

    ``opening`` is the address of the picture of the first two bars. ``mine`` is set on a card for
    one player: what that player does in this tune.
    """

    number: int
    title: str
    facts: str
    opening: str = ""
    start: str = ""
    stop: str = ""
    join: str = ""
    out: str = ""
    harmony: str = ""
    mine: str = ""
    warning: str = ""
    lifted: str = ""
    flags: tuple[FlagView, ...] = ()
    flags_elsewhere: str = ""


@dataclass(frozen=True, slots=True)
class SetCardView:
    """The card of one set. ``tempos`` holds each tempo in order, once."""

    event: str
    occasion: str
    tempos: tuple[str, ...]
    tempo_unit: str
    strictness: str
    strictness_note: str
    set_number: str
    set_name: str
    tunes: tuple[CardTuneView, ...]
    set_facts: str = ""
    stop_signal: str = ""
    reader: str = ""
    version: str = ""


@dataclass(frozen=True, slots=True)
class FrontSetView:
    """One set by number and short name: its tempo, how strict it is, and the titles in order."""

    number: str
    name: str
    tempo: str
    strictness: str
    titles: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class FrontCardView:
    """The card in front of several sets."""

    event: str
    occasion: str
    day: str
    times: tuple[tuple[str, str], ...]
    sets: tuple[FrontSetView, ...]
    stop_signal: str = ""
    reader: str = ""
    version: str = ""


def set_card_views(
    planned: PlannedEvent, openings: Mapping[Entry, str], reader: Person | None = None
) -> tuple[SetCardView, ...]:
    """The cards of an event; ``openings`` has the picture of the first bars by entry.

    With a ``reader`` the cards are that player's own: every tune says what they do in it.
    """
    return tuple(set_card_view(planned, each, openings, reader) for each in planned.sets)


def pattern_card(card: SetCardView, line_up: LineUp) -> SetCardView:
    """The card as the player would have it whose name and tasks take most room."""
    longest = max((person.name for person in line_up.people), key=len, default="")
    tunes = tuple(replace(tune, mine=HARMONY) for tune in card.tunes)
    return replace(card, tunes=tunes, reader=longest)


def without_names(card: SetCardView) -> SetCardView:
    """The card as it may hang where everybody passes: nobody is named on it."""
    tunes = (replace(tune, out="", harmony="", mine="", lifted="") for tune in card.tunes)
    return replace(card, tunes=tuple(tunes), reader="")


def set_card_view(
    planned: PlannedEvent,
    played: PlannedSet,
    openings: Mapping[Entry, str],
    reader: Person | None = None,
) -> SetCardView:
    """The card of one set of an event."""
    plans, event = played.plans, planned.event
    tempos = _tempos(plans)
    return SetCardView(
        event=event.name,
        occasion=sentence_start(event.setting.occasion.words),
        tempos=tempos,
        tempo_unit=_tempo_unit(plans, tempos),
        strictness=strictness_word(plans),
        strictness_note=_strictness_note(plans),
        set_number=f"Set {played.set.number}",
        set_name=played.set.name,
        tunes=tuple(
            _card_tune(planned, played, index, openings, reader) for index in range(len(plans))
        ),
        set_facts=_set_facts(played, event.setting.occasion),
        stop_signal=event.arrangements.stop_signal,
        reader=reader.name if reader else "",
        version=version_words(event.version, planned.made_at),
    )


def front_card_view(planned: PlannedEvent, reader: Person | None = None) -> FrontCardView | None:
    """The card in front of the sets; None for a single set, whose card says it all."""
    if len(planned.sets) == 1:
        return None
    event = planned.event
    return FrontCardView(
        event=event.name,
        occasion=sentence_start(event.setting.occasion.words),
        day=day_words(event.day),
        times=_times(event.clock),
        sets=tuple(_set_line(each) for each in planned.sets),
        stop_signal=event.arrangements.stop_signal,
        reader=reader.name if reader else "",
        version=version_words(event.version, planned.made_at),
    )


def _tempos(plans: Sequence[TunePlan]) -> tuple[str, ...]:
    """Each tempo when it changes; a set of many is said by the one it starts with."""
    said = [tempo_words(plan.analysis.tempo.bpm) for plan in plans]
    changes = [tempo for before, tempo in zip(["", *said], said, strict=False) if tempo != before]
    return tuple(changes) if len(changes) <= MOST_TEMPOS else (changes[0],)


def _tempo_unit(plans: Sequence[TunePlan], tempos: tuple[str, ...]) -> str:
    first_only = len(tempos) < len({plan.analysis.tempo.bpm for plan in plans})
    metres = [plan.tune.metre for plan in (plans[:1] if first_only else plans)]
    return beats_a_minute(metres) + (" to start" if first_only else "")


def _strictness_note(plans: Sequence[TunePlan]) -> str:
    marks = [mark for plan in plans for mark in plan.marks]
    waiting = sum(mark.agreement is Agreement.TO_BE_AGREED for mark in marks)
    follows = sum(mark.drums is Verdict.FOLLOW for mark in marks)
    if any(mark.drums is Verdict.CONFLICT for mark in marks):
        return "Not ready: pipes and drums are in conflict, see the drum sheet."
    if follows:
        still = f", {number_words(waiting)} still to be agreed" if waiting else ""
        return f"The drums follow in {counted(follows, 'place')}{still}; the rest is strict."
    if strictness_word(tuple(plans)) == "free":
        return "The phrase may breathe where it is marked."
    return "The beat stays where it is."


def _set_facts(played: PlannedSet, occasion: Occasion) -> str:
    facts, tagged = [], played.set.occasion
    if tagged is not None and tagged is not occasion:
        facts.append(f"put together for {tagged.words}, played here as {occasion.words}")
    if played.set.times_through != 1:
        facts.append(f"whole set {times_through(played.set.times_through)}")
    if played.set.introduction_beats:
        facts.append(f"introduction of {played.set.introduction_beats} beats")
    return sentence_start(", ".join(facts))


def _set_line(played: PlannedSet) -> FrontSetView:
    return FrontSetView(
        number=str(played.set.number),
        name=played.set.name,
        tempo=" then ".join(_tempos(played.plans)),
        strictness=strictness_word(played.plans),
        titles=tuple(each.tune.title for each in played.entries),
    )


def _times(clock: Clock) -> tuple[tuple[str, str], ...]:
    named = (("Meet", clock.meet), ("Tune up", clock.tune_up), ("Step-off", clock.step_off))
    return tuple((name, clock_words(at)) for name, at in named if at)


def _card_tune(
    planned: PlannedEvent,
    played: PlannedSet,
    index: int,
    openings: Mapping[Entry, str],
    reader: Person | None,
) -> CardTuneView:
    each = played.entries[index]
    following = played.entries[index + 1] if index + 1 < len(played.entries) else None
    flags, more = _flags(each.plan.marks)
    key, line_up = each.entry.tune_key, planned.line_up
    return CardTuneView(
        number=index + 1,
        title=each.tune.title,
        facts=_facts(each),
        opening=openings.get(each.entry, ""),
        start=start_words(each.entry),
        stop=_stop(each.entry),
        join=join_of(each, following) if following else each.entry.join,
        out=_names(line_up.who_is_out(key)),
        harmony=_names(_who_plays_harmony(line_up, key)),
        mine=mine_words(line_up, key, reader) if reader else "",
        warning=_warning(each, played.plans[index].licence),
        lifted=lifted_words(played.plans[index].licence),
        flags=flags,
        flags_elsewhere=f"{number_words(more)} more on the phrased music" if more else "",
    )


def _facts(each: PlannedEntry) -> str:
    plan = each.plan
    facts = (
        plan.analysis.idiom,
        metre_words(plan.tune.metre),
        tempo_words(plan.analysis.tempo.bpm),
        parts_played(each.entry, len(plan.tune.parts)),
        times_through(each.entry.times_through),
        *own_bar_facts(each),
    )
    return sentence_start(" · ".join(facts))


def _stop(entry: Entry) -> str:
    said = stop_words(entry)
    if said or not entry.is_until_cue:
        return said
    return "on the cue, at the end of a part"


def join_of(each: PlannedEntry, following: PlannedEntry) -> str:
    """The band's own words, and what changes whether or not they say it."""
    before, after = each.plan, following.plan
    changes = []
    if after.analysis.tempo != before.analysis.tempo:
        changes.append(f"new tempo {tempo_words(after.analysis.tempo.bpm)}")
    if str(after.tune.metre) != str(before.tune.metre):
        changes.append(f"new metre {metre_words(after.tune.metre)}")
    said = each.entry.join.rstrip(". ") or f"to {after.tune.title}"
    said += f"; cue: {each.entry.cue}" if each.entry.cue else ""
    return f"{said} ({', '.join(changes)})" if changes else said


def flagged_marks(marks: Sequence[Mark]) -> tuple[Mark, ...]:
    """The marks of a tune that its card speaks of: no other sign may stand on the card."""
    groups, _ = worth_a_flag(marks, MOST_FLAGS)
    return tuple(mark for group in groups for mark in group.marks)


def _flags(marks: Sequence[Mark]) -> tuple[tuple[FlagView, ...], int]:
    groups, more = worth_a_flag(marks, MOST_FLAGS)
    return tuple(_flag(group) for group in groups), more


def _flag(group: MarkGroup) -> FlagView:
    # a note's name alone on a line is easily overlooked
    said = short_words(group.first).replace(" on ", " on\u00a0")
    return FlagView(f"{group.where}: {said}", sign_picture(group.first.move))


def _who_plays_harmony(line_up: LineUp, tune_key: str) -> tuple[Person, ...]:
    return tuple(each for each in line_up.people if (each.key, tune_key) in line_up.harmony)


def _names(people: Sequence[Person]) -> str:
    return join_words([person.name for person in people])


def _warning(each: PlannedEntry, licence: Licence) -> str:
    """On a parade, where the signal stops it, that no ending tells."""
    may_stop_anywhere = licence.occasion is Occasion.PARADE or each.entry.is_until_cue
    if may_stop_anywhere and parts_end_alike(each.tune):
        return "all parts end alike: watch for the signal"
    return ""


def parts_end_alike(tune: Tune) -> bool:
    """True when every part ends with the same two bars, so that the ear cannot tell which it is."""
    endings = [tuple(bar.notes for bar in tuple(part.played_bars())[-2:]) for part in tune.parts]
    return len(endings) > 1 and bool(endings[0]) and len(set(endings)) == 1 and tune.has_notes
