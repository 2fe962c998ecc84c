"""What does a set play that is not printed? The altered last bar, and the link to the next tune."""

from __future__ import annotations

from api.display.planned import PlannedEntry
from api.display.words import counted, join_words, sentence, sentence_start
from planner.event.altered import LAST_TIME
from planner.music.tune import Bar, Part, Tune


def own_bar_lines(each: PlannedEntry) -> tuple[tuple[str, str], ...]:
    """Parts left out, altered bar and link as (name, words); nothing where all is as printed."""
    said = (
        ("Left out", _parts_out(each)),
        ("Last bar", last_bar_words(each.tune)),
        ("Link", _link_line(each)),
    )
    return tuple((name, words) for name, words in said if words)


def _parts_out(each: PlannedEntry) -> str:
    numbers = [str(number) for number in each.parts_out]
    verb = "is" if len(numbers) == 1 else "are"
    words = f"part{'s' if len(numbers) > 1 else ''} {join_words(numbers)} {verb} not played"
    return sentence(words) if numbers else ""


def own_bar_facts(each: PlannedEntry) -> tuple[str, ...]:
    """The same for a line of facts: ``last bar altered``, ``then a link of two bars``."""
    altered = ("last bar altered",) if last_bar_words(each.tune) else ()
    linked = (f"then {link_words(each)}",) if each.link else ()
    return (*altered, *linked)


def altered_bar(tune: Tune) -> tuple[Part, Bar] | None:
    """The altered bar of a tune as a set plays it, None where it is as printed."""
    return next(((part, bar) for part in tune.parts for bar in part.bars if bar.label), None)


def last_bar_words(tune: Tune) -> str:
    """Which bar of a tune is altered; empty text when none is."""
    found = altered_bar(tune)
    if found is None:
        return ""
    part, bar = found
    ending = f", ending {bar.ending}," if bar.ending else ""
    when = "the last time through" if bar.label == LAST_TIME else "in this set"
    return sentence(f"part {part.number}, bar {bar.number}{ending} is altered {when}")


def _link_line(each: PlannedEntry) -> str:
    count = each.link.tune.bars_played if each.link else 0
    return sentence(f"{counted(count, 'bar')} before the next tune") if count else ""


def link_words(each: PlannedEntry) -> str:
    """How long the link is; empty text when there is none."""
    if each.link is None:
        return ""
    return f"a link of {counted(each.link.tune.bars_played, 'bar')}"


def link_where(words: str) -> str:
    """An address in the link as it is said there: ``Link, bar 1, beat 2``."""
    return sentence_start(words).replace("Part 1,", "Link,", 1)
