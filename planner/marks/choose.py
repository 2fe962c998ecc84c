"""Which few marks are made?

A band plays in unison and must remember its marks, so a figure gets the same move wherever it comes
round, or none. Figures are taken by salience, best first; each gets its most preferred move that
still fits, and is passed over when none does. That is the lexicographic optimum over figures, ties
to the earlier bar: deterministic, and easy to say.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from planner.marks.fit import Fit
from planner.marks.moves import is_named_by_licence, preference, propose
from planner.marks.stage import Proposal, Refusal, Stage


@dataclass(frozen=True, slots=True)
class Candidate:
    """A place in a figure, wherever it comes round, with every move all its places can share.

    ``options`` holds, most preferred first, one proposal for each place. ``refusals`` are those of
    the best place.
    """

    indices: tuple[int, ...]
    score: float
    options: tuple[tuple[Proposal, ...], ...]
    refusals: tuple[Refusal, ...]

    @property
    def best(self) -> int:
        """The note that speaks for the candidate: the first printed."""
        return self.indices[0]


@dataclass(frozen=True, slots=True)
class Choice:
    """The chosen proposals in printed order, and for each note left out the binding reason."""

    chosen: tuple[Proposal, ...]
    left_out: tuple[tuple[int, str], ...]


def choose_marks(
    stage: Stage,
    made: Sequence[Proposal] = (),
    forbidden: frozenset[int] = frozenset(),
    ranked: Sequence[Candidate] | None = None,
) -> Choice:
    """The marks of a tune under a licence; none where control of the beat comes first.

    ``made`` are the marks set by hand: they stand, and count against the budget. ``forbidden`` are
    the notes a person wants left alone, and with them their figures. ``ranked`` are the stage's
    candidates where they are at hand already.
    """
    if not stage.licence.carries_pulse:
        return Choice(tuple(made), ())
    fit = Fit(stage)
    by_figure = _by_figure(stage, made)
    for option in by_figure.values():
        fit.take(option)
    left_out: list[tuple[int, str]] = []
    for candidate in candidates(stage) if ranked is None else ranked:
        if forbidden.intersection(candidate.indices):
            left_out.append((candidate.best, "left alone by hand"))
            continue
        set_by_hand = by_figure.get(stage.analysis.figures[candidate.best])
        if set_by_hand:
            why_not = _take_the_rest(fit, candidate, set_by_hand)
        else:
            why_not = _take_first_that_fits(fit, candidate)
        if why_not:
            left_out.append((candidate.best, why_not))
    chosen = sorted(fit.chosen, key=lambda proposal: proposal.draft.index)
    return Choice(tuple(chosen), tuple(sorted(left_out)))


def _by_figure(stage: Stage, made: Sequence[Proposal]) -> dict[int, list[Proposal]]:
    found: dict[int, list[Proposal]] = {}
    for proposal in made:
        found.setdefault(stage.analysis.figures[proposal.draft.index], []).append(proposal)
    return found


def _take_the_rest(fit: Fit, candidate: Candidate, made: Sequence[Proposal]) -> str:
    """Give a figure the move it has by hand in one place wherever else it comes round."""
    move, done = made[0].draft.move, {proposal.draft.index for proposal in made}
    if done >= set(candidate.indices):
        return ""
    for option in candidate.options:
        rest = tuple(each for each in option if each.draft.index not in done)
        if rest and rest[0].draft.move is move:
            why_not = fit.why_not(rest, made)
            if not why_not:
                fit.take(rest, made)
            return why_not
    return "the figure is marked otherwise by hand"


def _take_first_that_fits(fit: Fit, candidate: Candidate) -> str:
    """Take the most preferred option that fits; else the reason of the first that does not."""
    reasons = []
    for option in candidate.options:
        why_not = fit.why_not(option)
        if not why_not:
            fit.take(option)
            return ""
        reasons.append(why_not)
    return reasons[0] if reasons else _why_impossible(candidate)


def _why_impossible(candidate: Candidate) -> str:
    if len(candidate.indices) > 1 and not candidate.refusals:
        return "the figure comes round again where the same move is not possible"
    return binding_reason(candidate.refusals)


def binding_reason(refusals: Sequence[Refusal]) -> str:
    """What would have to change for this note to be marked: the first reason that could change."""
    could_change = [refusal.why for refusal in refusals if not refusal.is_shape]
    return (could_change or ["nothing beside this note can give it time"])[0]


def candidates(stage: Stage) -> list[Candidate]:
    """Every figure place that stands out enough, best first, ties to the earlier bar."""
    threshold = stage.rules.number("thresholds.salience.threshold")
    found = []
    for indices in _places_by_figure(stage):
        score = max(stage.analysis.salience[index].total for index in indices)
        if round(score, 9) >= threshold:
            found.append(_candidate(stage, indices, score))
    return sorted(found, key=lambda candidate: (-round(candidate.score, 9), candidate.best))


def _places_by_figure(stage: Stage) -> Iterable[tuple[int, ...]]:
    places: dict[int, list[int]] = {}
    for note in stage.analysis.notes:
        if not note.bar.is_pickup and not note.note.is_rest:
            places.setdefault(stage.analysis.figures[note.index], []).append(note.index)
    return (tuple(indices) for indices in places.values())


def _candidate(stage: Stage, indices: tuple[int, ...], score: float) -> Candidate:
    by_place = [propose(stage, index) for index in indices]
    shared = _shared_options([possible for possible, _ in by_place])
    options = _with_named_leans(stage, [possible for possible, _ in by_place], shared)
    refusals = () if by_place[0][0] else tuple(by_place[0][1])
    return Candidate(indices, score, options, refusals)


def _shared_options(
    by_place: Sequence[list[Proposal]],
) -> tuple[tuple[Proposal, ...], ...]:
    """The moves that every place can make, in the first place's order of preference."""
    moves_by_place = [{p.draft.move: p for p in possible} for possible in by_place]
    return tuple(
        tuple(moves[proposal.draft.move] for moves in moves_by_place)
        for proposal in by_place[0]
        if all(proposal.draft.move in moves for moves in moves_by_place)
    )


def _with_named_leans(
    stage: Stage, by_place: Sequence[list[Proposal]], shared: tuple[tuple[Proposal, ...], ...]
) -> tuple[tuple[Proposal, ...], ...]:
    """The shared moves, and at its rank the lean at those places only that the licence names."""
    leans = tuple(
        proposal
        for possible in by_place
        for proposal in possible
        if is_named_by_licence(stage, proposal)
    )
    if not leans or len(leans) == len(by_place):
        return shared
    order = preference(stage.licence)
    return tuple(sorted((leans, *shared), key=lambda option: order.index(option[0].draft.move)))
