"""The same notes in another idiom: a march as a strathspey, round to pointed.

Melody, gracenotes, parts and repeats stay; metre and pointing change. Two notes that share a
crotchet are drawn apart (dotted, or cut where a weak beat falls) for a pointed idiom and made even
for a round one. Where to cut is a design choice: players settle it by ear, and the result is a
setting like any other, to be changed by hand.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from planner.errors import RequestError
from planner.music.tempo import Metre
from planner.music.tune import Bar, Credits, Note, Part, Tune

SLOT = Fraction(1)
DOTTED, CUT = (Fraction(3, 4), Fraction(1, 4)), (Fraction(1, 4), Fraction(3, 4))
EVEN = (Fraction(1, 2), Fraction(1, 2))


@dataclass(frozen=True, slots=True)
class Cast:
    """What an idiom makes of a tune: its metre, and whether its pairs are pointed."""

    metre: Metre
    is_pointed: bool


CASTS = {
    "march": Cast(Metre(4, 4), True),
    "strathspey": Cast(Metre(4, 4, "C"), True),
    "pointed reel": Cast(Metre(2, 2, "C|"), True),
    "round reel": Cast(Metre(2, 2, "C|"), False),
    "hornpipe": Cast(Metre(2, 2, "C|"), False),
}
"""The idioms a tune of two- or four-beat bars can be recast into."""


def recast(tune: Tune, idiom: str) -> Tune:
    """The tune in another idiom, as a setting of its own.

    Raises:
        RequestError: the idiom cannot be recast into, or the tune's bars have three beats or
            divide in three, so that its notes would not fill the other metre.
    """
    cast = CASTS.get(idiom)
    if cast is None:
        known = ", ".join(CASTS)
        raise RequestError("idiom", f"a tune cannot be recast as {idiom}", f"choose {known}")
    scale = _scale(tune)
    note = f"recast from {tune.idiom or 'its first setting'} as {idiom}"
    return replace(
        tune,
        idiom=idiom,
        metre=cast.metre,
        tempo=None,
        rhythm=idiom,
        parts=tuple(_part(part, cast, scale) for part in tune.parts),
        harmonies=tuple(
            tuple(_part(part, cast, scale) for part in harmony) for harmony in tune.harmonies
        ),
        credits=_noted(tune.credits, note),
    )


def can_be_recast(tune: Tune) -> bool:
    """True when the bars of a tune fit the other metres."""
    try:
        _scale(tune)
    except RequestError:
        return False
    return True


def _scale(tune: Tune) -> Fraction:
    """How much longer the notes are written so that a bar fills four crotchets."""
    metres = {bar.metre for part in tune.parts for bar in part.bars}
    lengths = {metre.bar_length for metre in metres}
    if any(metre.is_compound for metre in metres) or not lengths <= {Fraction(2), Fraction(4)}:
        problem = "only bars of two or four beats that divide in two can be recast"
        raise RequestError("tune", problem, "choose another tune")
    if len(lengths) > 1:
        raise RequestError("tune", "its metre changes on the way", "recast it by hand")
    return Fraction(4) / lengths.pop()


def _noted(credits: Credits, note: str) -> Credits:
    return replace(credits, notes=(*credits.notes, note))


def _part(part: Part, cast: Cast, scale: Fraction) -> Part:
    return replace(part, bars=tuple(_bar(bar, cast, scale) for bar in part.bars))


def _bar(bar: Bar, cast: Cast, scale: Fraction) -> Bar:
    longer = replace(
        bar,
        metre=cast.metre,
        notes=tuple(replace(note, length=note.length * scale) for note in bar.notes),
    )
    return replace(longer, notes=tuple(_pointed(longer, cast)))


def _pointed(bar: Bar, cast: Cast) -> Iterator[Note]:
    """The notes of a bar, every pair that shares a crotchet pointed or made even."""
    notes, onsets = bar.notes, bar.onsets()
    index = 0
    while index < len(notes):
        pair = notes[index : index + 2]
        if not _is_pair(pair, onsets[index]):
            yield notes[index]
            index += 1
            continue
        first, second = _lengths(pair, onsets[index], cast)
        yield replace(pair[0], length=first)
        yield replace(pair[1], length=second)
        index += 2


def _is_pair(pair: tuple[Note, ...], onset: Fraction) -> bool:
    if len(pair) < 2 or any(note.is_rest or note.tuplet for note in pair):
        return False
    fills_crotchet = pair[0].length + pair[1].length == SLOT and onset % SLOT == 0
    return fills_crotchet and (pair[0].length, pair[1].length) in (DOTTED, CUT, EVEN)


def _lengths(pair: tuple[Note, ...], onset: Fraction, cast: Cast) -> tuple[Fraction, Fraction]:
    written = (pair[0].length, pair[1].length)
    if not cast.is_pointed:
        return EVEN
    if written != EVEN:
        return written
    is_weak = (onset / SLOT) % 2 == 1
    return CUT if is_weak and _falls(pair[0], pair[1]) else DOTTED


def _falls(first: Note, second: Note) -> bool:
    if first.pitch is None or second.pitch is None:
        return False
    return second.pitch.midi < first.pitch.midi
