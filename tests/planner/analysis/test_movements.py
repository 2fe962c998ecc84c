"""Regression: the table of embellishments as the rule book has it, in invented contexts.

What tutors and syllabuses print is checked in ``tests/published/test_movements.py``; here are the
spellings known from memory or following from the rules, the ambiguous ones, and what has no name.
"""

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.analysis.movements import (
    UNNAMED,
    Movement,
    may_come_from,
    name_movement,
)
from planner.music.scale import CHANTER_NAMES
from planner.rules.load import load_rulebook
from planner.rules.rulebook import Quantity, Status

RULES = load_rulebook()

# gracenotes | before | coming from (? = unknown) | name | beat index
NAMED = """
E                                      | low A  | low A  | E gracenote                         | 0
E                                      | D      | C      | E gracenote                         | 0
F                                      | E      | E      | F gracenote                         | 0
B                                      | low A  | low A  | B gracenote                         | 0
C                                      | low G  | low A  | C gracenote                         | 0
C                                      | B      | low A  | C gracenote                         | 0
D                                      | low A  | ?      | D gracenote                         | 0
high A                                 | F      | high G | thumb gracenote                     | 0
high A                                 | F      | ?      | thumb gracenote                     | 0
low A                                  | E      | E      | strike on E                         | 0
E                                      | F      | F      | strike on F                         | 0
F                                      | high G | high G | strike on high G                    | 0
high G                                 | high A | high A | strike on high A                    | 0
low G                                  | D      | E      | heavy strike on D                   | 0
high G, low A, low G                   | low A  | B      | G gracenote and strike on low A     | 0
high G, B, low G                       | B      | E      | G gracenote and strike on B         | 0
high G, C, low G                       | C      | low A  | G gracenote and strike on C         | 0
high G, E, low A                       | E      | E      | G gracenote and strike on E         | 0
high G, F, E                           | F      | E      | G gracenote and strike on F         | 0
high A, E, low A                       | E      | high G | thumb gracenote and strike on E     | 0
high A, D, C                           | D      | high G | thumb gracenote and light strike on D | 0
F, E                                   | F      | high A | half gracenote and strike on F      | 0
D, low G                               | D      | high A | half gracenote and heavy strike on D | 0
high G, low G, D                       | low G  | low A  | doubling on low G                   | 0
high G, low A, D                       | low A  | ?      | doubling on low A                   | 0
high G, C, D                           | C      | B      | doubling on C                       | 0
high G, F                              | high G | E      | doubling on high G                  | 0
high A, high G                         | high A | E      | doubling on high A                  | 0
high A, high G                         | high A | ?      | doubling on high A                  | 0
high A, C, D                           | C      | high G | thumb doubling on C                 | 0
high A, low A, D                       | low A  | high G | thumb doubling on low A             | 0
high A, high G, F                      | high G | high G | thumb doubling on high G            | 0
high A, high G, F                      | high G | E      | thumb doubling on high G            | 0
low A, D                               | low A  | high A | half doubling on low A              | 0
C, D                                   | C      | high G | half doubling on C                  | 0
F, high G                              | F      | E      | half doubling on F                  | 0
low G, D, C                            | D      | D      | light throw on D                    | 0
low G, D, low G, C                     | D      | D      | heavy throw on D                    | 0
D, C                                   | D      | low G  | light half throw on D               | 0
D, low G, C                            | D      | low G  | heavy half throw on D               | 0
low G, D, low G                        | D      | B      | grip                                | 3
low G, D, low G                        | low A  | ?      | grip                                | 3
D, low G                               | B      | low G  | half grip                           | 2
D, low G                               | D      | low G  | half grip                           | 2
high G, C, low G, D, low G             | C      | low A  | G gracenote grip on C               | 0
high G, D, low G, B, low G             | D      | low A  | G gracenote grip on D               | 0
high A, E, low G, D, low G             | E      | high G | thumb grip on E                     | 0
low G, D, low G, E                     | B      | ?      | taorluath                           | 3
D, low G, E                            | low A  | low G  | half taorluath                      | 2
low G, D, low G, low A, E              | C      | E      | taorluath, older form               | 4
low A, low G, low A, low G             | low A  | E      | birl                                | 4
low A, low G, low A, low G             | low A  | ?      | birl                                | 4
low G, low A, low G                    | low A  | B      | birl                                | 3
low G, low A, low G                    | low A  | low A  | birl from low A                     | 3
low G, low A, low G, low A, low G      | low A  | low A  | birl from low A                     | 5
high G, low A, low G, low A, low G     | low A  | C      | G gracenote birl                    | 0
high A, low A, low G, low A, low G     | low A  | high G | thumb birl                          | 0
low G, D, low G, E, low A, F, low A    | E      | low A  | crunluath                           | 7
"""

