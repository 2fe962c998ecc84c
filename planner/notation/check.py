"""Can this tune be played on the chanter, and do its bars add up?

Findings only: a tune that is refused here can still be shown, so that its writer sees where.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from planner.findings import Finding, Gravity
from planner.music.scale import Pitch
from planner.music.tempo import BEAT_UNIT_WORDS
from planner.music.tune import Bar, Part, Tune
from planner.notation.written import FREE_METRE

# Which metres does pipe music use? Others are read with a finding.
USUAL_METRES = {(2, 4), (3, 4), (4, 4), (2, 2), (6, 8), (9, 8), (12, 8), (3, 8), (6, 4), (5, 4)}
# How slow and how fast can a tune be meant, in felt beats a minute?
SLOWEST, FASTEST = 15.0, 400.0
# How many gracenotes can one movement have? The longest light-music movements have six or seven.
MOST_GRACENOTES = 9


def check_tune(tune: Tune) -> tuple[Finding, ...]:
    """Everything that keeps a tune from being planned, and what looks odd in it."""
    findings = [*_metre(tune), *_tempo(tune)]
    if not tune.parts:
        findings.append(_refused("no_notes", "the tune has no notes and no bars", ""))
    for part in tune.parts:
        findings += [*_bar_lengths(part), *_notes(part), *_joins(tune, part)]
    return tuple(findings)


def length_words(length: Fraction) -> str:
    """A length for reading, in crotchets: ``2 crotchets``, ``1 3/4 crotchets``."""
    whole, rest = divmod(length, 1)
    words = " ".join(str(piece) for piece in (whole, rest) if piece) or "0"
    return f"{words} crotchet{'' if words in ('1', '1/2', '1/4', '3/4') else 's'}"


def bar_words(part: Part, bar: Bar) -> str:
    """Where a bar stands: ``part 2, bar 8, ending 1``."""
    ending = f", ending {bar.ending}" if bar.ending else ""
    where = "the pick-up" if bar.is_pickup else f"bar {bar.number}"
    return f"part {part.number}, {where}{ending}"


def _metre(tune: Tune) -> Iterator[Finding]:
    metres = {bar.metre for part in tune.parts for bar in part.bars} | {tune.metre}
    for metre in sorted(metres, key=str):
        if metre == FREE_METRE:
            text = "the tune has no metre, so its bars cannot be counted; give it one such as 2/4"
            yield _refused("metre", text, "")
        elif metre.beat_length not in BEAT_UNIT_WORDS:
            text = f"the metre {metre} has no beat a foot could mark"
            yield _refused("metre", text, "")
        elif (metre.count, metre.unit) not in USUAL_METRES:
            yield Finding("metre_unusual", f"the metre {metre} is unusual for the pipes")


def _tempo(tune: Tune) -> Iterator[Finding]:
    if tune.tempo is None:
        return
    bpm = tune.tempo.bpm
    if not SLOWEST <= bpm <= FASTEST:
        text = f"a tempo of {bpm:g} felt beats a minute cannot be meant; correct it"
        yield _refused("tempo", text, "")


def _bar_lengths(part: Part) -> Iterator[Finding]:
    for position, bar in enumerate(part.bars):
        if bar.metre == FREE_METRE or not bar.notes:
            continue
        full, length = bar.metre.bar_length, bar.length
        if length > full or (length < full and not _may_be_short(part, position)):
            text = f"the bar holds {length_words(length)} and its metre {length_words(full)}"
            yield _refused("bar_length", text, bar_words(part, bar))


def _may_be_short(part: Part, position: int) -> bool:
    """A pick-up, and the last bar of a part or of one of its endings, may be short."""
    bar = part.bars[position]
    if position == len(part.bars) - 1 or bar.is_pickup:
        return True
    return part.bars[position + 1].ending not in (bar.ending, 0) and bar.ending != 0


def _notes(part: Part) -> Iterator[Finding]:
    off: dict[Pitch, list[str]] = {}
    for bar in part.bars:
        for note in bar.notes:
            pitches = note.gracenotes if note.pitch is None else (note.pitch, *note.gracenotes)
            for pitch in pitches:
                if pitch.chanter_name is None:
                    off.setdefault(pitch, []).append(bar_words(part, bar))
            if len(note.gracenotes) > MOST_GRACENOTES:
                text = f"{len(note.gracenotes)} gracenotes before one note are too many to play"
                yield Finding("many_gracenotes", text, bar_words(part, bar))
    for pitch, places in off.items():
        more = f" and {len(places) - 1} more times in this part" if len(places) > 1 else ""
        text = f"the tune needs a {pitch.name}, which the chanter does not have{more}"
        yield _refused("off_chanter", text, places[0])


def _joins(tune: Tune, part: Part) -> Iterator[Finding]:
    """Last bar and pick-up make one bar wherever a part is played again or the next follows."""
    following = tune.parts[part.number] if part.number < len(tune.parts) else None
    for number in range(1, part.times + 1):
        after = part if number < part.times else following
        bars = list(part.bars_in_pass(number))
        if after is None or not bars or not bars[-1].notes:
            continue
        last = bars[-1]
        pickup = after.pickup
        length = last.length + (pickup.length if pickup else 0)
        if last.metre != FREE_METRE and length != last.metre.bar_length:
            yield _join_finding(part, last, pickup, length)
            return


def _join_finding(part: Part, last: Bar, pickup: Bar | None, length: Fraction) -> Finding:
    together = "the last bar and the pick-up after it hold" if pickup else "the last bar holds"
    full = last.metre.bar_length
    text = f"{together} {length_words(length)} and the metre {length_words(full)}"
    return Finding("join_length", text, bar_words(part, last))


def _refused(code: str, text: str, where: str) -> Finding:
    return Finding(code, text, where, Gravity.REFUSE)
