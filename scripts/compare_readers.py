"""Do independent readers hear the same tune as ours?

Every so many-th tune of the open collections that ship with music21, and every demo tune, is read
by music21 and by Verovio as well: pitches, lengths, repeats and endings. A difference is named by
reader, clause of ABC 2.1 and bar when one of the listed departures of that reader explains it, and
is a fault otherwise (exit 1). The others get each tune without what changes neither pitch nor
length (``our_reading.bare``), ours gets it as it stands. The demo tunes with all their gracenotes
are compared through our MusicXML, where no difference is excused.

    scripts/compare-readers [--every N] [--list]
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from pathlib import Path

import music21

from planner.engraving.score import write_musicxml
from planner.music.tune import Bar, Part, Tune
from planner.notation.abc_book import cut_book
from planner.notation.read import read_tune
from scripts.other_readers import READERS, Event, heard
from scripts.our_reading import OurReading, bare, our_reading
from scripts.reader_departures import explained
from scripts.reader_differences import Difference, differences

CORPUS = Path(music21.__file__).parent / "corpus"
COLLECTIONS = ("airdsAirs", "ryansMammoth", "oneills1850", "miscFolk")
DEMO_TUNES = Path(__file__).resolve().parent.parent / "seed_data" / "tunes"
MOST_EXCUSED_PERCENT = 3


@dataclass(slots=True)
class Comparison:
    """What came of laying one reader beside ours on the tunes of one collection."""

    collection: str
    reader: str
    tunes: int = 0
    refused: int = 0
    failed: int = 0
    bars: int = 0
    excused: set[tuple[int, int]] = field(default_factory=set)
    without_endings: int = 0
    lines: list[str] = field(default_factory=list)
    faults: list[str] = field(default_factory=list)

    @property
    def excused_percent(self) -> float:
        """Share of the bars that differ in pitch, length or repeat sign and are excused."""
        return 100 * len(self.excused) / max(self.bars, 1)

    def add(self, title: str, reading: OurReading, theirs: list[Event] | None) -> None:
        """Compare one tune; None when the other reader crashed or took too long.

        A tune that ours refuses, since it cannot be read for certain, is not compared.
        """
        self.tunes += 1
        if reading.is_refused:
            self.refused += 1
            return
        if theirs is None:
            self.failed += 1
            return
        self.bars += len(reading.bars)
        for one in differences(reading, theirs):
            self._judge(title, reading, one)

    def _judge(self, title: str, reading: OurReading, one: Difference) -> None:
        departures = explained(one, self.reader, reading)
        bars = ", ".join(str(number + 1) for number in one.bars)
        if departures is None:
            self.faults.append(f"{title}, bar {bars}: {_words(one.ours)}, not {_words(one.theirs)}")
            return
        for departure in departures:
            clause = f"{self.reader}, clause {departure.clause}: {departure.words}"
            self.lines.append(f"{title}, bar {bars}: {clause}")
        if all(departure.is_whole_reader for departure in departures):
            self.without_endings += 1
        else:
            self.excused |= {(self.tunes, number) for number in one.bars}


def main(arguments: list[str]) -> int:
    """Print the table; 1 when a difference is explained by no listed departure."""
    asked = _arguments(arguments)
    print(
        f"{'collection':14}{'reader':10}{'tunes':>6}{'refused':>9}{'failed':>8}{'bars':>8}{'excused':>16}",
        end="",
    )
    print(f"{'endings unread':>16}{'faults':>8}")
    faults = 0
    texts = {one: list(tune_texts(one))[:: asked.every] for one in COLLECTIONS}
    for collection in (*COLLECTIONS, "demo tunes"):
        for comparison in compared(collection, texts.get(collection) or demo_texts()):
            faults += len(comparison.faults)
            print(_row(comparison), flush=True)
            for line in (*(comparison.lines if asked.list else ()), *comparison.faults):
                print(f"  {line}")
    graced = list(graced_differences())
    print(f"demo tunes with gracenotes, through MusicXML: {len(graced)} differ")
    return 1 if faults or graced else 0


def _arguments(arguments: list[str]) -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="scripts/compare-readers", description=__doc__)
    parser.add_argument("--every", type=int, default=8, help="every so many-th tune; 1 is all")
    parser.add_argument("--list", action="store_true", help="name every excused difference")
    return parser.parse_args(arguments)


def _row(one: Comparison) -> str:
    excused = f"{len(one.excused)} ({one.excused_percent:.2f} %)"
    counts = f"{one.tunes:>6}{one.refused:>9}{one.failed:>8}{one.bars:>8}"
    judged = f"{excused:>16}{one.without_endings:>16}{len(one.faults):>8}"
    return f"{one.collection:14}{one.reader:10}{counts}{judged}"


def compared(collection: str, texts: list[str]) -> list[Comparison]:
    """One comparison a reader, of the tunes of these texts."""
    readings = [our_reading(text) for text in texts]
    plain = [bare(text) for text in texts]
    with ThreadPoolExecutor(len(READERS)) as both:
        answers = list(both.map(lambda reader: heard(reader, "abc", plain), READERS))
    comparisons = [Comparison(collection, reader) for reader in READERS]
    for comparison, answer in zip(comparisons, answers, strict=True):
        for text, reading, theirs in zip(texts, readings, answer, strict=True):
            comparison.add(_title(text), reading, theirs)
    return comparisons


def tune_texts(collection: str) -> Iterator[str]:
    """The text of each tune of a collection, where music21 installed it."""
    for path in sorted((CORPUS / collection).rglob("*.abc")):
        for tune in cut_book(path.read_bytes().decode("utf-8", errors="replace"))[1]:
            yield "\n".join(line for _, line in tune.lines) + "\n"


def demo_texts() -> list[str]:
    """The demo tunes as they stand."""
    return [path.read_text(encoding="utf-8") for path in sorted(DEMO_TUNES.glob("*.abc"))]


def _title(text: str) -> str:
    lines = [line.strip() for line in text.split("\n")]
    number = next((line for line in lines if line.startswith("X:")), "X:")
    return f"{number} {next((line[2:] for line in lines if line.startswith('T:')), '')}".strip()


def _words(events: tuple[Event, ...]) -> str:
    return "; ".join(f"{kind} {value}".strip() for kind, value in events[:6]) or "nothing"


# -- through MusicXML ------------------------------------------------------------------------------


def graced_differences() -> Iterator[str]:
    """The demo tunes of which a reader hears anything else in our MusicXML than we wrote."""
    tunes = [read_tune("demo.abc", text.encode()).tune for text in demo_texts()]
    scores = [write_musicxml(tune) for tune in tunes]
    for reader in READERS:
        for tune, theirs in zip(tunes, heard(reader, "musicxml", scores), strict=True):
            if theirs != list(tune_events(tune)):
                yield f"{tune.title}: {reader}"


def tune_events(tune: Tune) -> Iterator[Event]:
    """A tune in the form the other readers answer in, gracenotes and all."""
    for part in tune.parts:
        for place, bar in enumerate(part.bars):
            yield from _bar_events(part, place, bar)


def _bar_events(part: Part, place: int, bar: Bar) -> Iterator[Event]:
    following = part.bars[place + 1] if place + 1 < len(part.bars) else None
    if place == 0 and part.is_repeated:
        yield "opens", ""
    if bar.ending and part.bars[place - 1].ending != bar.ending:
        yield "ending", ",".join(map(str, part.endings[bar.ending - 1]))
    for note in bar.notes:
        yield from (("grace", str(pitch.midi)) for pitch in note.gracenotes)
        pitch = str(note.pitch.midi) if note.pitch else "rest"
        yield "note", f"{pitch} {note.length}"
    is_last_pass = bar.ending != 0 and part.times in part.endings[bar.ending - 1]
    ends = following is None or following.ending != bar.ending != 0
    if part.is_repeated and ends and not is_last_pass:
        yield "closes", ""


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
