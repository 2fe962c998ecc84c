"""What does one player do in every tune, where do they drop out, and where do they come back?"""

from __future__ import annotations

from dataclasses import dataclass

from api.display.planned import PlannedEvent, PlannedSet
from api.display.words import counted, day_words, sentence_start, version_words
from planner.event.event import LineUp, Person

OUT, HARMONY, PLAY = "You are out", "You play harmony", "You play"


@dataclass(frozen=True, slots=True)
class MyTuneView:
    """One tune for one player; ``change`` says where they drop out or come back."""

    number: str
    title: str
    mine: str
    change: str = ""


@dataclass(frozen=True, slots=True)
class MySetView:
    """One set for one player."""

    name: str
    tunes: tuple[MyTuneView, ...]


@dataclass(frozen=True, slots=True)
class OutsCardView:
    """Every tune of an event for one player, on one card."""

    event: str
    occasion: str
    day: str
    reader: str
    summary: str
    sets: tuple[MySetView, ...]
    stop_signal: str
    version: str


def outs_card_view(planned: PlannedEvent, reader: Person) -> OutsCardView:
    """The card of what one player does in every tune."""
    event = planned.event
    sets = tuple(my_set(each, planned.line_up, reader) for each in planned.sets)
    return OutsCardView(
        event=event.name,
        occasion=sentence_start(event.setting.occasion.words),
        day=day_words(event.day),
        reader=reader.name,
        summary=_summary(sets),
        sets=sets,
        stop_signal=event.arrangements.stop_signal,
        version=version_words(event.version, planned.made_at),
    )


def my_set(played: PlannedSet, line_up: LineUp, reader: Person) -> MySetView:
    """What one player does in each tune of a set."""
    done = [mine_words(line_up, each.entry.tune_key, reader) for each in played.entries]
    titles = [each.tune.title for each in played.entries]
    tunes = tuple(
        MyTuneView(str(index + 1), titles[index], done[index], _change(index, done, titles))
        for index in range(len(titles))
    )
    return MySetView(f"Set {played.set.number}: {played.set.name}", tunes)


def mine_words(line_up: LineUp, tune_key: str, reader: Person) -> str:
    """What a player does in a tune, in few words."""
    if (reader.key, tune_key) in line_up.outs:
        return OUT
    return HARMONY if (reader.key, tune_key) in line_up.harmony else PLAY


def _change(index: int, done: list[str], titles: list[str]) -> str:
    """Said where it happens: in the last tune before an out, and in the outs themselves."""
    following = done[index + 1] if index + 1 < len(done) else ""
    if done[index] != OUT:
        return f"Drop out at the end of {titles[index]}." if following == OUT else ""
    later = [at for at in range(index + 1, len(done)) if done[at] != OUT]
    if not later:
        return "Stay out to the end of the set."
    return f"Come back on the first note of {titles[later[0]]}."


def _summary(sets: tuple[MySetView, ...]) -> str:
    tunes = [tune for each in sets for tune in each.tunes]
    outs = sum(tune.mine == OUT for tune in tunes)
    harmony = sum(tune.mine == HARMONY for tune in tunes)
    said = [f"{counted(len(tunes) - outs, 'tune')} to play"]
    said += [f"out of {counted(outs, 'tune')}"] if outs else ["no outs"]
    said += [f"harmony in {counted(harmony, 'tune')}"] if harmony else []
    return sentence_start("; ".join(said)) + "."
