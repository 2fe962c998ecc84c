"""Beat strengths, melodic accents and key finding, against the open library music21."""

import random
from fractions import Fraction
from typing import Any

import pytest

from planner.analysis.beats import beat_strength
from planner.analysis.salience import melodic_accents
from planner.analysis.tonal import centre_fit, pitch_class_weights
from planner.music.tempo import Metre
from tests.builders import tune

METRES = [Metre(2, 4), Metre(3, 4), Metre(4, 4), Metre(6, 8), Metre(9, 8), Metre(12, 8)]
KEYS_OF_MUSIC21 = {
    "A": (9, "major"),
    "D": (2, "major"),
    "G": (7, "major"),
    "B minor": (11, "minor"),
    "E minor": (4, "minor"),
    "F sharp minor": (6, "minor"),
}
CHANTER_LETTERS = "GABcdefga"


@pytest.fixture(scope="module")
def music21() -> Any:
    return pytest.importorskip("music21", reason="the reference library is not installed")


@pytest.mark.parametrize("metre", [*METRES, Metre(2, 2)], ids=str)
def test_a_place_is_as_strong_as_the_library_says(music21, metre):
    signature = music21.meter.TimeSignature(f"{metre.count}/{metre.unit}")
    grid = Fraction(1, 2)
    for place in range(int(metre.bar_length / grid)):
        here = grid * place
        assert beat_strength(here, metre) == signature.getAccentWeight(float(here)), here


@pytest.mark.parametrize("seed", range(20))
def test_a_melody_has_the_accents_the_library_gives_it(music21, seed):
    pitches = random.Random(seed).choices(range(67, 82), k=24)
    line = music21.stream.Stream([music21.note.Note(midi=pitch) for pitch in pitches])
    music21.analysis.metrical.thomassenMelodicAccent(line.notes)
    library = [note.editorial.melodicAccent for note in line.notes]
    assert melodic_accents(pitches) == pytest.approx(library, abs=1e-9)


def random_body(seed: int) -> str:
    chance = random.Random(seed)
    bars = [
        "".join(f"{chance.choice(CHANTER_LETTERS)}{chance.choice(['2', ''])}" for _ in range(6))
        for _ in range(8)
    ]
    return f"4/4 {' | '.join(bars)} |]"


def fits_in_music21(music21: Any, written: Any) -> dict[tuple[int, str], float]:
    """How well each key fits the notes, by pitch class and mode."""
    line = music21.stream.Stream()
    for bar in written.parts[0].bars:
        for note in bar.notes:
            line.append(music21.note.Note(midi=note.pitch.midi, quarterLength=float(note.length)))
    finder = music21.analysis.discrete.KrumhanslKessler()
    best, _ = finder.process(line, storeAlternatives=True)
    solutions = [best, *finder.alternativeSolutions]
    return {(tonic.pitchClass, mode): fit for tonic, mode, fit in solutions}


@pytest.mark.parametrize("seed", range(12))
def test_every_tonal_centre_fits_as_well_as_the_library_says(music21, seed):
    written = tune(random_body(seed))
    fits, weights = fits_in_music21(music21, written), pitch_class_weights(written)
    for centre, key in KEYS_OF_MUSIC21.items():
        assert centre_fit(weights, centre) == pytest.approx(fits[key], abs=1e-6), centre
