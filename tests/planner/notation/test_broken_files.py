"""Broken files and files made to exhaust a reader: always one sentence, or tunes, in little time.

``scripts/fuzz`` does the same for as long as it is asked, guided by the lines it reaches.
"""

import random
import time

import psutil
import pytest

from planner.errors import NotationError
from planner.notation.abc_limits import LONGEST_TUNE, MOST_TUNES
from planner.notation.read import read_tunes
from scripts.fuzz import MOST_MEGABYTES, MOST_SECONDS
from scripts.mutations import BOMBS, mutated, seeds


@pytest.mark.parametrize("name", BOMBS)
def test_a_bomb_costs_little_time_and_memory(name):
    content = BOMBS[name]()
    read_or_refused(b"X:1\nK:HP\nA|")
    before = psutil.Process().memory_info().rss
    began = time.perf_counter()
    read_or_refused(content)
    assert time.perf_counter() - began < MOST_SECONDS
    assert (psutil.Process().memory_info().rss - before) / 1e6 < MOST_MEGABYTES


@pytest.mark.parametrize("seed", range(4))
def test_mutated_files_end_in_tunes_or_in_one_sentence(seed):
    chance, known = random.Random(seed), seeds()
    kinds = [read_or_refused(mutated(chance.choice(known), chance, known)) for _ in range(100)]
    assert set(kinds) == {"tunes", "a sentence"}


def read_or_refused(content):
    try:
        return "tunes" if read_tunes("tune", content) else "nothing"
    except NotationError as refusal:
        return "a sentence" if str(refusal).count("\n") == 0 else "several lines"


def test_a_tune_too_long_for_music_is_refused_with_its_line():
    endless = b"X:2\nK:HP\n" + b"A4|\n" * (LONGEST_TUNE // 4)
    with pytest.raises(NotationError, match=r"line 5: the tune has 120,\d+ characters"):
        read_tunes("endless.abc", b"X:1\nK:HP\nA4|\n\n" + endless)


def test_a_tune_without_a_number_has_the_same_limit():
    with pytest.raises(NotationError, match="too many for one tune"):
        read_tunes("endless.abc", b"K:HP\n" + b"A4|\r" * (LONGEST_TUNE // 4))


def test_a_book_of_more_tunes_than_any_is_refused():
    with pytest.raises(NotationError, match="split it into smaller books"):
        read_tunes("book.abc", b"X:1\nK:HP\nA4|\n\n" * (MOST_TUNES + 1))
