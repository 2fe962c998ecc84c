"""How is a mark said in words, and which marks can be said together?

A figure gets the same move wherever it comes, so the same mark stands in several bars: it is said
once, with all its addresses.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from api.display.words import addresses_in_words, sentence_start, shift_words
from planner.marks.marks import Agreement, LeftOut, Mark, Move, Verdict
from planner.music.tune import Address

PAYING = "A note that pays gives the time back, so that the bar keeps its length."

# How are the longer instructions shortened for a card? (begins, ends, becomes)
SHORTENED = (
    ("play the ", " tight", "tight"),
    ("start the ", " before the beat", "early"),
    ("let the ", " come late", "late"),
)

# Which marks matter most on a card? Those the drums must know of, then the most audible.
_ATTENTION = (Verdict.CONFLICT, Verdict.FOLLOW, Verdict.WATCH, Verdict.STRICT)


@dataclass(frozen=True, slots=True)
class MarkGroup:
    """The same mark in one or more places."""

    marks: tuple[Mark, ...]

    @property
    def first(self) -> Mark:
        """The earliest of them."""
        return self.marks[0]

    @property
    def where(self) -> str:
        """All addresses in words."""
        return addresses_in_words([mark.place.address for mark in self.marks])


def group_marks(
    marks: Sequence[Mark], with_reasons: bool = True, by_part: bool = True
) -> tuple[MarkGroup, ...]:
    """Marks that say the same, together, in the order of their first places.

    Without reasons, marks that ask the same are together whatever they are for; not ``by_part``,
    also where they stand in several parts.
    """
    groups: dict[tuple[object, ...], list[Mark]] = {}
    for mark in sorted(marks, key=lambda each: each.place.address):
        reason = why_words(mark) if with_reasons else ""
        part = mark.place.address.part if by_part else 0
        same = (done_words(mark), reason, drum_words(mark), part)
        groups.setdefault(same, []).append(mark)
    return tuple(MarkGroup(tuple(group)) for group in groups.values())


def worth_a_flag(marks: Sequence[Mark], most: int) -> tuple[tuple[MarkGroup, ...], int]:
    """The few groups that go on a card, in playing order, and how many are left for the music."""
    groups = group_marks(marks, with_reasons=False)
    ranked = sorted(
        groups,
        key=lambda group: (_ATTENTION.index(group.first.drums), -group.first.audibility.ratio),
    )
    chosen = ranked[:most]
    return tuple(group for group in groups if group in chosen), len(groups) - len(chosen)


def done_words(mark: Mark) -> str:
    """What is done, such as ``hold D, C pays``; a mark set by hand says so."""
    if mark.by_hand:
        return f"{mark.move} {mark.place.note}, set by hand"
    return mark.why.partition(": ")[0]


def short_words(mark: Mark) -> str:
    """What is done, as short as on a card: ``hold D``, ``tight taorluath on low A``."""
    done = done_words(mark).partition(",")[0]
    for before, after, word in SHORTENED:
        if done.startswith(before) and done.endswith(after):
            return f"{word} {done.removeprefix(before).removesuffix(after)}"
    return done


def why_words(mark: Mark) -> str:
    """Why it is done."""
    return mark.why if mark.by_hand else mark.why.partition(": ")[2]


def drum_words(mark: Mark) -> str:
    """What it asks of the drums: ``strict``, ``follow, to be agreed: 35 ms later``."""
    if mark.drums is Verdict.STRICT:
        return str(mark.drums)
    agreement = "" if mark.agreement is Agreement.NOT_NEEDED else f", {mark.agreement}"
    return f"{mark.drums}{agreement}: {shift_words(mark.ms)}"


def flam_words(mark: Mark) -> str:
    """How often pipes and drums fall apart at this band's own scatter, with the mark and without.

    Drums that go along move with the note: what is left is the chance that is there at any stroke.
    """
    flams, without = round(mark.clash.p_percent), round(mark.clash.p_zero_percent)
    if mark.drums is Verdict.FOLLOW:
        return f"moved together, a flam {without} times in a hundred, as at any stroke"
    if mark.move is Move.BREATHE:
        return "the bar grows, and strict drums do not wait"
    return f"a flam {flams} times in a hundred, {without} without the mark"


def struck_address(mark: Mark) -> Address:
    """Where a drummer meets the mark: at the note whose start moves."""
    place = mark.place if mark.move is Move.EARLY else mark.moved
    return place.address


def group_left_out(left_out: Sequence[LeftOut]) -> tuple[tuple[str, str], ...]:
    """(addresses, why) of the notes that got no mark, those with the same reason together."""
    by_reason: dict[str, list[Address]] = {}
    for each in left_out:
        by_reason.setdefault(each.why, []).append(each.place.address)
    return tuple((addresses_in_words(at), sentence_start(why)) for why, at in by_reason.items())
