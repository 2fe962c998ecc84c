"""Does a reader ever fail on a broken file, or keep anybody waiting?

Whatever bytes come in, reading ends in a NotationError or in tunes, within ``MOST_SECONDS`` of
the processor and ``MOST_MEGABYTES`` in this process. First every bomb of ``mutations.py`` is read,
then mutated files for as long as asked. With atheris at hand (``scripts/fuzz`` fetches it) the
mutations are guided by the lines of ``planner/notation`` they reach; without it they are blind.
Each kind of failure is told once, and its smallest file is kept in the folder named by ``--keep``.
"""

from __future__ import annotations

import argparse
import random
import re
import sys
import time
import traceback
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import Any

import psutil

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT))

try:
    import atheris  # type: ignore[import-untyped, import-not-found, unused-ignore]
except ImportError:
    atheris = None

MOST_SECONDS = 5.0
MOST_MEGABYTES = 300.0


class Failures:
    """What went wrong, one entry a kind, with the smallest file that shows it."""

    def __init__(self, folder: Path | None) -> None:
        self.folder = folder
        self.found: dict[str, bytes] = {}
        self.files = self.read = 0

    def keep(self, kind: str, content: bytes) -> None:
        """Remember a failure; a kind that is known keeps its smallest file."""
        if kind in self.found and len(content) >= len(self.found[kind]):
            return
        if kind not in self.found:
            print(f"FAILED {kind}\n  {content[:120]!r}", flush=True)
        self.found[kind] = content
        if self.folder is not None:
            self.folder.mkdir(parents=True, exist_ok=True)
            name = re.sub(r"\W+", "_", kind)[:80]
            (self.folder / name).write_bytes(content)


def main(arguments: list[str]) -> int:
    """Read bombs and mutated files until the time is over; 1 when anything failed."""
    asked = parse(arguments)
    if atheris is not None:
        with atheris.instrument_imports(include=["planner.notation"]):
            import planner.notation.read  # noqa: F401, PLC0415 - instrumented while it is imported
    from scripts.mutations import BOMBS, seeds  # noqa: PLC0415 - after the instrumentation

    failures = Failures(asked.keep)
    for name, make in BOMBS.items():
        read_one(make(), failures, name)
    began, chance = time.monotonic(), random.Random(asked.seed)
    deadline = began + 60 * asked.minutes
    known = seeds()
    for content in known:
        read_one(content, failures)
    (blindly if atheris is None else guided)(known, chance, failures, deadline)
    return tell(failures, time.monotonic() - began)


def parse(arguments: list[str]) -> argparse.Namespace:
    """What was asked for on the command line."""
    parser = argparse.ArgumentParser(prog="scripts/fuzz", description="Read broken files.")
    parser.add_argument("--minutes", type=float, default=1.0)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--keep", type=Path, help="folder for the files that fail")
    return parser.parse_args(arguments)


def read_one(content: bytes, failures: Failures, name: str = "") -> bool:
    """Read one file; True when it held tunes."""
    from planner.errors import NotationError  # noqa: PLC0415 - after the instrumentation
    from planner.notation.read import read_tunes  # noqa: PLC0415

    failures.files += 1
    began, before = processor_s(), psutil.Process().memory_info().rss
    is_read = False
    try:
        with suppress(NotationError):
            is_read = bool(read_tunes("tune", content))
    except Exception as error:
        failures.keep(kind_of(error), content)
    seconds = processor_s() - began
    grown = (psutil.Process().memory_info().rss - before) / 1e6
    if seconds > MOST_SECONDS:
        failures.keep(f"{name or 'a file'} took {seconds:.0f} s", content)
    if grown > MOST_MEGABYTES:
        failures.keep(f"{name or 'a file'} took {grown:.0f} MB", content)
    failures.read += is_read
    return is_read


def processor_s() -> float:
    """Processor seconds of this process and the reader's own, which a busy machine leaves alone."""
    seconds = time.process_time()
    for child in psutil.Process().children():
        with suppress(psutil.Error):
            used = child.cpu_times()
            seconds += float(used.user + used.system)
    return seconds


def kind_of(error: Exception) -> str:
    """The error and the innermost line of the reader it came through."""
    steps = traceback.extract_tb(error.__traceback__)
    ours = [step for step in steps if "planner" in step.filename] or steps[-1:]
    notes = " ".join(getattr(error, "__notes__", []))
    inner = re.findall(r'notation/(\w+)\.py", line (\d+)', notes)
    where = f"{ours[-1].name}:{ours[-1].lineno}"
    if inner:
        where = ":".join(inner[-1])
    return f"{type(error).__name__} in {where}"


def blindly(known: list[bytes], chance: random.Random, failures: Failures, deadline: float) -> None:
    """Mutate the seeds until the time is over."""
    from scripts.mutations import mutated  # noqa: PLC0415

    while time.monotonic() < deadline:
        read_one(mutated(chance.choice(known), chance, known), failures)


def guided(known: list[bytes], chance: random.Random, failures: Failures, deadline: float) -> None:
    """Mutate what reached new lines of the reader until the time is over."""
    from scripts.mutations import LONGEST, mutated  # noqa: PLC0415

    def mutate(data: bytes, most: int, seed: int) -> bytes:
        chance.seed(seed)
        if chance.random() < 0.2:
            return bytes(atheris.Mutate(data, most))
        base = data if data and chance.random() < 0.8 else chance.choice(known)
        return mutated(base, chance, known)[:most]

    def target(data: bytes) -> None:
        if time.monotonic() > deadline:
            raise KeyboardInterrupt
        read_one(data, failures)

    run_atheris(target, mutate, f"-max_len={LONGEST}", failures, deadline)


def run_atheris(
    target: Callable[[bytes], None],
    mutate: Callable[[bytes, int, int], bytes],
    limit: str,
    failures: Failures,
    deadline: float,
) -> None:
    """The guided loop; it ends the process itself, so the report is made before."""
    import atexit  # noqa: PLC0415

    minutes = max(deadline - time.monotonic(), 1.0)
    words: list[Any] = ["fuzz", limit, f"-max_total_time={minutes:.0f}", "-verbosity=0"]
    words += ["-rss_limit_mb=0", "-timeout=3600", "-handle_int=0", "-artifact_prefix=.venv/fuzz/"]
    atexit.register(tell, failures, minutes)
    atheris.Setup(words, target, custom_mutator=mutate)
    atheris.Fuzz()


def tell(failures: Failures, seconds: float) -> int:
    """Print what was read and what failed; 1 when anything did."""
    print(f"{failures.files} files in {seconds:.0f} s, {failures.read} of them read as tunes")
    print(f"{len(failures.found)} kinds of failure")
    for kind, content in failures.found.items():
        print(f"  {kind}: {len(content)} bytes")
    return 1 if failures.found else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
