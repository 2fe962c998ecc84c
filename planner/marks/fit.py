"""Do these marks fit beside those already chosen?

Marks are few: so many a line (or a part, for a round tune), one in any phrase, at least two felt
beats apart, and no note is touched twice. A figure that comes round costs one unit of the budget in
each line where it occurs. First and second endings never meet, so each is counted with the bars
they share.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, field
from itertools import chain, pairwise

from planner.analysis.beats import PlacedNote
from planner.analysis.phrases import PartShape
from planner.marks.stage import Proposal, Stage
from planner.music.tune import Part

Where = tuple[int, int]
"""A part, and a phrase or a line of it."""
_ByPhrase = dict[Where, list[Proposal]]
_Pass = tuple[str, int, int, int]
"""What a budget is for: a line of a part, or a whole part, as played with one of its endings."""


@dataclass
class Fit:
    """The marks chosen so far, and what they leave open."""

    stage: Stage
    chosen: list[Proposal] = field(default_factory=list)

    def __post_init__(self) -> None:
        self._positions = _Positions(self.stage)
        self._neighbours = _neighbouring_phrases(self.stage.analysis.shapes)
        self._chosen_in: _ByPhrase = defaultdict(list)
        self._endings = {
            part.number: tuple(range(1, len(part.endings) + 1)) or (1,)
            for part in self.stage.analysis.tune.parts
        }
        self._figures_in: Counter[_Pass] = Counter()

    def take(self, option: Sequence[Proposal], beside: Sequence[Proposal] = ()) -> None:
        """Choose a figure's marks; ``beside`` are those of the same figure chosen before."""
        self.chosen.extend(option)
        for proposal in option:
            self._chosen_in[self._phrase(self._note(proposal))].append(proposal)
        self._figures_in.update(self._passes(option) - self._passes(beside))

    def why_not(self, option: Sequence[Proposal], beside: Sequence[Proposal] = ()) -> str:
        """What stands in the way of a figure's marks; empty when they fit.

        Where the figure has marks already (``beside``), it costs its lines no more.
        """
        if self._is_over_budget(self._passes(option) - self._passes(beside)):
            return self._budget_words()
        own = self._by_phrase(option)
        pairs = chain(self._pairs(option, own), self._pairs(option, self._chosen_in))
        reasons = (self._why_not_both(one, other) for one, other in pairs)
        return next((reason for reason in reasons if reason), "")

    def _by_phrase(self, option: Sequence[Proposal]) -> _ByPhrase:
        found: _ByPhrase = defaultdict(list)
        for proposal in option:
            found[self._phrase(self._note(proposal))].append(proposal)
        return found

    def _pairs(
        self, option: Sequence[Proposal], others: _ByPhrase
    ) -> Iterator[tuple[Proposal, Proposal]]:
        """Each mark with the others that could be in its way: of its phrase and those around it."""
        for proposal in option:
            for phrase in self._neighbours[self._phrase(self._note(proposal))]:
                for other in others.get(phrase, ()):
                    if other is not proposal:
                        yield proposal, other

    def _why_not_both(self, one: Proposal, other: Proposal) -> str:
        here, there = self._note(one), self._note(other)
        if one.draft.touched & other.draft.touched:
            return "another mark already works with the same notes"
        if _never_meet(here, there):
            return ""
        if self._phrase(here) == self._phrase(there):
            return "another mark stands in this phrase"
        spacing = self.stage.rules.number("thresholds.budget.spacing")
        if self._positions.distance(here, there) < spacing:
            return "another mark stands less than two beats away"
        return ""

    def _is_over_budget(self, passes: AbstractSet[_Pass]) -> bool:
        licence = self.stage.licence
        limits = {"line": licence.marks_per_line, "part": licence.marks_per_part}
        return any(
            (limit := limits[which[0]]) is not None and self._figures_in[which] >= limit
            for which in passes
        )

    def _passes(self, option: Sequence[Proposal]) -> set[_Pass]:
        """Every line and part in which the figure is heard, with each ending it is heard with."""
        found: set[_Pass] = set()
        for note in map(self._note, option):
            part, line = self._line(note)
            for ending in (note.bar.ending,) if note.bar.ending else self._endings[part]:
                found |= {("line", part, line, ending), ("part", part, 0, ending)}
        return found

    def _note(self, proposal: Proposal) -> PlacedNote:
        return self.stage.analysis.notes[proposal.draft.index]

    def _line(self, note: PlacedNote) -> Where:
        return note.address.part, self.stage.analysis.grouping.line_of(*_bar_of(note))

    def _phrase(self, note: PlacedNote) -> Where:
        return note.address.part, self.stage.analysis.grouping.phrase_of(*_bar_of(note))

    def _budget_words(self) -> str:
        if self.stage.licence.marks_per_line == 0:
            return "the licence leaves no mark at all"
        is_by_part = self.stage.licence.marks_per_part is not None
        return f"the {'part' if is_by_part else 'line'} has all the marks it may carry"