# The same spelling under two names: the note before decides.
AMBIGUOUS = """
low G, B, low G                        | B      | D      | grip from D                         | 3
low G, B, low G                        | B      | low A  | unnamed movement                    | 0
low G, B, low G                        | B      | ?      | grip from D                         | 3
low G, D, low G                        | D      | ?      | grip                                | 3
D, low G                               | D      | ?      | half grip                           | 2
low G, low A, low G                    | low A  | ?      | birl                                | 3
low G, D, low G                        | D      | D      | unnamed movement                    | 0
low G, D, low G                        | D      | C      | grip                                | 3
low G, D, low G                        | E      | D      | unnamed movement                    | 0
high G, F                              | high G | high A | half doubling on high G             | 0
high G, F                              | high G | ?      | doubling on high G                  | 0
D, C                                   | D      | B      | unnamed movement                    | 0
D, C                                   | D      | high A | unnamed movement                    | 0
D, low G                               | E      | B      | unnamed movement                    | 0
low G                                  | B      | C      | unnamed movement                    | 0
high G                                 | E      | high G | unnamed movement                    | 0
high G                                 | high A | E      | unnamed movement                    | 0
high G, B, D                           | B      | high A | unnamed movement                    | 0
low G, D, low G, E                     | low A  | D      | unnamed movement                    | 0
low G, D, low G, E                     | E      | low A  | unnamed movement                    | 0
D                                      | E      | low A  | unnamed movement                    | 0
"""

# gracenotes | before | coming from | the key of its rule: no cited source names these families.
NOT_NAMED = """
high G, low A, E, low A, low G         | low A  | E      | shake_on_low_a
high G, B, E, B, low G                 | B      | low A  | shake_on_b
high G, D, E, D, low G                 | D      | E      | heavy_shake_on_d
high G, D, E, D, C                     | D      | E      | light_shake_on_d
high G, E, F, E, low A                 | E      | low A  | shake_on_e
high G, F, high G, F, E                | F      | E      | shake_on_f
high A, E, F, E, low A                 | E      | high G | thumb_shake_on_e
C, E, C, low G                         | C      | high A | half_shake_on_c
low A, E, low A                        | E      | E      | double_strike_on_e
E, F, E                                | F      | D      | double_strike_on_f
C, D, C                                | D      | B      | light_double_strike_on_d
high G, high A, high G                 | high A | high A | double_strike_on_high_a
high G, E, low A, E, low A             | E      | B      | g_gracenote_double_strike_on_e
high G, D, low G, D, low G             | D      | B      | g_gracenote_heavy_double_strike_on_d
high A, F, E, F, E                     | F      | high G | thumb_double_strike_on_f
B, low G, B, low G                     | B      | high A | half_double_strike_on_b
low G, B, low G, B, low G              | B      | B      | triple_strike_on_b
low G, low A, low G, low A, low G      | low A  | B      | triple_strike_on_low_a
high G, C, low G, C, low G, C, low G   | C      | E      | g_gracenote_triple_strike_on_c
low G, D, low G, C, low G              | B      | low A  | bubbly_note
"""


def table(text):
    lines = [[cell.strip() for cell in line.split("|")] for line in text.strip().splitlines()]
    return [pytest.param(*line, id=" - ".join(line[:4])) for line in lines]


