"""What does the page that fills a slot say? The proposal, what it leaves, and the alternatives."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from api.display.words import length_words, sentence, sentence_start
from planner.event.filling.running_order import RunningOrder


@dataclass(frozen=True, slots=True)
class ProposalView:
    """A proposal: its sets as (name, length), its sum, what is against it, what differs.

    ``proof`` says whether another choice could fill the time better.
    """

    items: tuple[tuple[str, str], ...]
    length: str
    against: tuple[str, ...]
    proof: str
    differences: str = ""


@dataclass(frozen=True, slots=True)
class FillingView:
    """Everything below the form."""

    best: ProposalView
    others: tuple[ProposalView, ...]
    left_out: tuple[tuple[str, str], ...]


def proposal_view(
    order: RunningOrder, seconds: float, unused_s: float, differences: Sequence[str] = ()
) -> ProposalView:
    """One proposal in words."""
    return ProposalView(
        items=tuple((each.name, length_words(each.seconds)) for each in order.items),
        length=f"{length_words(seconds)} with the gaps, {length_words(unused_s)} to spare",
        against=tuple(sentence(reason.text) for reason in order.reasons),
        proof=_proof(order.gap),
        differences=sentence_start(sentence(", ".join(differences))) if differences else "",
    )


def _proof(gap: float) -> str:
    if not gap:
        return "No other choice of these sets fills the time better."
    return f"The time for looking ran out: another choice could be {gap:.0%} better at most."


def filling_view(
    best: ProposalView, others: Iterable[ProposalView], left_out: Iterable[tuple[str, str]]
) -> FillingView:
    """The proposal, the others, and what stayed out and why."""
    return FillingView(best, tuple(others), tuple((name, sentence(why)) for name, why in left_out))
