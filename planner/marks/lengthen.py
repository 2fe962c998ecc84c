"""Hold and lean: a note gains time, and its neighbours pay.

A hold stays within the beat: the notes after it in the same beat pay. A lean lets the next beat
start late: that beat's notes pay, and the bar line stands.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import takewhile

from planner.analysis.beats import PlacedNote
from planner.analysis.phrases import opens
from planner.licence.licence import Level
from planner.marks.audibility import heard_from, lab_threshold
from planner.marks.borrowing import payers_of_hold, payers_of_lean, room, spread
from planner.marks.marks import Move
from planner.marks.played import Change
from planner.marks.room import beat_share, onset_limit
from planner.marks.stage import Draft, Drafted, Refusal, Stage


@dataclass(frozen=True, slots=True)
class _Gain:
    """A note that wants to be longer: by which move, at which level, at whose expense.

    ``asked_ms`` is what a person asked for; None leaves it to the level.
    """

    index: int
    move: Move
    level: Level
    payers: list[PlacedNote]
    asked_ms: float | None = None


def hold(stage: Stage, index: int, wanted_ms: float | None = None) -> Drafted:
    """Hold a note within its beat, by so much or by what the licence makes of it."""
    payers = payers_of_hold(stage.analysis, index)
    if not payers:
        return Refusal(Move.HOLD, "no note of the same beat can pay for a hold", is_shape=True)
    level = stage.licence.layers.within_beat
    if level is Level.NONE:
        return Refusal(Move.HOLD, "the licence leaves nothing within the beat")
    if not stage.licence.may_hold:
        return Refusal(Move.HOLD, "a round tune is not held here")
    if stage.licence.is_round:
        held = stage.analysis.notes[index].note
        payers = list(takewhile(lambda payer: payer.note.length < held.length, payers))
    if not payers:
        return Refusal(Move.HOLD, "a round tune keeps even notes even")
    return _lengthen(stage, _Gain(index, Move.HOLD, level, payers, wanted_ms))


def lean(stage: Stage, index: int, wanted_ms: float | None = None) -> Drafted:
    """Lean a note that fills its beat into the next beat."""
    if not _fills_its_beat(stage.analysis.notes[index]):
        return Refusal(Move.LEAN, "only a note that fills its beat can lean", is_shape=True)
    payers = payers_of_lean(stage.analysis, index)
    if not payers:
        return Refusal(Move.LEAN, "the bar line stands, and no beat is left", is_shape=True)
    closed = _lean_closed(stage, index)
    if closed:
        return Refusal(Move.LEAN, closed)
    level = stage.licence.layers.across_bar
    return _lengthen(stage, _Gain(index, Move.LEAN, level, payers, wanted_ms))


def _lean_closed(stage: Stage, index: int) -> str:
    level = stage.licence.layers.across_bar
    if level is Level.NONE:
        return "the licence leaves nothing across the bar"
    if stage.licence.is_round:
        return "a round tune keeps every beat in its place"
    if level is Level.SLIGHT and not opens_a_line(stage, index):
        return "the licence allows a lean on beat 1 of a line only"
    return ""


def _fills_its_beat(note: PlacedNote) -> bool:
    beat = note.bar.metre.beat_length
    return note.is_on_beat and note.note.length >= beat and note.end % beat == 0


def opens_a_line(stage: Stage, index: int) -> bool:
    """True for the note on beat 1 of the first bar of a line."""
    address = stage.analysis.notes[index].address
    is_first = opens(address, stage.analysis.grouping) in ("part", "line")
    return address.beat == 1 and is_first


def _lengthen(stage: Stage, gain: _Gain) -> Drafted:
    wanted = _wanted_ms(stage, gain) if gain.asked_ms is None else gain.asked_ms
    if wanted / stage.licence.sigma_ms < stage.rules.number("thresholds.scatter.uncertain"):
        return Refusal(gain.move, "the shift would be lost in the players' own scatter")
    rooms = [room(stage.analysis, payer.index, stage.rules) for payer in gain.payers]
    if gain.move is Move.HOLD and rooms[0] <= 0.0:
        # A hold is a note cut short after the held one; otherwise the whole beat would only slip.
        return Refusal(gain.move, "the note after it cannot spare anything")
    shift = _within_limits(stage, gain.payers, rooms, wanted)
    if shift <= 0.0:
        return Refusal(gain.move, _what_stands_in_the_way(stage, gain.payers[0], sum(rooms)))
    return _draft(stage, gain, shift, rooms)


def _draft(stage: Stage, gain: _Gain, shift: float, rooms: list[float]) -> Draft:
    starts = spread(shift, rooms)
    moved = gain.payers[: len(starts)]
    return Draft(
        index=gain.index,
        move=gain.move,
        ms=shift,
        moved=moved[0].index,
        ends=gain.index,
        ioi_ms=stage.analysis.written.length_ms[gain.index],
        change=Change(onset_ms={n.index: ms for n, ms in zip(moved, starts, strict=True)}),
        touched=frozenset((gain.index, *(note.index for note in moved))),
        meets=tuple(note.index for note in moved if stage.anchors.is_struck(note)),
        in_roll=any(stage.anchors.is_in_roll(note) for note in moved),
        needs_to_be_heard=gain.level.is_free,
    )


def _within_limits(
    stage: Stage, payers: list[PlacedNote], rooms: list[float], wanted_ms: float
) -> float:
    """The shift cut down to what the payers have and to what each onset it moves may move."""
    shift, paid = min(wanted_ms, sum(rooms), beat_share(stage)), 0.0
    for payer, spare in zip(payers, rooms, strict=True):
        shift = min(shift, paid + onset_limit(stage, payer, is_late=True))
        paid += spare
        if paid >= shift:
            break
    return shift


def _what_stands_in_the_way(stage: Stage, payer: PlacedNote, spare_ms: float) -> str:
    if spare_ms > 0.0 and stage.anchors.is_struck(payer):
        return "a drum strikes where the next note starts, and the drums are strict"
    return "the notes beside it cannot spare anything"


def _wanted_ms(stage: Stage, gain: _Gain) -> float:
    """How long the gain wants to be before limits: slight just felt, free surely heard."""
    rules, sigma_ms = stage.rules, stage.licence.sigma_ms
    ioi_ms = stage.analysis.written.length_ms[gain.index]
    is_cadence = gain.index in stage.analysis.cadences
    heard = heard_from(ioi_ms, True, is_cadence, True, rules)
    counted_ms = min(sigma_ms, rules.number("thresholds.scatter.in_size"))
    steady = rules.number("thresholds.size.scatters") * counted_ms
    if gain.level.is_free:
        return stage.licence.size_factor * max(heard, steady)
    felt = rules.number("thresholds.size.slight_lab") * lab_threshold(ioi_ms, rules)
    return min(max(felt, steady), heard)
