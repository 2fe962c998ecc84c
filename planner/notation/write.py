"""How is a tune written down as ABC 2.1, so that reading it gives the same tune?

Lengths are written out, without broken rhythm signs, since some readers lose those beside
gracenotes. What ABC has no field for stands in ``%%pacestick-`` lines, which other programs pass
over as the standard tells them to. A bar without notes on file is an invisible rest.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from string import ascii_uppercase

from planner.music.scale import Pitch
from planner.music.tune import Bar, Note, Part, Tune
from planner.notation.abc_keys import read_key
from planner.notation.abc_part_order import MOST_LETTERS
from planner.notation.abc_text import encoded_text
from planner.notation.idioms import idiom_of, reel_idiom

QUAVER = Fraction(1, 2)
SIGNS = {-2: "__", -1: "_", 0: "=", 1: "^", 2: "^^"}


def write_abc(tune: Tune, number: int = 1) -> str:
    """The tune as ABC text; ``number`` is its ``X:`` number in a book."""
    unit = Fraction(1, 4) if tune.metre.bar_length < 3 else Fraction(1, 2)
    signature = read_key(tune.key).signature
    return "\n".join([*_head(tune, number, unit), *_body(tune, unit, signature)]) + "\n"


def write_bar(bar: Bar, key: str) -> str:
    """One bar as ABC in a key, a plain letter being a quaver, as passages are written."""
    return _bar_text(bar, QUAVER, read_key(key).signature)


def _head(tune: Tune, number: int, unit: Fraction) -> Iterator[str]:
    yield f"X:{number}"
    credits = tune.credits
    arranged = f"arr. {credits.arranger}" if credits.arranger else ""
    texts = [("T", tune.title), ("C", credits.composer), ("C", arranged), ("O", credits.origin)]
    texts += [("S", credits.source), ("Z", credits.transcriber)]
    texts += [("N", note) for note in credits.notes] + [("R", tune.rhythm)]
    for letter, text in texts:
        if text:
            yield f"{letter}:{_field_text(text)}"
    yield from _directives(tune)
    if has_written_order(tune):
        yield f"P:{''.join(_letter(turn.part) for turn in tune.order)}"
    yield f"M:{tune.metre}"
    yield f"L:{unit / 4}"
    if tune.tempo is not None:
        yield f"Q:{tune.metre.beat_length / 4}={tune.tempo.bpm!r}".removesuffix(".0")
    yield f"K:{tune.key}"


def has_written_order(tune: Tune) -> bool:
    """True where the order of the parts is one that files can say: whole parts, not too many."""
    whole = {part.number: part.passes for part in tune.parts}
    return (
        0 < len(tune.order) <= MOST_LETTERS
        and len(tune.parts) <= len(ascii_uppercase)
        and all(whole.get(turn.part) == turn.passes for turn in tune.order)
    )


def _letter(part: int) -> str:
    return ascii_uppercase[part - 1]


def _field_text(text: str) -> str:
    encoded = encoded_text(" ".join(text.split()))
    # "C:|" would be a note before a repeat sign
    return f" {encoded}" if encoded[0] in ":|" else encoded


def _directives(tune: Tune) -> Iterator[str]:
    named = idiom_of(tune.rhythm)
    if (reel_idiom(tune.parts) if named == "reel" else named) != tune.idiom:
        yield f"%%pacestick-idiom {tune.idiom or 'none'}"
    if tune.phrase_bars:
        yield f"%%pacestick-phrase-bars {tune.phrase_bars}"
    if tune.line_bars:
        yield f"%%pacestick-line-bars {tune.line_bars}"
    if any(tune.phrase_starts):
        starts = "/".join(",".join(map(str, part)) for part in tune.phrase_starts)
        yield f"%%pacestick-phrase-starts {starts}"


def _body(tune: Tune, unit: Fraction, signature: dict[str, int]) -> list[str]:
    lines: list[str] = []
    metre, is_named = tune.metre, has_written_order(tune)
    for part in tune.parts:
        for index, bar in enumerate(part.bars):
            if bar.starts_line or not lines:
                lines.append("")
            change = f"[M:{bar.metre}]" if bar.metre != metre else ""
            metre = bar.metre
            name = f"[P:{_letter(part.number)}]" if is_named and index == 0 else ""
            words = [name, _before(part, index), change, _bar_text(bar, unit, signature)]
            words.append(_after(tune, part, index))
            lines[-1] = " ".join(filter(None, [lines[-1], *words]))
    return lines


def _before(part: Part, index: int) -> str:
    bar = part.bars[index]
    opens = "|" + ":" * (_signed_times(part) - 1) if index == 0 and part.is_repeated else ""
    if bar.ending and (index == 0 or part.bars[index - 1].ending != bar.ending):
        return f"{opens} [{','.join(map(str, part.endings[bar.ending - 1]))}".strip()
    return opens


def _after(tune: Tune, part: Part, index: int) -> str:
    bar = part.bars[index]
    is_part_end = index + 1 == len(part.bars)
    ends_ending = bar.ending > 0 and (is_part_end or part.bars[index + 1].ending != bar.ending)
    if ends_ending:
        is_last = max(part.times, 1) <= min(part.endings[bar.ending - 1])
    else:
        is_last = not part.is_repeated
    if (ends_ending or is_part_end) and not is_last:
        return ":" * (_signed_times(part) - 1) + "|"
    if not is_part_end:
        return "|"
    return "|]" if part is tune.parts[-1] else "||"


def _signed_times(part: Part) -> int:
    """How often the repeat signs say the part is played; with endings these say it instead."""
    last_pass = max((one for ending in part.endings for one in ending), default=0)
    return 2 if part.times == last_pass else part.times


def _bar_text(bar: Bar, unit: Fraction, signature: dict[str, int]) -> str:
    if not bar.notes:
        return "x" + _multiple(bar.metre.bar_length / unit)
    in_bar: dict[str, int] = {}
    tuplets = _tuplet_signs(bar.notes)
    text = ""
    for note, sign in zip(bar.notes, tuplets, strict=True):
        graces = "".join(_pitch_text(pitch, signature, in_bar) for pitch in note.gracenotes)
        text += sign + (f"{{{graces}}}" if graces else "")
        text += "z" if note.pitch is None else _pitch_text(note.pitch, signature, in_bar)
        text += _multiple(_written_length(note) / unit) + "-" * note.tied_on
        text += "" if note.beamed_on else " "
    return text.strip()


def _written_length(note: Note) -> Fraction:
    actual, normal = note.tuplet or (1, 1)
    return note.length * actual / normal


def _multiple(multiple: Fraction) -> str:
    if multiple == 1:
        return ""
    if multiple.denominator == 1:
        return str(multiple.numerator)
    upper = "" if multiple.numerator == 1 else str(multiple.numerator)
    return f"{upper}/{multiple.denominator}"


def _tuplet_signs(notes: tuple[Note, ...]) -> list[str]:
    """The sign before each note: where a run of tuplet notes begins, and after each full group."""
    signs = [""] * len(notes)
    start = 0
    while start < len(notes):
        ratio, end = notes[start].tuplet, start
        while end < len(notes) and notes[end].tuplet == ratio:
            end += 1
        if ratio is not None:
            for first, count in _groups(start, end, ratio[0], notes):
                signs[first] = _tuplet_sign(ratio, count)
        start = end
    return signs


def _groups(
    start: int, end: int, actual: int, notes: tuple[Note, ...]
) -> Iterator[tuple[int, int]]:
    is_even = len({note.length for note in notes[start:end]}) == 1
    size = actual if is_even and (end - start) % actual == 0 else 99
    for first in range(start, end, size):
        yield first, min(size, end - first)


def _tuplet_sign(ratio: tuple[int, int], count: int) -> str:
    actual, normal = ratio
    return "(3" if (actual, normal, count) == (3, 2, 3) else f"({actual}:{normal}:{count}"


def _pitch_text(pitch: Pitch, signature: dict[str, int], in_bar: dict[str, int]) -> str:
    is_plain = pitch.step not in in_bar and signature.get(pitch.step, 0) == pitch.alter
    sign = "" if is_plain else SIGNS[pitch.alter]
    if not is_plain:
        in_bar[pitch.step] = pitch.alter
    if pitch.octave >= 5:
        return sign + pitch.step.lower() + "'" * (pitch.octave - 5)
    return sign + pitch.step + "," * (4 - pitch.octave)