def movement(gracenotes, on, after, idiom=None, rules=RULES) -> Movement:
    previous = None if after == "?" else after
    return name_movement(tuple(gracenotes.split(", ")), on, previous, rules, idiom)


@pytest.mark.parametrize(("gracenotes", "on", "after", "name", "beat"), table(NAMED))
def test_a_spelling_of_the_table_gets_its_name_and_its_beat(gracenotes, on, after, name, beat):
    got = movement(gracenotes, on, after)
    assert (got.name, got.beat_index, got.is_named) == (name, int(beat), True)


@pytest.mark.parametrize(("gracenotes", "on", "after", "name", "beat"), table(AMBIGUOUS))
def test_the_note_before_decides_between_two_names(gracenotes, on, after, name, beat):
    got = movement(gracenotes, on, after)
    assert (got.name, got.beat_index) == (name, int(beat))


@pytest.mark.parametrize(("gracenotes", "on", "after", "key"), table(NOT_NAMED))
def test_a_family_without_a_cited_source_stays_unnamed(gracenotes, on, after, key):
    got = movement(gracenotes, on, after)
    assert (got.name, got.is_named, got.key) == (UNNAMED, False, key)


def test_an_unknown_group_is_never_guessed_and_keeps_its_gracenotes():
    got = movement("high G, E, low G", "B", "low A")
    assert (got.name, got.key, got.beat_index) == (UNNAMED, None, 0)
    assert got.in_words == "gracenotes: high G, E, low G"


def test_a_note_without_gracenotes_has_no_movement_to_name():
    with pytest.raises(ValueError, match="no gracenotes before B"):
        name_movement((), "B", None, RULES)


@pytest.mark.parametrize(
    ("gracenotes", "on", "sits"),
    [
        ("high G, B, D", "B", "on the beat"),
        ("low G, D, low G, E", "B", "across the beat"),
        ("low G, D, low G", "B", "before the beat"),
    ],
)
def test_a_movement_sits_where_its_beat_index_puts_it(gracenotes, on, sits):
    assert movement(gracenotes, on, "low A").sits == sits


@pytest.mark.parametrize(
    ("idiom", "beat"), [("march", 4), ("strathspey", 0), ("pointed reel", 4), ("jig", 4)]
)
def test_a_birl_starts_on_the_beat_only_in_a_strathspey(idiom, beat):
    assert movement("low A, low G, low A, low G", "low A", "B", idiom).beat_index == beat


def own_beat(key, gracenotes):
    quantity = Quantity(key, gracenotes, "gracenotes", "trade", Status.OWN)
    return RULES.with_own({key: quantity})


def test_a_band_moves_a_whole_family_onto_its_own_beat():
    rules = own_beat("movements.families.throw", 1)
    assert movement("low G, D, C", "D", "B", rules=rules).beat_index == 1
    assert movement("low G, D, C", "D", "B").beat_index == 0


@pytest.mark.parametrize(
    ("place", "grip", "throw"),
    [
        ("as in the book", 3, 0),
        ("on the beat", 0, 0),
        ("1 before the beat", 1, 1),
        ("before the beat", 3, 3),
    ],
)
def test_a_band_says_in_words_how_a_family_sits(place, grip, throw):
    families = [f"movements.families.{name}" for name in ("grip", "throw")]
    rules = RULES.with_own({key: replace(RULES[key], value=place) for key in families})
    assert movement("low G, D, low G", "B", "C", rules=rules).beat_index == grip
    assert movement("low G, D, C", "D", "B", rules=rules).beat_index == throw


def test_every_family_of_the_book_can_be_set():
    named = {rule.family for rule in RULES.movements if rule.family}
    settable = set(RULES.section("movements.families"))
    assert {f"movements.families.{family}" for family in named} <= {
        key if key.startswith("movements") else f"movements.families.{key}" for key in settable
    }


