"""How well does the reader do on whole books of tunes?

Reads every ABC file of each folder and prints one line a folder: tunes; those in which all bars
add up; those with a finding worth a look; those that would be refused because of how they are
written (a note that the chanter does not have is counted apart: most old books are fiddle music);
milliseconds a tune. Without folders, the books that ship with music21 are read where they stand.
``--show CODE`` lists the findings of one kind.

    scripts/read-collections [--show CODE] [folders]
"""

from __future__ import annotations

import argparse
import importlib.util
import time
from collections.abc import Iterable, Iterator
from pathlib import Path

from planner.errors import NotationError
from planner.findings import Finding, Gravity
from planner.notation.read import ReadTune, read_tunes

BOOKS = ("airdsAirs", "ryansMammoth", "oneills1850", "miscFolk")
OFF_THE_CHANTER = "off_chanter"


def main() -> None:
    """Print the table, and the findings of one kind if asked."""
    asked = _arguments()
    print(f"{'collection':16}{'tunes':>7}{'add up':>16}{'findings':>16}{'refused':>16}", end="")
    print(f"{'off chanter':>13}{'ms a tune':>11}")
    for folder in asked.folders or _shipped_books():
        started = time.perf_counter()
        reads = list(_reads(folder))
        milliseconds = 1000 * (time.perf_counter() - started)
        print(_row(folder.name, reads, milliseconds))
        for line in _shown(reads, asked.show):
            print(line)


def _arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description="Read whole books of tunes.")
    parser.add_argument("folders", nargs="*", type=Path)
    parser.add_argument("--show", default="", metavar="CODE")
    return parser.parse_args()


def _shipped_books() -> list[Path]:
    found = importlib.util.find_spec("music21")
    assert found is not None
    assert found.origin is not None
    return [Path(found.origin).parent / "corpus" / book for book in BOOKS]


def _reads(folder: Path) -> Iterator[ReadTune]:
    for path in sorted(folder.rglob("*.abc")):
        try:
            yield from read_tunes(path.name, path.read_bytes())
        except NotationError as refusal:
            print(refusal)


def _row(name: str, reads: list[ReadTune], milliseconds: float) -> str:
    count = len(reads)
    refused = [read for read in reads if any(_refuses(one) for one in read.findings)]
    add_up = [read for read in reads if "bar_length" not in _codes(read.findings)]
    doubtful = [read for read in reads if any(_is_doubt(one) for one in read.findings)]
    off = [read for read in reads if OFF_THE_CHANTER in _codes(read.findings)]
    shares = "".join(f"{_share(len(some), count):>16}" for some in (add_up, doubtful, refused))
    each = milliseconds / max(count, 1)
    return f"{name:16}{count:>7}{shares}{len(off):>13}{each:>11.1f}"


def _share(some: int, count: int) -> str:
    return f"{some} ({100 * some / max(count, 1):.1f} %)"


def _codes(findings: Iterable[Finding]) -> set[str]:
    return {finding.code for finding in findings}


def _refuses(finding: Finding) -> bool:
    return finding.gravity is Gravity.REFUSE and finding.code != OFF_THE_CHANTER


def _is_doubt(finding: Finding) -> bool:
    return finding.gravity is Gravity.WARN


def _shown(reads: list[ReadTune], code: str) -> Iterator[str]:
    for read in reads:
        for finding in read.findings:
            if finding.code == code:
                yield f"  {read.tune.title}: {finding}"


if __name__ == "__main__":
    main()
