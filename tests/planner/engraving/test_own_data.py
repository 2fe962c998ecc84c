"""Is everything of a tune kept that MusicXML has no place for?"""

import json
from dataclasses import replace

from planner.engraving.own_data import own_data
from planner.music.tempo import Metre, Tempo
from planner.music.tune import Credits, outline
from tests.builders import tune
from tests.planner.engraving.demo import ENDINGS, THREE_TIMES


def test_a_field_that_says_nothing_is_left_out() -> None:
    assert set(own_data(outline("Scan", Metre(2, 4), ((1, 1),)))) == {
        "pacestick-parts",
        "pacestick-bars",
        "pacestick-joins",
    }


def test_the_words_of_the_tune_are_kept() -> None:
    told = replace(
        tune("2/4 | A4 |]", idiom="march", rhythm="quickstep"),
        tempo=Tempo(83.7),
        credits=Credits(origin="Whinfathom", transcriber="T. Hand", notes=("one", "two; three")),
        phrase_bars=2,
        line_bars=4,
    )
    fields = own_data(told)
    assert fields["pacestick-idiom"] == "march"
    assert float(fields["pacestick-tempo"]) == 83.7
    assert json.loads(fields["pacestick-notes"]) == ["one", "two; three"]
    assert fields["pacestick-rhythm"] == "quickstep"
    assert (fields["pacestick-phrase-bars"], fields["pacestick-line-bars"]) == ("2", "4")


def test_parts_tell_their_times_and_the_passes_of_their_endings() -> None:
    assert own_data(ENDINGS)["pacestick-parts"] == "2:1/2"
    assert own_data(THREE_TIMES)["pacestick-parts"] == "3:1,2/3"


def test_bars_lines_and_joins_are_listed_bar_by_bar() -> None:
    fields = own_data(tune("2/4 |: A | Bc d2 |\n A3 :|"))
    assert fields["pacestick-bars"] == "p1b0e0 p1b1e0 p1b2e0"
    assert fields["pacestick-lines"].split()[-1] == "p1b2e0"
    assert fields["pacestick-joins"] == "0 100 0"
