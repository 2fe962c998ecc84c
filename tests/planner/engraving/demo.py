"""The tunes of the demo band, read once, and tunes with the corners of notation."""

import functools
from pathlib import Path

from planner.music.tune import Tune
from planner.notation.read import read_tune
from tests.builders import tune

FOLDER = Path(__file__).parents[3] / "seed_data" / "tunes"
NAMES = sorted(path.stem for path in FOLDER.glob("*.abc"))

TRIPLETS = tune("2/4 | A2 (3Bcd | {gcd}(3e2d c2 | A4 |]", title="Triplets")
DOTS = tune("C| | A4 B>c d>>e | f>>>g a7 z/2 f/2 | G16 |]", title="Dots")
TIES = tune("3/4 | A6- | A2 B5/2 c3/2 | d5 e |]", title="Ties")
ENDINGS = tune("2/4 |: A | B4 | c2 d2 |1 e4 | A3 :|2 f4 | A4 |]", title="Endings")
THREE_TIMES = tune("6/8 |: A3 B3 |1,2 c3 d3 :|3 e3 a3 |]", title="Three times")
METRES = tune("2/4 | A2 B2 | [M:3/4] c2 d2 e2 | [M:6/8] f3 a3 |]", title="Metres")
CORNERS = (TRIPLETS, DOTS, TIES, ENDINGS, THREE_TIMES, METRES)


@functools.cache
def demo_tune(name: str) -> Tune:
    """A tune of the demo band by the name of its file."""
    return read_tune(name, (FOLDER / f"{name}.abc").read_bytes()).tune
