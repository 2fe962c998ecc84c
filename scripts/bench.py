"""How long does a person wait?

Each bench is a line of ``BENCHES``: a name, what a person would call it, and a function that makes
the work. A bench of one kind of work prints the median and its range; a bench of two kinds runs
them in turn (A B A B ...), so that a busy moment of the machine meets both alike, and prints their
medians and the ratio of each pair. Beside the waiting time stands the processor's, child and
worker processes included, which a busy machine hardly changes.
Numbers are for comparing on one machine, not across machines.

    scripts/bench [--list] [--runs N] [names]
"""

from __future__ import annotations

import argparse
import gc
import itertools
import os
import socket
import subprocess
import sys
import tempfile
import time
import urllib.error
import urllib.request
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from statistics import median, quantiles

import psutil

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT))

MARCH = ROOT / "seed_data" / "tunes" / "keepers_of_whinfathom_light.abc"
HEAVY = ("alembic", "music21", "numpy", "scipy", "verovio", "weasyprint")
PATIENCE_S = 60.0
ENOUGH = 60
"""How many runs does a 95th percentile need?"""

Work = Callable[[], object]


@dataclass(frozen=True)
class Bench:
    """One thing to measure.

    ``prepare`` makes the named kinds of work; what it does before is not timed. ``warm_up`` runs
    each kind once before the clock counts, for work that is slow only the first time.
    """

    name: str
    words: str
    prepare: Callable[[], dict[str, Work]]
    runs: int = 5
    warm_up: bool = True


def start() -> dict[str, Work]:
    """Start the service on an empty library: until it is healthy, and until the first page."""
    return {"spawn to first page": start_service}


def start_demo() -> dict[str, Work]:
    """Start the service with the demo band, which it has to fill in first."""
    return {"spawn to first page with the demo band": lambda: start_service("--demo")}


def start_service(*words: str) -> None:
    """Spawn the service, wait for its health and its first page, end it."""
    with tempfile.TemporaryDirectory() as folder, running_service(folder, *words) as address:
        wait_for(f"{address}/healthz")
        wait_for(f"{address}/")


@contextmanager
def running_service(folder: str, *words: str) -> Iterator[str]:
    """A service of our own on a free port; yields its address at once."""
    port = free_port()
    program = Path(sys.executable).with_name("pacestick")
    command = [str(program), "serve", "--port", str(port), "--data", folder, *words]
    process = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE)
    try:
        yield f"http://127.0.0.1:{port}"
    finally:
        process.terminate()
        _, said = process.communicate(timeout=PATIENCE_S)
        if process.returncode not in (0, -15):
            print(said.decode(errors="replace"), file=sys.stderr)


def free_port() -> int:
    """A port nobody listens on at this moment."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def wait_for(address: str) -> None:
    """Ask until the answer is good; give up after a minute."""
    deadline = time.monotonic() + PATIENCE_S
    while time.monotonic() < deadline:
        try:
            with urllib.request.urlopen(address, timeout=PATIENCE_S) as answer:
                answer.read()
                return
        except (urllib.error.URLError, ConnectionError):
            time.sleep(0.01)
    raise SystemExit(f"bench: {address} did not answer within {PATIENCE_S:.0f} s")


def imports() -> dict[str, Work]:
    """Import the service in a fresh Python, and name whatever heavy it loads."""
    question = (
        f"import sys, api.app, api.cli.main; print(*[n for n in {HEAVY} if n in sys.modules])"
    )
    heavy = ask_python(question).strip()
    print(f"  heavy libraries loaded at start: {heavy or 'none'}")
    return {"import api.app and api.cli.main": lambda: ask_python("import api.app, api.cli.main")}


def ask_python(program: str) -> str:
    """What a fresh Python prints."""
    command = [sys.executable, "-c", program]
    return subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=True).stdout


def read() -> dict[str, Work]:
    """Read a four-part march: our own reader against music21's."""
    from music21 import converter  # noqa: PLC0415 - heavy; only this bench needs it

    from planner.notation.read import read_tunes  # noqa: PLC0415 - a bench pays for its own imports

    content = MARCH.read_bytes()
    text = content.decode()
    return {
        "our reader": lambda: read_tunes(MARCH.name, content),
        "music21": lambda: converter.parse(text, format="abc", forceSource=True),
    }


