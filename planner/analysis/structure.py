"""How is the tune built, and where does it not keep to the usual?

Two-bar phrases go in pairs, a question and its answer; which phrases are alike tells what a player
has to learn and where a wrong ending lurks. Whatever does not fit the usual pattern is said, not
forced into it. Only melody and rhythm are compared here; gracenotes belong to figures.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from planner.analysis.beats import PlacedNote
from planner.analysis.phrases import Grouping
from planner.findings import Finding, Gravity
from planner.music.tune import Part, Tune

# From what share of equal notes are two phrases called similar? Design choice.
SIMILAR_FROM = 0.6

Sound = tuple[int, ...]
Place = tuple[int, int, int]
"""Part, first bar and ending of a phrase."""


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
    like: Place | None
    likeness: float


def phrase_shapes(
    tune: Tune, notes: Sequence[PlacedNote], grouping: Grouping
) -> tuple[PhraseShape, ...]:
    """Every phrase in printed order, with the earlier phrase it is most like."""
    found: list[PhraseShape] = []
    heard = _Melodies()
    for place, melody in _sounds_of_phrases(tune, notes, grouping):
        like, likeness = heard.most_alike(melody)
        number = grouping.phrase_of(place[0], place[1])
        found.append(PhraseShape(*place, answers=number % 2 == 1, like=like, likeness=likeness))
        heard.add(place, melody)
    return tuple(found)


def _sounds_of_phrases(
    tune: Tune, notes: Sequence[PlacedNote], grouping: Grouping
) -> list[tuple[Place, tuple[Sound, ...]]]:
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
        first = grouping.phrase_around(part.number, bar.number).first_bar
        endings_of.setdefault(first, set()).add(bar.ending)
    for first, endings in endings_of.items():
        for ending in sorted(endings - {0}) or [0]:
            yield first, ending


def _melody(
    part: Part,
    first: int,
    ending: int,
    by_bar: dict[tuple[int, int, int], list[Sound]],
    grouping: Grouping,
) -> tuple[Sound, ...]:
    return tuple(
        (number - first, *sound)
        for number in range(first, grouping.phrase_around(part.number, first).last_bar + 1)
        for key in ((part.number, number, 0), (part.number, number, ending))[: 2 if ending else 1]
        for sound in by_bar.get(key, ())
    )


class _Melodies:
    """The phrases heard so far, each melody once, found by the sounds it shares with another.

    Comparing each phrase with all before it would make a long tune wait for its square.
    """

    def __init__(self) -> None:
        self._first_heard: dict[tuple[Sound, ...], Place] = {}
        self._different: list[tuple[Place, int]] = []
        self._with_sound: defaultdict[Sound, list[int]] = defaultdict(list)

    def add(self, place: Place, melody: tuple[Sound, ...]) -> None:
        """Remember a phrase; a melody that comes again keeps its first place."""
        if melody in self._first_heard:
            return
        self._first_heard[melody] = place
        for sound in set(melody):
            self._with_sound[sound].append(len(self._different))
        self._different.append((place, len(melody)))

    def most_alike(self, melody: tuple[Sound, ...]) -> tuple[Place | None, float]:
        """The first of the most similar phrases, and the share of equal notes."""
        if melody and melody in self._first_heard:
            return self._first_heard[melody], 1.0
        best, best_likeness = None, 0.0
        sounds = set(melody)
        shared = Counter(n for sound in sounds for n in self._with_sound.get(sound, ()))
        for number in sorted(shared):
            place, length = self._different[number]
            likeness = shared[number] / max(len(melody), length)
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
    found += [_long_phrases(part) for part in tune.parts if _has_long_phrases(part, grouping)]
    is_plain = not any(part.is_repeated for part in tune.parts)
    if is_plain and len(tune.parts) == 1 and tune.bars_played > 16:
        text = "no repeat and no double bar: the whole tune is taken as one part"
        found.append(Finding("one_long_part", text, "", Gravity.NOTE))
    if do_parts_end_alike(tune, notes, grouping):
        text = "all parts end alike: name the part before the cut-off, not its ending"
        found.append(Finding("parts_end_alike", text))
    return found


def _has_long_phrases(part: Part, grouping: Grouping) -> bool:
    """True where a part in three comes to rest in every fourth bar and never in between."""
    if grouping.is_set_by_hand(part.number) or grouping.phrase_bars != 2:
        return False
    bars = [bar for bar in part.full_bars if bar.ending <= 1]
    in_three = all(bar.notes and bar.metre.beats_per_bar == 3 for bar in bars)
    if not in_three or len(bars) < 8 or len(bars) % 4:
        return False
    rests = [bar.notes[-1].length >= 2 * bar.metre.beat_length for bar in bars]
    return all(rests[3::4]) and not any(rests[1::4])


def _long_phrases(part: Part) -> Finding:
    text = (
        "it comes to rest in every fourth bar, so its phrases may have four bars and not two; "
        "say on the tune's page where they begin"
    )
    return Finding("long_phrases", text, f"part {part.number}", Gravity.NOTE)


def _is_uneven(part: Part, grouping: Grouping) -> bool:
    last = max((bar.number for bar in part.full_bars), default=0)
    return last % grouping.phrase_bars != 0 and not grouping.is_set_by_hand(part.number)


def _uneven(part: Part, grouping: Grouping) -> Finding:
    last = max(bar.number for bar in part.full_bars)
    text = (
        f"{last} bars do not fall into phrases of {grouping.phrase_bars}; "
        "say on the tune's page where its phrases begin"
    )
    return Finding("uneven_part", text, f"part {part.number}", Gravity.NOTE)
