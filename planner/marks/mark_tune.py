"""A tune on its stage gets its marks: set by hand, chosen by the engine, agreed with the drums."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from planner.findings import Finding
from planner.marks.by_hand import work_by_hand
from planner.marks.choices import Agreed, Choices, has_changed_since, lapsed, word_on
from planner.marks.choose import Candidate, choose_marks
from planner.marks.describe import make_mark
from planner.marks.marks import Agreement, LeftOut, Mark, Verdict
from planner.marks.outline_marks import marks_on_outline
from planner.marks.played import Change
from planner.marks.stage import Proposal, Stage

CHANGED = "changed_since_agreed"
"""The code of what the drums must hear of first."""


@dataclass(frozen=True, slots=True)
class Marked:
    """A tune with its marks. ``since_agreed`` says what is not as the drums know it any more."""

    marks: tuple[Mark, ...]
    changes: tuple[Change, ...]
    left_out: tuple[LeftOut, ...]
    findings: tuple[Finding, ...]
    since_agreed: tuple[Finding, ...]


def mark_tune(stage: Stage, choices: Choices, ranked: Sequence[Candidate] | None = None) -> Marked:
    """Marks by hand, then the engine's, then the drums' word; again where they have refused.

    ``ranked`` are the stage's candidates where they are at hand already.
    """
    if not stage.analysis.tune.has_notes:
        return _outlined(stage, choices)
    hand = work_by_hand(stage, choices.by_hand)
    choice = choose_marks(stage, hand.made, hand.forbidden, ranked)
    drawn = [
        (proposal, make_mark(stage, proposal, proposal in hand.made)) for proposal in choice.chosen
    ]
    bpm = stage.analysis.tempo.bpm
    refused = _refused(stage, drawn, choices)
    if refused - stage.refused:
        return mark_tune(replace(stage, refused=stage.refused | refused), choices)
    left_out = (LeftOut(stage.analysis.notes[n].place, why) for n, why in choice.left_out)
    marks = tuple(_with_word(mark, bpm, choices) for _, mark in drawn)
    return Marked(
        marks=marks,
        changes=tuple(proposal.draft.change for proposal in choice.chosen),
        left_out=tuple(left_out),
        findings=hand.findings,
        since_agreed=_since_agreed(marks, bpm, choices),
    )


def _outlined(stage: Stage, choices: Choices) -> Marked:
    """A tune without notes carries what people set, and nothing else."""
    bpm = stage.analysis.tempo.bpm
    drawn, gone = marks_on_outline(stage, choices.by_hand)
    marks = tuple(_with_word(mark, bpm, choices) for mark in drawn)
    return Marked(marks, (), (), gone, _since_agreed(marks, bpm, choices))


def _refused(stage: Stage, drawn: list[tuple[Proposal, Mark]], choices: Choices) -> frozenset[str]:
    """The notes at which the drums have said no to a mark that is on the page."""
    bpm = stage.analysis.tempo.bpm
    found: set[str] = set()
    for proposal, mark in drawn:
        word = word_on(mark, bpm, choices.agreements)
        if word is not None and not word.is_agreed:
            found.update(stage.analysis.notes[n].place.note_id for n in proposal.draft.meets)
    return frozenset(found)


def _with_word(mark: Mark, bpm: float, choices: Choices) -> Mark:
    """The mark with what the drums have said about it."""
    word = word_on(mark, bpm, choices.agreements)
    if word is None:
        return mark
    if not word.is_agreed:
        return replace(mark, agreement=Agreement.REFUSED)
    if mark.agreement is not Agreement.TO_BE_AGREED:
        return mark
    return replace(mark, agreement=Agreement.AGREED, drums=Verdict.FOLLOW)


def _since_agreed(marks: Sequence[Mark], bpm: float, choices: Choices) -> tuple[Finding, ...]:
    """A finding for each note on which the drums know something that does not hold any more."""
    said = choices.agreements
    about = {one.address: _gone_words(one) for one in lapsed(marks, bpm, said)}
    for mark in marks:
        if mark.agreement is Agreement.TO_BE_AGREED and has_changed_since(mark, bpm, said):
            about[mark.place.address] = _changed_words(mark, said)
    return tuple(Finding(CHANGED, about[at], str(at)) for at in sorted(about))


def _changed_words(mark: Mark, said: Sequence[Agreed]) -> str:
    what = f"{mark.move} on {mark.place.note}"
    last = [one for one in said if one.address == mark.place.address][-1]
    if last.is_for_this:
        return f"{what} has changed since the drums gave their word"
    return f"{what}: the drums gave their word for another occasion, or before the music changed"


def _gone_words(one: Agreed) -> str:
    who = f" by {one.who}" if one.who else ""
    return f"{one.move}, agreed{who}, is not planned any more: tell the drummers"
