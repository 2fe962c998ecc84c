"""What does a set play that is not printed? An altered last bar, and bars that link two tunes.

Both are kept as ABC and read in the metre and key of their tune. The altered bar is an ending of
its own beside the printed ones, so that it has an address, marks and a place on the staff like any
other bar; where the printed last bar is never played, it takes that bar's place.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from fractions import Fraction

from planner.errors import NotationError
from planner.event.event import Entry
from planner.music.tune import Bar, Part, Tune, Turn
from planner.notation.passage import length_words, read_passage, refuse_lengths

ALTERED, LAST_TIME = "altered", "last time"
"""The words over an altered bar that ends every time through, or only the last."""

LAST_BAR, LINK = "the altered last bar", "the link"


def with_last_bar(entry: Entry, played: Tune) -> Tune:
    """The last time through a tune, its last bar altered if the entry says so.

    ``played`` has the parts of the entry already. A tune without notes stays as it is.

    Raises:
        NotationError: the bar cannot be read.
    """
    if not entry.last_bar or not played.has_notes:
        return played
    *before, last = played.turns
    part = next(each for each in played.parts if each.number == last.part)
    printed = list(part.bars_in_pass(last.passes[-1]))[-1]
    heard = (1 if entry.times_through == 1 else 2) * _times_heard(played, last)
    notes = altered_bars(entry.last_bar, played, printed)[0].notes
    bar = replace(printed, notes=notes, label=ALTERED if heard == 1 else LAST_TIME)
    altered, number = _with_ending(part, last.passes[-1], bar, is_only=heard == 1)
    order = (*before, Turn(last.part, (*last.passes[:-1], number)))
    parts = tuple(altered if each is part else each for each in played.parts)
    again = replace(played, parts=parts, order=())
    return again if again.turns == order else replace(again, order=order)


def altered_bars(text: str, tune: Tune, printed: Bar) -> tuple[Bar, ...]:
    """The bars of an altered last bar as written; more than one is a mistake of the writer."""
    return read_passage(LAST_BAR, text, printed.metre, tune.key)


def link_tune(entry: Entry, tune: Tune) -> Tune | None:
    """The link as a small tune of the same idiom and tempo, None where there is none.

    Raises:
        NotationError: it cannot be read.
    """
    if not entry.link:
        return None
    bars = read_passage(LINK, entry.link, tune.metre, tune.key)
    part = Part(1, bars)
    return replace(
        tune, title=f"Link after {tune.title}", parts=(part,), phrase_starts=(), order=()
    )


def link_beats(entry: Entry, tune: Tune) -> Fraction:
    """Felt beats of the link; none where there is none.

    Raises:
        NotationError: it cannot be read.
    """
    link = link_tune(entry, tune)
    return felt_beats(link.played_bars()) if link else Fraction(0)


def refuse_misfits(entry: Entry, played: Tune, following: Sequence[Tune]) -> None:
    """Stop at an altered bar or a link that does not add up with what comes after it.

    ``played`` has the parts of the entry, ``following`` are the tunes that may come next as they
    are played, none at the end of a set.

    Raises:
        NotationError: one of them cannot be read, or does not add up.
    """
    link = link_tune(entry, played)
    if link is not None:
        refuse_lengths(LINK, link.parts[0].bars, {Fraction(0), *map(_pickup, following)})
    part, number = list(played.passes())[-1]
    printed = list(part.bars_in_pass(number))[-1]
    if not entry.last_bar:
        if link is not None and printed.notes:
            _refuse_gap(printed, _pickup(link))
        return
    bars = altered_bars(entry.last_bar, played, printed)
    if len(bars) > 1:
        raise NotationError(LAST_BAR, "", f"it holds {len(bars)} bars", "write one")
    if bars[0].metre != printed.metre:
        remedy = f"write it in {printed.metre}"
        raise NotationError(LAST_BAR, "", f"it is in {bars[0].metre}", remedy)
    next_up = (link,) if link else following
    refuse_lengths(LAST_BAR, bars, {_pickup(each) for each in (played, *next_up)})


def _refuse_gap(last: Bar, pickup: Fraction) -> None:
    """Stop where the printed last bar and the pick-up of the link do not make one bar."""
    room = last.metre.bar_length - last.length
    if pickup != room:
        found = f"its pick-up has {length_words(pickup)}" if pickup else "it has no pick-up"
        left = f"leaves {length_words(room)}" if room else "is full"
        problem = f"{found} where the last bar of the tune {left}"
        raise NotationError(LINK, "", problem, "change the one or the other")


def _pickup(tune: Tune) -> Fraction:
    """Length in crotchets of the pick-up a tune begins with, 0 where it has none."""
    pickup = next(tune.passes())[0].pickup
    return pickup.length if pickup else Fraction(0)


def felt_beats(bars: Iterable[Bar]) -> Fraction:
    """Felt beats of some bars."""
    return sum((bar.length / bar.metre.beat_length for bar in bars), Fraction(0))


def _times_heard(played: Tune, last: Turn) -> int:
    """How often the pass that ends the tune is played in one time through."""
    passes = [(turn.part, number) for turn in played.turns for number in turn.passes]
    return passes.count((last.part, last.passes[-1]))


def _with_ending(part: Part, number: int, bar: Bar, *, is_only: bool) -> tuple[Part, int]:
    """The part with the altered bar, and the number of the pass that plays it.

    ``is_only``: the pass of that number is played once, so that it can take the altered bar itself.
    """
    own = number if is_only else part.times + 1
    if not bar.ending:
        others = tuple(each for each in part.passes if each != own)
        if not others:
            return replace(part, bars=(*part.bars[:-1], bar)), own
        ends = (replace(part.bars[-1], ending=1), replace(bar, ending=2))
        return replace(part, bars=(*part.bars[:-1], *ends), endings=(others, (own,))), own
    passes = part.endings[bar.ending - 1]
    if set(passes) == {own}:
        bars = tuple(_altered(part.bars, bar))
        return replace(part, bars=bars), own
    new = len(part.endings) + 1
    copied = [replace(each, ending=new) for each in part.bars if each.ending == bar.ending]
    left = tuple(tuple(each for each in passes if each != own) for passes in part.endings)
    bars = (*part.bars, *copied[:-1], replace(bar, ending=new))
    return replace(part, bars=bars, endings=(*left, (own,))), own


def _altered(bars: tuple[Bar, ...], bar: Bar) -> Iterator[Bar]:
    for each in bars:
        is_it = (each.number, each.ending) == (bar.number, bar.ending)
        yield bar if is_it else each
