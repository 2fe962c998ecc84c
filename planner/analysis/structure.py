"""How is the tune built, and where does it not keep to the usual?

Two-bar phrases go in pairs, a question and its answer; which phrases are alike tells what a player
has to learn and where a wrong ending lurks. Whatever does not fit the usual pattern is said, not
forced into it. Only melody and rhythm are compared here; gracenotes belong to figures.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from planner.analysis.beats import PlacedNote
from planner.analysis.phrases import Grouping
from planner.findings import Finding, Gravity
from planner.music.tune import Part, Tune

# From what share of equal notes are two phrases called similar? Design choice.
SIMILAR_FROM = 0.6

Sound = tuple[int, ...]


@dataclass(frozen=True, slots=True)
class PhraseShape:
    """One phrase as printed (an ending has phrases of its own) and the first one it is like.

    ``like`` names an earlier phrase as (part, first bar, ending), None if there is none;
    ``likeness`` is the share of equal notes, 1 for the same melody. ``answers`` is True for the
    second of a pair.
    """

    part: int
    first_bar: int
    ending: int
    answers: bool
    like: tuple[int, int, int] | None
    likeness: float


def phrase_shapes(
    tune: Tune, notes: Sequence[PlacedNote], grouping: Grouping
) -> tuple[PhraseShape, ...]:
    """Every phrase in printed order, with the earlier phrase it is most like."""
    sounds = _sounds_of_phrases(tune, notes, grouping)
    found: list[PhraseShape] = []
    seen: list[tuple[tuple[int, int, int], tuple[Sound, ...]]] = []
    for place, melody in sounds:
        like, likeness = _most_alike(melody, seen)
        number = grouping.phrase_of(place[1])
        found.append(PhraseShape(*place, answers=number % 2 == 1, like=like, likeness=likeness))
        seen.append((place, melody))
    return tuple(found)


def _sounds_of_phrases(
    tune: Tune, notes: Sequence[PlacedNote], grouping: Grouping
) -> list[tuple[tuple[int, int, int], tuple[Sound, ...]]]:
    """The melody of each phrase; a phrase with endings is listed once for each."""
    by_bar: dict[tuple[int, int, int], list[Sound]] = {}
    for note in notes:
        address = note.address
        pitch = note.note.pitch.midi if note.note.pitch else -1
        # Whole numbers, since phrases are compared as sets and fractions are slow to hash.
        sound = (pitch, *note.onset.as_integer_ratio(), *note.note.length.as_integer_ratio())
        by_bar.setdefault((address.part, address.bar, address.ending), []).append(sound)
    return [
        ((part.number, first, ending), _melody(part, first, ending, by_bar, grouping))
        for part in tune.parts
        for first, ending in _phrase_starts(part, grouping)
    ]


def _phrase_starts(part: Part, grouping: Grouping) -> Iterator[tuple[int, int]]:
    endings_of: dict[int, set[int]] = {}
    for bar in part.full_bars:
        phrase = grouping.phrase_of(bar.number)
        endings_of.setdefault(phrase, set()).add(bar.ending)
    for phrase, endings in endings_of.items():
        for ending in sorted(endings - {0}) or [0]:
            yield phrase * grouping.phrase_bars + 1, ending


def _melody(
    part: Part,
    first: int,
    ending: int,
    by_bar: dict[tuple[int, int, int], list[Sound]],
    grouping: Grouping,
) -> tuple[Sound, ...]:
    return tuple(
        (number - first, *sound)
        for number in range(first, first + grouping.phrase_bars)
        for key in ((part.number, number, 0), (part.number, number, ending))[: 2 if ending else 1]
        for sound in by_bar.get(key, ())
    )


def _most_alike(
    melody: tuple[Sound, ...],
    seen: list[tuple[tuple[int, int, int], tuple[Sound, ...]]],
) -> tuple[tuple[int, int, int] | None, float]:
    best, best_likeness, sounds = None, 0.0, set(melody)
    for place, earlier in seen:
        likeness = len(sounds.intersection(earlier)) / max(len(melody), len(earlier), 1)
        if likeness > best_likeness:
            best, best_likeness = place, likeness
    return (best, best_likeness) if best_likeness >= SIMILAR_FROM else (None, 0.0)


def do_parts_end_alike(tune: Tune, notes: Sequence[PlacedNote], grouping: Grouping) -> bool:
    """True when every part closes on the same phrase: where a misread cut-off waits."""
    if len(tune.parts) < 2 or not tune.has_notes:
        return False
    closing = {}
    for (part, _, _), melody in _sounds_of_phrases(tune, notes, grouping):
        closing[part] = melody
    return len(set(closing.values())) == 1


def structure_findings(
    tune: Tune, notes: Sequence[PlacedNote], grouping: Grouping
) -> list[Finding]:
    """What is not as usual: uneven parts, no repeats anywhere, endings that are all alike."""
    found = [_uneven(part, grouping) for part in tune.parts if _is_uneven(part, grouping)]
    is_plain = not any(part.is_repeated for part in tune.parts)
    if is_plain and len(tune.parts) == 1 and tune.bars_played > 16:
        text = "no repeat and no double bar: the whole tune is taken as one part"
        found.append(Finding("one_long_part", text, "", Gravity.NOTE))
    if do_parts_end_alike(tune, notes, grouping):
        text = "all parts end alike: name the part before the cut-off, not its ending"
        found.append(Finding("parts_end_alike", text))
    return found


def _is_uneven(part: Part, grouping: Grouping) -> bool:
    last = max((bar.number for bar in part.full_bars), default=0)
    return last % grouping.phrase_bars != 0


def _uneven(part: Part, grouping: Grouping) -> Finding:
    last = max(bar.number for bar in part.full_bars)
    text = (
        f"{last} bars do not fall into phrases of {grouping.phrase_bars}; "
        "set the length of its phrases by hand if they are others"
    )
    return Finding("uneven_part", text, f"part {part.number}", Gravity.NOTE)
