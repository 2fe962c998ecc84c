"""Who says so: the publication, or the band itself."""

from dataclasses import replace

from planner.event.citation import cite
from planner.event.contest.contest import judge_time
from planner.event.contest.rulesets import find_ruleset
from planner.event.sound import sound_dose
from planner.rules.load import load_rulebook
from planner.rules.rulebook import RuleBook, Status

BOOK = load_rulebook()


def with_own(key: str, value: float) -> RuleBook:
    own = replace(
        BOOK[key], value=value, status=Status.OWN, set_by="The pipe-major", set_on="2026-05-01"
    )
    return BOOK.with_own({key: own})


def test_a_rule_of_the_book_names_its_publication():
    rule = BOOK["contests.rspba_2012.grade_2.medley.longest"]
    assert cite(rule, BOOK).startswith("pipes|drums, News of the overrun")


def test_a_window_the_band_has_set_shows_as_its_own():
    book = with_own("contests.rspba_2012.grade_2.medley.longest", 370)
    judged = judge_time(find_ruleset("rspba-2012-grade-2-medley", book), 366)
    assert judged.margin_seconds == 4
    assert judged.source == "the band's own value, The pipe-major, 2026-05-01"


def test_a_daily_value_the_band_has_set_shows_as_its_own():
    dose = sound_dose(82, with_own("sound.level.niosh", 82))
    assert dose.minutes_to_value == 480
    assert dose.source.startswith("the band's own value")
