"""What does the page of one tune in a set say? What is printed, and what is played of it there."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from api.display.choices import Choices
from api.display.form import FormView
from api.display.music import MusicView, music_view
from api.display.pages.sets import tune_facts
from api.display.pages.tune import part_words
from api.display.words import length_words, sentence, sentence_start
from planner.engraving.layout import last_bars
from planner.event.altered import link_tune
from planner.event.event import Attack, CutOff, Entry, Set
from planner.event.played_parts import AS_PRINTED, TIMES_WORDS, as_played, in_turn
from planner.music.tune import Tune
from planner.notation.write import write_bar

SPARE_TURNS = 2
"""How many empty lines stand below the parts, for those that come back?"""

TIMES: Choices = tuple((str(times) if times else "", words) for times, words in TIMES_WORDS.items())
ATTACKS: Choices = (
    ("", "as the occasion has it"),
    *((attack.value, sentence_start(attack.words)) for attack in Attack),
)
CUT_OFFS: Choices = (
    ("", "not said"),
    *((cut_off.value, sentence_start(cut_off.words)) for cut_off in CutOff),
)
FIRST_HINT = "Rolls last as the rule book says, or as the introduction of the set."
LATER_HINT = "Rolls before a tune inside a set count as part of the join."
NO_MUSIC = MusicView()

EXAMPLES = {
    Fraction(2): "{g}A2 {gef}e2 fills a bar of 2/4.",
    Fraction(3): "{g}A3 {gef}e3 fills a bar of 6/8, {g}A2 {gef}e2 {g}A2 one of 3/4.",
    Fraction(4): "{g}A2 {gef}e2 {g}c2 A2 fills a bar of four crotchets.",
    Fraction(9, 2): "{g}A3 {gef}e3 {g}A3 fills a bar of 9/8.",
}
"""How does a bar of so many crotchets look in ABC?"""


@dataclass(frozen=True, slots=True)
class SetEntryView:
    """The head of the page; ``printed`` is the tune as printed, a part a line."""

    address: str
    set_address: str
    set_words: str
    title: str
    facts: str
    printed: tuple[str, ...]
    length: str
    parts: Choices
    times: Choices
    turns: tuple[str, ...]
    attacks: Choices = ATTACKS
    cut_offs: Choices = CUT_OFFS
    example: str = ""
    next_title: str = ""
    attack_hint: str = ""
    printed_last: str = ""
    last_bar: MusicView = NO_MUSIC
    link: MusicView = NO_MUSIC


def set_entry_view(
    a_set: Set,
    place: int,
    title: str,
    tune: Tune | None,
    seconds: float | None,
    form: FormView,
    next_title: str = "",
) -> SetEntryView:
    """One tune of a set, ``seconds`` as it is played now; ``place`` counts from 1."""
    address = f"/sets/{a_set.key}"
    parts = tune.parts if tune else ()
    named = tuple((str(part.number), f"Part {part.number}") for part in parts)
    return SetEntryView(
        address=entry_address(address, place),
        set_address=f"{address}#tune-{place}",
        set_words=f"Set {a_set.number}, {a_set.name}",
        title=title,
        facts=sentence(tune_facts(tune)) if tune else "This tune has no music that can be read.",
        printed=tuple(part_words(part) for part in parts),
        length=length_words(seconds) if seconds else "",
        parts=(("", "not played"), *named),
        times=TIMES,
        turns=_turn_prefixes(form),
        example=EXAMPLES.get(tune.metre.bar_length, "") if tune else "",
        next_title=next_title,
        last_bar=_last_bar(a_set.entries[place - 1], tune) if tune else NO_MUSIC,
        link=_link(a_set.entries[place - 1], tune) if tune else NO_MUSIC,
        printed_last=_printed_last(a_set.entries[place - 1], tune) if tune else "",
        attack_hint=FIRST_HINT if place == 1 else LATER_HINT,
    )


def _printed_last(entry: Entry, tune: Tune) -> str:
    """The last bar as printed, in the ABC that an altered one is written in."""
    *_, (part, number) = in_turn(entry, tune).passes()
    *_, bar = part.bars_in_pass(number)
    return write_bar(bar, tune.key) if bar.notes else ""


def _last_bar(entry: Entry, tune: Tune) -> MusicView:
    """The altered last bar as it is stored, engraved after the bar before it."""
    if not entry.last_bar or not tune.has_notes:
        return NO_MUSIC
    return music_view(last_bars(as_played(entry, tune), 2), (), "last-", is_excerpt=True)


def _link(entry: Entry, tune: Tune) -> MusicView:
    """The link as it is stored, engraved."""
    link = link_tune(entry, tune)
    return music_view(link, (), "link-", is_excerpt=True) if link else NO_MUSIC


def entry_address(set_address: str, place: int) -> str:
    """Where it is said what is played of the tune at a place of a set, counted from 1."""
    return f"{set_address}/tunes/{place}"


def set_entry_form(entry: Entry, tune: Tune | None, action: str, version: int) -> FormView:
    """What stands in the form: the parts in their turn, and a few empty lines."""
    printed = tuple(part.number for part in tune.parts) if tune else ()
    turns = entry.parts or printed
    times = (*entry.part_times, *[AS_PRINTED] * len(turns))
    values: dict[str, tuple[str, ...]] = {}
    for row in range(len(turns) + SPARE_TURNS):
        is_played = row < len(turns)
        values[f"turns.{row}.part"] = (str(turns[row]) if is_played else "",)
        values[f"turns.{row}.times"] = (str(times[row] or "") if is_played else "",)
    values["times_through"] = (str(entry.times_through),)
    values |= {"last_bar": (entry.last_bar,), "link": (entry.link,)}
    values |= {"attack": (entry.attack or "",), "cut_off": (entry.cut_off or "",)}
    return FormView(action, values, version=str(version), newer=action)


def turns_of(
    rows: Sequence[tuple[int, int]], tune: Tune | None
) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """The parts and how often each is played; nothing where that is just as printed."""
    parts, times = tuple(part for part, _ in rows), tuple(count for _, count in rows)
    printed = tuple(part.number for part in tune.parts) if tune else ()
    if parts == printed and not any(times):
        return (), ()
    return parts, times if any(times) else ()


def _turn_prefixes(form: FormView) -> tuple[str, ...]:
    rows = sorted({int(name.split(".")[1]) for name in form.values if name.startswith("turns.")})
    return tuple(f"turns.{row}" for row in rows)
