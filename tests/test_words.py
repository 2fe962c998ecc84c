"""Is every label made of words that somebody has looked at, and is the list of labels complete?

The terms of the trade and their meaning stand in ``docs/glossary.toml``; that the interface speaks
the trade's words, and none of another program's, was read through by a person, label by label.
"""

import pytest

from scripts.words import (
    KINDS,
    WORDS,
    Label,
    document,
    every_label,
    glossary,
    known_words,
    labels_of,
    plain,
    unknown_words,
    words_of,
)


@pytest.fixture(scope="module")
def labels() -> set[Label]:
    return every_label()


def test_every_word_of_every_label_is_in_the_glossary(labels: set[Label]) -> None:
    assert len(labels) > 300
    assert unknown_words(labels, known_words(glossary())) == {}


def test_the_list_of_labels_is_what_the_pages_show(labels: set[Label]) -> None:
    told = "run scripts/words and read what is new"
    assert WORDS.read_text(encoding="utf-8") == document(labels, glossary()), told


def test_no_label_says_measure_which_is_a_part_to_some_and_a_bar_to_others(
    labels: set[Label],
) -> None:
    # Common practice; a dance has the word in its name, and keeps it.
    said = {each.text for each in labels if "measure" in words_of(each.text)}
    assert said <= {"Scotch Measure"}


def test_no_term_stands_in_the_glossary_twice_and_each_has_one_short_meaning() -> None:
    told = glossary()
    terms = [term.lower() for kind in KINDS for term in told[kind]]
    assert len(terms) == len(set(terms))
    for kind in KINDS:
        assert [m for m in told[kind].values() if not m.endswith(".") or len(m) > 110] == []


def test_a_label_is_read_as_a_person_would() -> None:
    page = (
        '<main><h1>Set <b>2</b></h1><label>Tempo <input name="a"></label>'
        '<select aria-label="Metre"><option>6/8</option><option>cut time</option></select>'
        '<a href="/rules/x">Row</a><button>Go <svg><text>no</text></svg></button></main>'
    )
    assert labels_of(page) == {
        Label("Headings", "Set 2"),
        Label("Fields", "Tempo"),
        Label("Heard only", "Metre"),
        Label("Choices", "6/8"),
        Label("Choices", "cut time"),
        Label("Buttons and what opens", "Go"),
    }


def test_what_the_band_wrote_is_left_out_of_a_label() -> None:
    assert plain("Card of Ann Oxgate, 12:30", ["Ann Oxgate"]) == "Card of …, 0"
    assert plain("6/8", []) == ""
    assert words_of("The pipe-major's step-off, 3 m") == ["the", "pipe-major", "step-off", "m"]


def test_a_word_nobody_has_looked_at_is_named_with_its_label() -> None:
    assert unknown_words([Label("Fields", "Tempo map")], {"tempo"}) == {"map": "Tempo map"}
