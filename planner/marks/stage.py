"""What is a move judged against, and what comes of it?

A draft is a move worked out: how far, who pays, what it does to the written time. Judged well, it
is a proposal; otherwise a refusal, which is one sentence.
"""

from __future__ import annotations

from dataclasses import dataclass

from planner.analysis.analyse import TuneAnalysis
from planner.licence.licence import Licence
from planner.marks.anchors import Anchors
from planner.marks.audibility import judge_audibility, judge_producible
from planner.marks.marks import Audibility, Move, Producible
from planner.marks.played import Change
from planner.rules.rulebook import RuleBook


@dataclass(frozen=True, slots=True)
class Stage:
    """The tune, the licence, the strokes and the rules.

    ``refused`` are the note ids at which the drums have said no.
    """

    analysis: TuneAnalysis
    licence: Licence
    anchors: Anchors
    rules: RuleBook
    refused: frozenset[str] = frozenset()

    @property
    def beat_ms(self) -> float:
        """Milliseconds of a felt beat."""
        return self.analysis.tempo.beat_ms

    def always_next(self, index: int) -> int | None:
        """The note that comes next on every pass; None where a repeat or an ending parts them."""
        followers = self.analysis.notes[index].followers
        is_one_way = len(followers) == 1 and followers[0] > index
        return followers[0] if is_one_way else None

    def is_follow_open(self, index: int) -> bool:
        """True when the drums may be asked to go along at this note's onset."""
        note_id = self.analysis.notes[index].place.note_id
        return self.licence.drums_follow and note_id not in self.refused


@dataclass(frozen=True, slots=True)
class Draft:
    """A move on one note, before it is judged.

    ``index`` is the note that gains, ``moved`` the other end, ``ends`` the note whose end is moved
    and ``ioi_ms`` the interval its audibility is judged by. ``touched`` is every note whose time
    changes; ``meets`` the notes among them whose sound moves off or onto a drum stroke.
    """

    index: int
    move: Move
    ms: float
    moved: int
    ends: int
    ioi_ms: float
    change: Change
    touched: frozenset[int]
    meets: tuple[int, ...] = ()
    in_roll: bool = False
    lengthens: bool = True
    needs_to_be_heard: bool = False


@dataclass(frozen=True, slots=True)
class Proposal:
    """A move that may be chosen."""

    draft: Draft
    audibility: Audibility
    producible: Producible


@dataclass(frozen=True, slots=True)
class Refusal:
    """A move that is not possible on this note, and the binding reason.

    ``is_shape`` is True when the note itself rules the move out, whatever the occasion: nobody
    asks why a crotchet on a single gracenote is not brought early.
    """

    move: Move
    why: str
    is_shape: bool = False


Drafted = Draft | Refusal
"""What working out one move of one note gives."""


def judge(stage: Stage, draft: Draft) -> Proposal | Refusal:
    """The draft as a proposal, if it can be heard as far as it must and played by these players."""
    proposal = judged(stage, draft)
    if proposal.audibility.lab_ratio < 1.0:
        return Refusal(draft.move, "the shift that fits here cannot be heard")
    if draft.needs_to_be_heard and proposal.audibility.ratio < 1.0:
        return Refusal(draft.move, "the shift that fits here would not be noticed")
    if proposal.producible.ratio < stage.rules.number("thresholds.scatter.uncertain"):
        return Refusal(draft.move, "the shift would be lost in the players' own scatter")
    return proposal


def judged(stage: Stage, draft: Draft) -> Proposal:
    """The draft with what is predicted for it, whatever that is."""
    is_cadence = draft.ends in stage.analysis.cadences
    audibility = judge_audibility(draft.ms, draft.ioi_ms, is_cadence, draft.lengthens, stage.rules)
    producible = judge_producible(draft.ms, stage.licence.sigma_ms, stage.rules)
    return Proposal(draft, audibility, producible)