def read_score() -> dict[str, Work]:
    """Read that march as MusicXML: music21 alone, our reader with its process warm."""
    from music21 import converter  # noqa: PLC0415 - heavy; only this bench needs it

    from planner.engraving.score import write_musicxml  # noqa: PLC0415
    from planner.notation.read import read_tune, read_tunes  # noqa: PLC0415

    text = write_musicxml(read_tune(MARCH.name, MARCH.read_bytes()).tune)
    return {
        "music21 alone": lambda: converter.parseData(text, format="musicxml"),
        "our reader": lambda: read_tunes("march.musicxml", text.encode()),
    }


def read_known() -> dict[str, Work]:
    """Ask for that march again: its content is known by its hash and not read a second time."""
    from api.actions.reading import forget_read, read_again  # noqa: PLC0415
    from api.storage.uploads import content_hash  # noqa: PLC0415

    content = MARCH.read_bytes()

    def known() -> object:
        return read_again(MARCH.name, content, content_hash(content))

    def anew() -> object:
        forget_read()
        return known()

    return {"known": known, "read anew": anew}


def analysis() -> dict[str, Work]:
    """Structure, movements and salience of that march, together."""
    from planner.analysis.analyse import analyse  # noqa: PLC0415
    from planner.music.tempo import Tempo  # noqa: PLC0415
    from planner.notation.read import read_tune  # noqa: PLC0415
    from planner.rules.load import load_rulebook  # noqa: PLC0415

    tune, rules = read_tune(MARCH.name, MARCH.read_bytes()).tune, load_rulebook()
    tempo = tune.tempo or Tempo(84)
    return {"structure, movements, salience": lambda: analyse(tune, "march", tempo, rules)}


