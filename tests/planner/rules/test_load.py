import pytest

from planner.errors import RulebookError
from planner.music.scale import CHANTER_NAMES
from planner.rules.load import load_rulebook, read_quantity, read_rulebook
from planner.rules.rulebook import Status

GOOD = {"value": 35, "unit": "ms", "source": "trade", "status": "from memory"}
SOURCES = '[trade]\ntitle = "Common practice"\n'
MOVEMENT = """
[[movement]]
key = "strike_on_b"
name = "strike on B"
gracenotes = ["low G"]
on = ["B"]
beat_index = 0
source = "trade"
status = "common practice"
"""


def without(*keys):
    return {key: value for key, value in GOOD.items() if key not in keys}


def book(tmp_path, sources=SOURCES, **files):
    (tmp_path / "sources.toml").write_text(sources, encoding="utf-8")
    for name, text in files.items():
        (tmp_path / f"{name}.toml").write_text(text, encoding="utf-8")
    return read_rulebook(tmp_path)


def test_a_rule_is_found_under_the_path_of_its_file(tmp_path):
    (tmp_path / "idioms").mkdir()
    text = 'pointing = { value = 3, unit = "ratio", source = "trade", status = "from memory" }'
    (tmp_path / "idioms" / "march.toml").write_text(text, encoding="utf-8")
    assert book(tmp_path).number("idioms.march.pointing") == 3


def test_what_a_file_says_of_all_its_rules_holds_for_each(tmp_path):
    top = 'file.source = "trade"\nfile.status = "common practice"\nfile.since = 2026\n'
    read = book(tmp_path, drill=f'{top}[pace]\nlength = {{ value = 0.76, unit = "m" }}')
    rule = read["drill.pace.length"]
    assert (rule.source, rule.status, rule.since) == ("trade", Status.COMMON_PRACTICE, "2026")


def test_a_rule_may_disagree_with_the_top_of_its_file(tmp_path):
    top = 'file.source = "trade"\nfile.status = "common practice"\n'
    read = book(tmp_path, drill=f'{top}x = {{ value = 1, unit = "m", status = "from memory" }}')
    assert read["drill.x"].status is Status.FROM_MEMORY


@pytest.mark.parametrize(
    ("table", "problem"),
    [
        (without("unit"), "has no unit"),
        (without("source"), "has no source"),
        (without("status"), "has no status"),
        ({**GOOD, "unit": "furlongs"}, "has the unknown unit 'furlongs'"),
        ({**GOOD, "status": "certain"}, "has the status 'certain'; known are published"),
        ({**GOOD, "colour": "red"}, "has the unknown entry 'colour'"),
        ({**GOOD, "value": {"low": 1}}, "neither number, word nor list"),
        ({**GOOD, "range": [60, 25]}, "needs its range as"),
        ({**GOOD, "range": [25]}, "needs its range as"),
        ({**GOOD, "range": "25-60"}, "needs its range as"),
        ({**GOOD, "range": ["low", "high"]}, "needs its range as"),
        ({**GOOD, "range": [40, 60]}, "has the value 35 outside its range"),
        ({**GOOD, "value": "long", "range": [25, 60]}, "outside its range"),
        ({**GOOD, "unit": "level", "value": "sligth"}, "has the level 'sligth'; known are none"),
        ({**GOOD, "unit": "yes or no", "value": "yes"}, "must be true or false, not 'yes'"),
        ({**GOOD, "since": ["2026"]}, "'since' that is no date or year"),
    ],
)
def test_a_rule_that_is_not_right_is_refused_with_file_and_key(table, problem):
    with pytest.raises(RulebookError, match=problem) as refused:
        read_quantity("thresholds.toml", "thresholds.gracenote.length", table)
    assert str(refused.value).startswith("thresholds.toml, thresholds.gracenote.length: ")
    assert str(refused.value).endswith(".")


@pytest.mark.parametrize("value", [35, 25, 60, 42.5])
def test_a_value_inside_its_range_is_read(value):
    assert read_quantity("f", "k", {**GOOD, "value": value, "range": [25, 60]}).value == value


def test_a_list_becomes_a_tuple():
    assert read_quantity("f", "k", {**GOOD, "value": [1, 2]}).value == (1, 2)


def test_a_rule_without_a_table_is_refused(tmp_path):
    with pytest.raises(RulebookError, match=r"drill\.pace: must be a table"):
        book(tmp_path, drill="pace = 0.76")


def test_a_file_that_is_not_toml_is_named(tmp_path):
    with pytest.raises(RulebookError, match=r"drill\.toml, whole file: is not TOML"):
        book(tmp_path, drill="pace = = 1")


def test_an_unknown_word_at_the_top_of_a_file_is_refused(tmp_path):
    with pytest.raises(RulebookError, match="unknown entry 'unit'"):
        book(tmp_path, drill='file.unit = "m"')


def test_a_source_that_nobody_has_written_down_is_refused(tmp_path):
    rule = 'x = { value = 1, unit = "m", source = "a_friend", status = "from memory" }'
    with pytest.raises(RulebookError, match="cites the source 'a_friend'"):
        book(tmp_path, drill=rule)


def test_a_source_without_a_title_is_refused(tmp_path):
    with pytest.raises(RulebookError, match=r"sources\.toml, trade: has no title"):
        book(tmp_path, sources='[trade]\nby = "somebody"')


def test_a_movement_is_read_with_its_spelling(tmp_path):
    (movement,) = book(tmp_path, movements=MOVEMENT).movements
    assert (movement.key, movement.gracenotes, movement.on) == ("strike_on_b", ("low G",), ("B",))
    assert movement.is_named
    assert movement.coming_from == ()


@pytest.mark.parametrize(
    ("before", "after", "problem"),
    [
        ('["low G"]', '["low g"]', "names 'low g', which is not a note of the chanter"),
        ('on = ["B"]', 'on = ["H"]', "names 'H'"),
        ("beat_index = 0", "beat_index = 2", "has beat_index 2; it has 1 gracenotes"),
        ("beat_index = 0", "beat_index = -1", "has beat_index -1"),
        ("beat_index = 0", 'beat_index = "on"', "has beat_index 'on'"),
        ("beat_index = 0", "", "has no beat_index"),
        ('source = "trade"', 'source = "a_friend"', "cites the source 'a_friend'"),
        ('key = "strike_on_b"', 'key = "strike_on_b"\nnick = "x"', "unknown entry 'nick'"),
    ],
)
def test_a_movement_that_is_not_right_is_refused(tmp_path, before, after, problem):
    assert before in MOVEMENT
    with pytest.raises(RulebookError, match=problem):
        book(tmp_path, movements=MOVEMENT.replace(before, after))


def test_the_book_that_ships_is_right():
    read = load_rulebook()
    assert read.number("thresholds.gracenote.length") == 35
    assert set(read.names("idioms")) >= {"march", "strathspey", "jig", "slow_air"}
    assert {note for movement in read.movements for note in movement.on} == set(CHANTER_NAMES)


def test_every_rule_of_the_book_that_ships_says_who_says_so():
    read = load_rulebook()
    for rule in read.quantities.values():
        assert read.sources[rule.source].title, rule.key
        assert rule.status is not Status.OWN


def test_nothing_from_memory_is_called_published():
    read = load_rulebook()
    memory = [rule for rule in read.quantities.values() if rule.source in ("memory", "trade")]
    assert not [rule.key for rule in memory if rule.status is Status.PUBLISHED]
