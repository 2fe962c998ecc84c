"""The reader on the open collections that ship with music21: what adds up, and what is said.

The books are read where music21 installed them; nothing of them is kept here. ``findings.toml``
holds findings that were judged by hand with the lines of the file around them; the table over all
tunes is printed by ``scripts/read-collections`` and stands in DEVELOPERS.md.
"""

import re
import tomllib
from functools import cache
from pathlib import Path

import pytest

from planner.findings import Gravity
from planner.notation.read import read_tunes
from scripts.compare_readers import COLLECTIONS, tune_texts

JUDGED = tomllib.loads(Path(__file__).with_name("findings.toml").read_text(encoding="utf-8"))
ROWS = JUDGED["finding"]
#: Every 25th tune of each collection: tunes, those that add up, those with a finding worth a look,
#: those that are refused until they are mended. Plain regression values, counted by this reader.
SAMPLE = [
    ("airdsAirs", 48, 47, 5, 1),
    ("ryansMammoth", 43, 41, 27, 2),
    ("oneills1850", 81, 71, 23, 11),
    ("miscFolk", 8, 7, 2, 1),
]
#: Findings that tell of a bar which does not fill its metre.
OF_LENGTH = {"bar_length", "join_length", "metre", "unclosed", "note_length", "more_findings"}


@cache
def texts(collection):
    return list(tune_texts(collection))


def reading(collection, number):
    (read,) = read_tunes("tune.abc", texts(collection)[number].encode())
    return read


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row['collection']} {row['tune']}")
def test_a_finding_judged_by_hand_is_still_made(row):
    found = [(one.code, one.where) for one in reading(row["collection"], row["tune"]).findings]
    assert (row["code"], row["where"]) in found


def test_fifty_findings_were_judged_true():
    assert sum(row["judged"] for row in ROWS) >= 50
    assert {row["collection"] for row in ROWS} == set(COLLECTIONS)
    assert len({row["code"] for row in ROWS}) >= 10
    assert all(row["why"] for row in ROWS)


@pytest.mark.parametrize(("collection", "tunes", "add_up", "doubtful", "refused"), SAMPLE)
def test_a_fixed_sample_comes_out_as_it_did(collection, tunes, add_up, doubtful, refused):
    codes = []
    for number in range(0, len(texts(collection)), 25):
        codes.append({(one.code, one.gravity) for one in reading(collection, number).findings})
    assert len(codes) == tunes
    assert sum("bar_length" not in dict(each) for each in codes) == add_up
    assert sum(any(g is Gravity.WARN for _, g in each) for each in codes) == doubtful
    assert sum(any(is_refusal(*one) for one in each) for each in codes) == refused


def is_refusal(code, gravity):
    """A tune off the chanter is sound music all the same: most old books are for the fiddle."""
    return gravity is Gravity.REFUSE and code != "off_chanter"


@pytest.mark.parametrize("collection", COLLECTIONS)
def test_a_tune_adds_up_or_a_finding_names_the_bar(collection):
    silent = []
    for number in range(0, len(texts(collection)), 7):
        read = reading(collection, number)
        named = [one for one in read.findings if one.code in OF_LENGTH]
        odd = [bar for part in read.tune.parts for bar in part.bars if is_odd(part, bar)]
        if odd and not any(
            re.match(r"part \d+, (bar \d+|the pick-up)", one.where) for one in named
        ):
            silent.append((number, odd[0].number))
    assert silent == []


def is_odd(part, bar):
    """Neither full nor at an edge where a pick-up or a lead-in may have taken its share."""
    following = part.bars[part.bars.index(bar) + 1 :][:1]
    is_edge = bar.is_pickup or not following or following[0].ending not in (bar.ending, 0)
    return bar.length > bar.metre.bar_length or (bar.length < bar.metre.bar_length and not is_edge)