def test_a_band_moves_one_movement_and_leaves_its_family():
    rules = own_beat("movements.grip", 0)
    assert movement("low G, D, low G", "B", "C", rules=rules).beat_index == 0
    assert movement("low G, B, low G", "B", "D", rules=rules).beat_index == 3


def test_a_beat_index_stops_at_the_gracenotes_the_movement_has():
    rules = own_beat("movements.families.grip", 3)
    assert movement("D, low G", "B", "low G", rules=rules).beat_index == 2


def test_two_books_with_different_tables_keep_their_own_names():
    renamed = tuple(
        replace(rule, name="our grip") if rule.key == "grip" else rule for rule in RULES.movements
    )
    other = replace(RULES, movements=renamed)
    assert movement("low G, D, low G", "B", "C", rules=other).name == "our grip"
    assert movement("low G, D, low G", "B", "C").name == "grip"


# ---- the table itself ----


def contexts(rule):
    return [
        (note, before)
        for note in rule.on
        for before in CHANTER_NAMES
        if may_come_from(rule, before)
    ]


@pytest.mark.parametrize("rule", RULES.movements, ids=lambda rule: rule.key)
def test_every_rule_is_recognised_wherever_it_may_stand(rule):
    assert contexts(rule)
    for note, before in contexts(rule):
        assert name_movement(rule.gracenotes, note, before, RULES).key == rule.key


def test_only_one_rule_fits_any_spelling_in_any_context():
    places = [
        (rule.gracenotes, note, before)
        for rule in RULES.movements
        for note, before in contexts(rule)
    ]
    assert len(places) == len(set(places))


def test_every_rule_has_a_key_of_its_own():
    keys = [rule.key for rule in RULES.movements]
    assert len(keys) == len(set(keys))


@pytest.mark.parametrize("rule", RULES.movements, ids=lambda rule: rule.key)
def test_every_beat_index_lies_within_its_movement(rule):
    for beat in (rule.beat_index, *rule.beat_index_by_idiom.values()):
        assert 0 <= beat <= len(rule.gracenotes)


def test_every_named_family_but_the_crunluath_cites_somebody():
    uncited = {
        rule.key for rule in RULES.movements if rule.is_named and rule.source in ("trade", "memory")
    }
    assert uncited == {"crunluath"}


def test_no_gracenote_repeats_the_sound_before_it():
    for rule in RULES.movements:
        for note in rule.on:
            sounds = (*rule.gracenotes, note)
            assert all(one != other for one, other in pairwise(sounds)), rule


CUTS = {"low G": "D", "low A": "D", "B": "D", "C": "D", "D": "E", "E": "F", "F": "high G"}


@pytest.mark.parametrize(("note", "cut"), CUTS.items())
def test_every_doubling_up_to_f_closes_with_the_cut_of_its_note(note, cut):
    spellings = {rule.key: rule.gracenotes for rule in RULES.movements if note in rule.on}
    ending = note.lower().replace(" ", "_")
    assert spellings[f"doubling_on_{ending}"] == ("high G", note, cut)
    assert spellings[f"thumb_doubling_on_{ending}"] == ("high A", note, cut)
    assert spellings[f"half_doubling_on_{ending}"] == (note, cut)


NOTE_NAMES = st.sampled_from(CHANTER_NAMES)


@given(st.lists(NOTE_NAMES, min_size=1, max_size=8).map(tuple), NOTE_NAMES, st.none() | NOTE_NAMES)
def test_any_group_keeps_its_gracenotes_and_a_beat_within_them(gracenotes, on, before):
    got = name_movement(gracenotes, on, before, RULES, "strathspey")
    assert got.gracenotes == gracenotes
    assert 0 <= got.beat_index <= len(gracenotes)
    assert got.is_named == (got.name != UNNAMED)


@given(st.lists(NOTE_NAMES, min_size=1, max_size=8).map(tuple), NOTE_NAMES, NOTE_NAMES)
def test_an_unknown_note_before_accepts_whatever_any_note_would(gracenotes, on, before):
    if name_movement(gracenotes, on, before, RULES).is_named:
        assert name_movement(gracenotes, on, None, RULES).is_named
