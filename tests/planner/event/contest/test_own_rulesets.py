"""Rule sets of the band's own: read, refused in one sentence, found like the book's."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.errors import RequestError
from planner.event.contest.contest import Verdict, judge_time
from planner.event.contest.own_rulesets import (
    KNOWN,
    TUNE_TYPES,
    OwnRuleset,
    as_key,
    check_names,
    read_ruleset,
    read_rulesets,
)
from planner.event.contest.rulesets import ClockFrom, RuleSet, all_rulesets, find_ruleset
from planner.event.event import Instrument
from planner.rules.load import load_rulebook

BOOK = load_rulebook()
NEEDED = {"body": "Weir Valley", "year": 2027, "grade": "Grade 4B", "element": "Medley"}
WINDOW = {**NEEDED, "shortest": 180, "longest": "5:00"}


def laid_over(*rulesets: OwnRuleset) -> list[RuleSet]:
    own = {rule.key: rule for each in rulesets for rule in each.rules("Morna", "2026-11-28")}
    book = BOOK.with_own(own)
    return [find_ruleset(each.name, book) for each in rulesets]


def test_a_rule_set_is_found_under_its_name_with_all_it_says():
    said = {
        **WINDOW, "sets": 2, "tune_types": ["march", "strathspey", "reel"],
        "parts": ["4-4-4", "4-2-2"], "clock_from": "first note", "pipers": 6, "snares": 2,
        "source": "rule book of 2027, page 12",
    }  # fmt: skip
    (rules,) = laid_over(read_ruleset(said))
    assert rules.name == "weir-valley-2027-grade-4b-medley"
    assert rules.whose == "Weir Valley 2027, Grade 4B, Medley"
    assert (rules.shortest_s, rules.longest_s, rules.sets) == (180, 300, 2)
    assert rules.asked.parts == ((4, 4, 4), (4, 2, 2))
    assert rules.clock_from is ClockFrom.FIRST_NOTE
    assert rules.minimum == {Instrument.PIPES: 6, Instrument.SNARE: 2}
    assert rules.is_own
    assert rules.source == "the band's own rules, Morna, 2026-11-28, rule book of 2027, page 12"


def test_a_time_is_judged_by_them_without_tolerance():
    (rules,) = laid_over(read_ruleset(WINDOW))
    assert judge_time(rules, 300).verdict is Verdict.OK
    assert judge_time(rules, 300.001).verdict is Verdict.OVER
    assert judge_time(rules, 179).verdict is Verdict.UNDER


def test_a_rule_set_of_a_season_on_record_stands_beside_the_books():
    said = {**WINDOW, "body": "RSPBA", "year": 2022, "grade": "grade 1", "pipers": 5}
    (rules,) = laid_over(read_ruleset(said))
    assert rules.minimum == {Instrument.PIPES: 5}
    own = {rule.key: rule for rule in read_ruleset(said).rules("Morna", "")}
    book = find_ruleset("rspba-2022-grade-1-minimum", BOOK.with_own(own))
    assert book == find_ruleset("rspba-2022-grade-1-minimum", BOOK)


def test_a_table_read_again_is_the_same():
    read = read_ruleset({**WINDOW, "parts": "4-4-4", "tune_types": "march, strathspey, reel"})
    assert read_ruleset(read.table()) == read


def test_a_file_holds_one_at_the_top_or_several():
    one = 'body = "Weir Valley"\nyear = 2027\ngrade = "4"\nelement = "medley"\nsets = 2\n'
    assert [each.name for each in read_rulesets(one)] == ["weir-valley-2027-4-medley"]
    two = f"[[ruleset]]\n{one}\n[[ruleset]]\n{one.replace('medley', 'marches')}"
    assert [each.element for each in read_rulesets(two)] == ["medley", "marches"]


@pytest.mark.parametrize(
    ("more", "sentence"),
    [
        ({"shortest": 301}, "shortest: the shortest time, 301 s, is longer than the longest, 300"),
        ({"longest": None}, "longest: None is no time; give seconds, or minutes as 4:30"),
        ({"shortest": "4:75"}, "shortest: '4:75' is no time"),
        ({"shortest": float("nan")}, "shortest: nan is no time"),
        ({"shortest": -1}, "shortest: -1 is no time"),
        ({"shortest": True}, "shortest: True is no time"),
        ({"short": 180}, "short: contest rules have no such field; write shortest"),
        ({"colour": "red"}, "colour: contest rules have no such field; known are body"),
        ({"year": "soon"}, "year: 'soon' is not right; give a whole number, 1900 to 2200"),
        ({"year": 20270}, "year: 20270 is not right"),
        ({"sets": 1.5}, "sets: 1.5 is not right; give a whole number, 1 to 10"),
        ({"pipers": -1}, "pipers: -1 is not right"),
        ({"body": ""}, "body: it is missing; say body, year, grade and element"),
        ({"body": "!!"}, "body: it has no letter"),
        ({"grade": "4" * 61}, "grade: it cannot be kept; write plain text of 60 letters at most"),
        ({"grade": 4}, "grade: 4 is no text; put it in quotation marks"),
        ({"requires": "a\x00b"}, "requires: it cannot be kept"),
        ({"tune_types": ["polka"]}, "tune_types: “polka” is no type of tune; choose march"),
        ({"tune_types": ["reel", "reel"]}, "tune_types: one of them stands twice"),
        ({"tune_types": [4]}, "tune_types: [4] is no list of words"),
        ({"tune_types": ["reel"], "parts": ["four"]}, "parts: “four” are no parts; write them"),
        ({"tune_types": ["reel"], "parts": ["4-4"]}, "parts: “4-4” does not go with the types"),
        ({"fewest_parts": 4, "most_parts": 2}, "fewest_parts: at least 4 parts and at most 2"),
        ({"march_metres": ["4"]}, "march_metres: “4” is no metre; give such as 2/4"),
        ({"clock_from": "first drone"}, "clock_from: “first drone” starts no clock; choose first"),
    ],
)  # fmt: skip
def test_what_cannot_be_reckoned_with_is_refused_in_one_sentence(more, sentence):
    with pytest.raises(RequestError) as refused:
        read_ruleset({**WINDOW, **more})
    assert str(refused.value).startswith(sentence)
    assert str(refused.value).count("; ") == 1


def test_one_end_of_a_window_alone_and_rules_that_ask_nothing_are_refused():
    with pytest.raises(RequestError, match="longest: one end of the window is missing"):
        read_ruleset({**NEEDED, "shortest": 180})
    with pytest.raises(RequestError, match="requires: the rules ask for nothing"):
        read_ruleset({**NEEDED, "source": "page 12"})


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("", "file: there is no rule set in it"),
        ("[[ruleset]]", "file: there is no rule set in it"),
        ("body = ", "file: it is not TOML"),
        ("x = " + "[" * 5000, "file: "),
        ("ruleset = 4", "file: there is no rule set in it"),
        ("ruleset = []", "file: there is no rule set in it"),
        ("body = 'a'\n[[ruleset]]\nyear = 2027", "body: it stands outside the rule sets"),
        ("[[ruleset]]\nyear=2027\n[[ruleset]]\nyear=2027", "rule set 1, body: it is missing"),
        ("[[ruleset]]\n" * 101, "file: it holds 101 rule sets; send 100 at most"),
        ("[body]\nx = 4", "year: it is missing"),
    ],
)
def test_a_file_that_holds_none_is_refused_in_one_sentence(text, sentence):
    with pytest.raises(RequestError) as refused:
        read_rulesets(text)
    assert str(refused.value).startswith(sentence)


def test_a_name_that_is_taken_is_refused():
    one = read_ruleset(WINDOW)
    with pytest.raises(RequestError, match="there are rules for weir-valley-2027-grade-4b-medley"):
        check_names([one, one], [])
    check_names([one], [rules.name for rules in all_rulesets(BOOK)])


def test_the_types_of_tune_are_the_idioms_of_the_book():
    idioms = {name.replace("_", " ") for name in BOOK.names("idioms")}
    assert {"reel" if "reel" in name else name for name in idioms} == set(TUNE_TYPES)


PLAIN = st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=8)


@given(st.dictionaries(st.sampled_from(KNOWN), PLAIN | st.lists(PLAIN, max_size=3)))
def test_any_table_is_either_read_or_refused_in_one_sentence(table):
    try:
        read = read_ruleset({**NEEDED, **table})
    except RequestError:
        return
    (rules,) = laid_over(read)
    assert rules.name == read.name
    assert as_key(rules.body) == as_key(read.body)
