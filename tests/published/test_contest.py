"""Windows and numbers that others have printed, against the contest rules on record."""

import tomllib
from dataclasses import asdict
from pathlib import Path
from typing import Any

import pytest

from planner.event.contest.contest import check_minimum, judge_time
from planner.event.contest.rulesets import find_ruleset
from planner.event.event import Instrument, LineUp, Person
from planner.rules.load import load_rulebook

BOOK = load_rulebook()
TABLES = tomllib.loads(Path(__file__).with_name("contest.toml").read_text(encoding="utf-8"))


def rows(table: str) -> Any:
    return [pytest.param(row, id=row.get("name", row["ruleset"])) for row in TABLES[table]]


def _plain(value: Any) -> Any:
    return [_plain(each) for each in value] if isinstance(value, tuple) else value


def line_up(pipes: int, snare: int, bass: int) -> LineUp:
    counts = {Instrument.PIPES: pipes, Instrument.SNARE: snare, Instrument.BASS: bass}
    players = [instrument for instrument, count in counts.items() for _ in range(count)]
    return LineUp(tuple(Person(str(n), f"Player {n}", each) for n, each in enumerate(players)))


@pytest.mark.parametrize("row", rows("time"))
def test_a_printed_case_gets_its_printed_verdict(row):
    judged = judge_time(find_ruleset(row["ruleset"], BOOK), row["seconds"])
    assert judged.verdict == row["verdict"]
    assert judged.margin_seconds == row["margin"]


@pytest.mark.parametrize("row", rows("window"))
def test_a_printed_window_is_on_record(row):
    rules = find_ruleset(row["ruleset"], BOOK)
    assert (rules.shortest_s, rules.longest_s) == (row["shortest"], row["longest"])


@pytest.mark.parametrize("row", rows("no_limit"))
def test_rules_without_a_time_limit_have_no_window(row):
    assert not find_ruleset(row["ruleset"], BOOK).has_window


@pytest.mark.parametrize("row", rows("asked"))
def test_what_a_body_asks_to_be_submitted_and_played_is_on_record(row):
    rules = find_ruleset(row["ruleset"], BOOK)
    printed = {key: row[key] for key in row if key not in ("ruleset", "status", "source")}
    held = {"sets": rules.sets, **asdict(rules.asked)}
    assert {key: _plain(held[key]) for key in printed} == printed


@pytest.mark.parametrize("row", rows("minimum"))
def test_a_line_up_is_held_against_the_printed_minimum(row):
    rules = find_ruleset(row["ruleset"], BOOK)
    found = check_minimum(rules, line_up(*row["players"]))
    assert len(found) == len(row["short_of"])
    for finding, instrument in zip(found, row["short_of"], strict=True):
        assert f"on {instrument} " in finding.text


@pytest.mark.parametrize("row", rows("numbers"))
def test_the_numbers_a_body_names_are_on_record_and_no_others(row):
    held = find_ruleset(row["ruleset"], BOOK).minimum
    assert {instrument.value: count for instrument, count in held.items()} == row["asks"]