def _neighbouring_phrases(shapes: Sequence[PartShape]) -> dict[Where, tuple[Where, ...]]:
    """For each phrase, itself and those played just before or after it, part by part."""
    phrases = [[(shape.number, n) for n in range(len(shape.phrases))] for shape in shapes]
    rows = [row for row in phrases if row]
    found: dict[Where, set[Where]] = {phrase: {phrase} for row in rows for phrase in row}
    meetings = [pair for row in rows for pair in pairwise([*row, row[0]])]
    meetings += [(here[-1], there[0]) for here, there in pairwise(rows)]
    for here, there in meetings:
        found[here].add(there)
        found[there].add(here)
    return {phrase: tuple(sorted(around)) for phrase, around in found.items()}


def _are_different_endings(one: int, other: int) -> bool:
    return bool(one and other and one != other)


def _never_meet(here: PlacedNote, there: PlacedNote) -> bool:
    """True for notes in different endings of the same part."""
    is_same_part = here.address.part == there.address.part
    return is_same_part and _are_different_endings(here.bar.ending, there.bar.ending)


class _Positions:
    """Felt beats from the start of the tune, every ending starting where the first one does."""

    def __init__(self, stage: Stage) -> None:
        self._bar_start: dict[tuple[int, int, int], float] = {}
        self._part_span: dict[int, tuple[float, float, bool]] = {}
        position = 0.0
        for part in stage.analysis.tune.parts:
            start, position = position, self._walk(part, position)
            self._part_span[part.number] = (start, position, part.is_repeated)

    def _walk(self, part: Part, position: float) -> float:
        branch, furthest = position, position
        for bar in part.bars:
            is_new_ending = bar.ending > 1 and (part.number, bar.number, bar.ending - 1) in (
                self._bar_start
            )
            if is_new_ending and (part.number, bar.number - 1, bar.ending) not in self._bar_start:
                position = branch
            if bar.ending == 0:
                branch = position + float(bar.length / bar.metre.beat_length)
            self._bar_start[part.number, bar.number, bar.ending] = position
            position += float(bar.length / bar.metre.beat_length)
            furthest = max(furthest, position)
        return furthest

    def distance(self, here: PlacedNote, there: PlacedNote) -> float:
        """Felt beats between two notes, the short way round where their part is repeated."""
        one, other = sorted((self._of(here), self._of(there)))
        start, end, is_repeated = self._part_span[here.address.part]
        straight = other - one
        is_straight = here.address.part != there.address.part or not is_repeated
        shortest = straight if is_straight else min(straight, (end - other) + (one - start))
        return round(shortest, 9)  # two beats counted in thirds are two beats

    def _of(self, note: PlacedNote) -> float:
        address = note.address
        start = self._bar_start[address.part, address.bar, address.ending]
        return start + float(address.beat) - 1.0


def _bar_of(note: PlacedNote) -> tuple[int, int]:
    return note.address.part, note.address.bar