def lengths() -> dict[str, Work]:
    """Read a tune of 8, 64 and 512 bars: the time should grow as the bars do, 1 to 8 to 64."""
    from planner.notation.read import read_tunes  # noqa: PLC0415

    def reading(bars: int) -> Work:
        lines = "{g}A>B {gcd}c>e | {ag}a>f {gef}e>c |\n" * (bars // 2)
        content = f"X:1\nT:Long\nM:2/4\nL:1/8\nK:HP\n{lines}".encode()
        return lambda: read_tunes("long.abc", content)

    return {f"{bars} bars": reading(bars) for bars in (8, 64, 512)}


def plan() -> dict[str, Work]:
    """Plan the march that has been read: on a parade, and in an exhibition with its marks."""
    from planner.event.event import Occasion, Setting, Sort  # noqa: PLC0415
    from planner.notation.read import read_tune  # noqa: PLC0415
    from planner.plan import plan_tune  # noqa: PLC0415
    from planner.rules.load import load_rulebook  # noqa: PLC0415

    tune, rules = read_tune(MARCH.name, MARCH.read_bytes()).tune, load_rulebook()
    parade = Setting(Occasion.PARADE, Sort.OWN_BAND)
    standing = Setting(Occasion.EXHIBITION, Sort.STANDING)
    return {
        "parade": lambda: plan_tune(tune, parade, rules),
        "exhibition": lambda: plan_tune(tune, standing, rules),
    }


def replan() -> dict[str, Work]:
    """Set one mark of the march by hand in an exhibition: ten milliseconds is the aim."""
    from planner.event.event import Occasion, Setting, Sort  # noqa: PLC0415
    from planner.marks.choices import ByHand, Choices  # noqa: PLC0415
    from planner.notation.read import read_tune  # noqa: PLC0415
    from planner.plan import plan_marks, prepare  # noqa: PLC0415
    from planner.rules.load import load_rulebook  # noqa: PLC0415

    tune = read_tune(MARCH.name, MARCH.read_bytes()).tune
    ground = prepare(tune, Setting(Occasion.EXHIBITION, Sort.STANDING), load_rulebook())
    mark = plan_marks(ground).marks[0]
    at = mark.place.address
    word = ByHand(at.part, at.bar, at.ending, mark.place.index, mark.move)
    return {"re-plan after a mark by hand": lambda: plan_marks(ground, Choices((word,)))}


def long_tune() -> dict[str, Work]:
    """Plan 64 bars and 512 bars: eight times the bars, at most eight times the wait."""
    from dataclasses import replace  # noqa: PLC0415

    from planner.event.event import Occasion, Setting, Sort  # noqa: PLC0415
    from planner.notation.read import read_tune  # noqa: PLC0415
    from planner.plan import plan_tune  # noqa: PLC0415
    from planner.rules.load import load_rulebook  # noqa: PLC0415

    march, rules = read_tune(MARCH.name, MARCH.read_bytes()).tune, load_rulebook()
    standing = Setting(Occasion.EXHIBITION, Sort.STANDING)

    def of_parts(count: int) -> Work:
        parts = [march.parts[n % len(march.parts)] for n in range(count)]
        numbered = tuple(replace(part, number=n) for n, part in enumerate(parts, start=1))
        tune = replace(march, parts=numbered)
        return lambda: plan_tune(tune, standing, rules)

    return {"64 bars": of_parts(8), "512 bars": of_parts(64)}


def engraving() -> dict[str, Work]:
    """Engrave the march in the worker process, which is warm."""
    from planner.engraving.engrave import engrave  # noqa: PLC0415
    from planner.engraving.layout import Layout  # noqa: PLC0415
    from planner.notation.read import read_tune  # noqa: PLC0415

    tune = read_tune(MARCH.name, MARCH.read_bytes()).tune
    widths = itertools.count(180.0, 0.25)  # a drawing is kept: each must be a new one
    return {"engrave": lambda: engrave(tune, Layout(paper_width_mm=next(widths)))}


def library() -> dict[str, Work]:
    """Look for tunes among 5,000."""
    from scripts import bench_library  # noqa: PLC0415

    return bench_library.search()


def sheet() -> dict[str, Work]:
    """Print one page of phrased music."""
    from scripts import bench_paper  # noqa: PLC0415 - heavy; only these benches need it

    return bench_paper.sheet()


def pack() -> dict[str, Work]:
    """Print a whole pack."""
    from scripts import bench_paper  # noqa: PLC0415

    return bench_paper.pack()


def fill() -> dict[str, Work]:
    """Fill 20 minutes from 400 tunes in 60 sets."""
    from scripts import bench_fill  # noqa: PLC0415

    return bench_fill.fill()


def pages() -> dict[str, Work]:
    """Open the pages of the demo band on a slow phone; prints by itself what the browser says."""
    from scripts import bench_pages  # noqa: PLC0415

    return bench_pages.pages(running_service, wait_for)


BENCHES = (
    Bench("start", "spawn `pacestick serve`, to its first page", start, runs=3),
    Bench("start-demo", "the same with the demo band", start_demo, runs=3),
    Bench("imports", "import the service; heavy libraries it loads", imports),
    Bench("read", "read a four-part march: our reader, music21", read, runs=7),
    Bench("read-known", "ask for a march that is known by its content", read_known, runs=21),
    Bench("read-score", "read it as MusicXML: music21 alone, our reader", read_score, runs=31),
    Bench("analyse", "structure, movements and salience of that march", analysis, runs=21),
    Bench("lengths", "read 8, 64 and 512 bars", lengths, runs=7),
    Bench("plan", "plan that march: parade, exhibition; 25 ms is the aim", plan, runs=7),
    Bench("re-plan", "plan it again after one mark by hand; 10 ms is the aim", replan, runs=31),
    Bench("long", "plan 64 and 512 bars: at most 8 times the wait", long_tune, runs=7),
    Bench("pages", "first paint and layout shift of pages, processor slowed 4 times", pages),
    Bench("library", "find tunes among 5,000: 19 of 20 below 0.05 s", library, runs=100),
    Bench("fill", "fill 20 minutes: the solver alone, all of it, with tunes read anew", fill),
    Bench("engrave", "engrave that march for the screen", engraving),
    Bench("sheet", "print a page of phrased music: bare library, kept, cold, undiminished", sheet),
    Bench("pack", "print everything for 20 people and 16 tunes", pack, runs=1, warm_up=False),
)

# What takes less of the processor than this took nothing: no ratio to nothing is printed.
TICK_S = 0.00001


def main(arguments: list[str]) -> int:
    """Run the benches named, or all."""
    asked = parse(arguments)
    if asked.list:
        for bench in BENCHES:
            print(f"{bench.name:12} {bench.words}")
        return 0
    busy = os.getloadavg()[0]
    print(f"Python {sys.version.split()[0]}, {os.cpu_count()} processors, {busy:.1f} busy before")
    for bench in BENCHES:
        if not asked.names or bench.name in asked.names:
            run(bench, asked.runs or bench.runs)
    return 0


def parse(arguments: list[str]) -> argparse.Namespace:
    """What was asked for on the command line."""
    parser = argparse.ArgumentParser(prog="scripts/bench", description="Measure waiting times.")
    known = [bench.name for bench in BENCHES]
    parser.add_argument("names", nargs="*", metavar="NAME", help=", ".join(known))
    parser.add_argument("--runs", type=int, help="how often each kind of work is timed")
    parser.add_argument("--list", action="store_true", help="name the benches and stop")
    asked = parser.parse_args(arguments)
    for name in asked.names:
        if name not in known:
            parser.error(f"there is no bench {name!r}; known are {', '.join(known)}")
    return asked


def run(bench: Bench, runs: int) -> None:
    """Time each kind of work in turn and print what came out."""
    print(f"\n{bench.name}: {bench.words}")
    kinds = bench.prepare()
    if bench.warm_up:
        for work in kinds.values():
            work()
    if not kinds:
        return
    gc.collect()
    gc.freeze()  # as the service does when it is open: what is loaded is not looked through again
    rounds = [{name: timed(work) for name, work in kinds.items()} for _ in range(runs)]
    for name in kinds:
        waited = spread([each[name].waited_s for each in rounds], " s")
        worked = median(each[name].worked_s for each in rounds)
        print(f"  {name}: {waited}; processor {worked:.3g} s")
    first, *others = kinds
    for other in others:
        ratios = [each[other].waited_s / each[first].waited_s for each in rounds]
        loads = [each[other].worked_s / max(each[first].worked_s, TICK_S) for each in rounds]
        in_work = f"{median(loads):.4g} times in processor time"
        print(f"  {other} / {first}: {spread(ratios, ' times')}; {in_work}")


@dataclass(frozen=True)
class Taken:
    """Seconds by the clock and seconds of processor."""

    waited_s: float
    worked_s: float


def timed(work: Work) -> Taken:
    """How long the work took."""
    others_before_s = processor_of_others_s()
    own_before_s, began = time.process_time(), time.perf_counter()
    work()
    waited_s, own_s = time.perf_counter() - began, time.process_time() - own_before_s
    # Asking for the others costs a millisecond itself: outside of what is timed.
    return Taken(waited_s, own_s + processor_of_others_s() - others_before_s)


def processor_of_others_s() -> float:
    """Processor seconds of the processes that work for this one, ended or not.

    A busy machine lengthens the wait and leaves these alone. The clock of one's own process is a
    thousand times finer than that of the system, which knows the others.
    """
    working = [one.cpu_times() for one in psutil.Process().children(recursive=True)]
    return sum(os.times()[2:4]) + sum(one.user + one.system for one in working)


def spread(values: list[float], unit: str) -> str:
    """Median with the smallest and the largest; with enough runs, what 19 of 20 stay below."""
    lowest, highest = min(values), max(values)
    most = f", 19 of 20 below {quantiles(values, n=20)[-1]:.4g}" if len(values) >= ENOUGH else ""
    return f"{median(values):.4g}{unit} ({lowest:.4g} to {highest:.4g}{most}, {len(values)} runs)"


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
