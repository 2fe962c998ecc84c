"""In which ways are music21's and Verovio's ABC readers known to leave the standard?

One line a departure: the reader, the clause of ABC 2.1, what it does, the kinds of event it can
change, and the signs that must stand in a bar for it. Each was tried on an invented line before it
was listed (music21 10.5, Verovio 6.4). A difference that no line here explains is a fault: of
ours, until somebody has shown otherwise.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from scripts.other_readers import Event
from scripts.our_reading import OurReading
from scripts.reader_differences import Difference

NOTES, SIGNS, ENDINGS = {"note"}, {"opens", "closes"}, {"ending"}
_NO_FIELD = re.compile(r"(?![A-Za-z+]:|%|\s*$)")
_PLAIN = r"[\^_=]*[A-Ga-gz][,']*[\d/]*"
"""A note or a rest."""
_LONG = r"[\^_=]*[A-Ga-gz][,']*[\d/]+"
"""A note with a length of its own."""


@dataclass(frozen=True, slots=True)
class Departure:
    """One way in which a reader leaves the standard.

    ``pattern`` must be found in the text of a bar that differs, bar lines and the lines between
    included; ``test`` narrows it further by what is heard.
    """

    reader: str
    clause: str
    words: str
    kinds: frozenset[str]
    pattern: re.Pattern[str]
    test: str = ""

    @property
    def is_whole_reader(self) -> bool:
        """True for what the reader never reads, so that nothing of it can be compared."""
        return self.kinds == ENDINGS


def _line(
    reader: str, clause: str, kinds: set[str], pattern: str, words: str, test: str = ""
) -> Departure:
    return Departure(reader, clause, words, frozenset(kinds), re.compile(pattern), test)


DEPARTURES = (
    _line(
        "music21", "11.3", NOTES, r"[\^_=]+[A-Ga-g]",
        "an accidental holds for its own note, not to the end of the bar", "same lengths",
    ),
    _line(
        "music21", "4.4", NOTES, r"[-}]\s*[<>]|[<>]\s*[-{]",
        "a broken rhythm is lost at a tie or gracenote beside its sign",
    ),
    _line(
        "music21", "4.5", NOTES, r"[xXZ]",
        "unseen rests and bars of rest are lost",
    ),
    _line(
        "music21", "4.8", NOTES | SIGNS, "",
        "a bar longer than its metre is cut in two", "long bar",
    ),
    _line(
        "music21", "3.2", NOTES | SIGNS, r"(?:\n|\[)[LM]:|\[K:",
        "a change of metre, unit or key inside the music is not read, or only from the next line",
        "from there on",
    ),
    _line(
        "music21", "4.8", SIGNS, r"::|:\|+:|\[\|\]|\|\|:|\|:\|",
        "a sign that ends one repeat and begins the next is lost in part, and so is ||:",
    ),
    _line(
        "music21", "4.8", NOTES | SIGNS, r"[A-Za-z]::",
        "a note right before :: is taken for a field, and what follows on the line is lost",
    ),
    _line(
        "music21", "4.9", ENDINGS, r"\|\s*[1-9]",
        "an ending after which no repeat ends is lost", "never closed",
    ),
    _line(
        "music21", "4.9", ENDINGS, r"\|\|\d|\n\s*\d|\|\s+\d|\|:\|",
        "an ending is lost after a double bar line or where a line end parts it from its own",
    ),
    _line(
        "music21", "4.3", NOTES, r"\d/{2,}",
        "of the length 3// only the number is read",
    ),
    _line(
        "music21", "4.4", NOTES, rf"{_PLAIN}[<>]+{_PLAIN}[<>]",
        "a chain of broken rhythms, which the standard leaves open, is reckoned otherwise",
    ),
    _line(
        "music21", "4.17", NOTES, r"\[[^\]|]*\n",
        "a chord broken by a line end, which the standard does not know, is read as single notes",
    ),
    _line(
        "music21", "3", NOTES, "",
        "a line of the head that is no field is read as music", "text in the head",
    ),
    _line(
        "verovio", "3.2", NOTES, r"(?:^|\n|\[)K:",
        "a change of key inside the tune is not read", "from there on",
    ),
    _line(
        "verovio", "11.3", NOTES, r"[\^_=]+[A-Ga-g]",
        "an accidental holds in its own octave only", "same lengths",
    ),
    _line(
        "verovio", "4.4", NOTES, r"[-}\]=]\s*[<>]|\s[<>]",
        "a broken rhythm is lost at a tie, chord or space before its sign",
    ),
    _line(
        "verovio", "4.4", NOTES, rf"{_PLAIN}[<>]+{_PLAIN}[<>]",
        "a chain of broken rhythms, which the standard leaves open, is reckoned otherwise",
    ),
    _line(
        "verovio", "4.4", NOTES, rf"{_LONG}\s*[<>]|[<>]\s*{_LONG}|[<>]\s*\|",
        "between unequal lengths, which the standard leaves open, it reckons otherwise",
    ),
    _line(
        "verovio", "4.5", NOTES, r"[XZ]", "bars of rest have no length",
    ),
    _line(
        "verovio", "4.8", NOTES, r"::",
        "the bars before and after :: become one, so that an accidental holds on", "same lengths",
    ),
    _line(
        "verovio", "4.8", SIGNS, r"::|:\|+:|\[\|\]|\|\|:|\|:\|",
        "a sign that ends one repeat and begins the next is lost in part, and so is ||:",
    ),
    _line(
        "verovio", "4.8", NOTES | SIGNS, r"::[\s|]*\n\s*::|\n[\s=]*:\|",
        "a line that begins with the sign of a repeat loses bars",
    ),
    _line(
        "verovio", "4.17", NOTES, r"\[[^\]|]*z",
        "a rest inside a chord is read as a rest of its own",
    ),
    _line(
        "verovio", "4.9", ENDINGS, "", "first and second endings are not kept",
    ),
    _line(
        "verovio", "4.13", NOTES, r"\(\d",
        "a tuplet inside a beam takes the notes beside it along, and odd ones lose notes",
    ),
)  # fmt: skip


def explained(difference: Difference, reader: str, reading: OurReading) -> list[Departure] | None:
    """The departures that explain a difference, one or more; None when something is left over."""
    kinds = {kind for kind, _ in (*difference.ours, *difference.theirs)}
    found = [
        departure
        for departure in DEPARTURES
        if departure.reader == reader
        and kinds & departure.kinds
        and _is_met(departure, difference, reading)
    ]
    covered = {kind for departure in found for kind in departure.kinds}
    return found if kinds <= covered else None


def _is_met(departure: Departure, difference: Difference, reading: OurReading) -> bool:
    first = 0 if departure.test == "from there on" else difference.bars[0]
    bars = reading.bars[first : difference.bars[-1] + 1]
    texts = [bar.source for bar in bars]
    if not any(map(departure.pattern.search, (*texts, "".join(texts)))):
        return False
    if departure.test == "same lengths":
        return _lengths(difference.ours) == _lengths(difference.theirs)
    if departure.test == "never closed":
        return not any(("closes", "") in bar.events for bar in reading.bars[first:])
    if departure.test == "text in the head":
        return any(_NO_FIELD.match(line) for line in reading.head.split("\n"))
    if departure.test == "long bar":
        return any(bar.is_long for bar in bars)
    return True


def _lengths(events: Iterable[Event]) -> list[Fraction]:
    return [Fraction(value.split()[1]) for kind, value in events if kind == "note"]
