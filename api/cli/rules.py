"""Which contest rules hold for a command? The book's, a file's, and those of a library."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path
from typing import Any

from api.actions.rules import rulebook_of
from api.settings import Settings
from api.storage.library import open_library
from planner.errors import RequestError
from planner.event.amounts import minutes_and_seconds, plain
from planner.event.contest.contest import TimeVerdict
from planner.event.contest.own_rulesets import check_names, read_rulesets
from planner.event.contest.rulesets import all_rulesets
from planner.rules.load import load_rulebook
from planner.rules.rulebook import RuleBook

Nervous = tuple[tuple[Fraction, TimeVerdict], tuple[Fraction, TimeVerdict]]


def contest_rulebook(file: Path | None, data: Path | None) -> RuleBook:
    """The rule book with the rule sets of a library and of a TOML file laid over it.

    Raises:
        RequestError: the file cannot be read, or there is no library in the folder.
    """
    book = load_rulebook() if data is None else _book_of_library(data)
    if file is None:
        return book
    rulesets = read_rulesets(_text_of(file))
    check_names(rulesets, (rules.name for rules in all_rulesets(book)))
    added = (rule for each in rulesets for rule in each.rules(file.name, ""))
    return book.with_own({rule.key: rule for rule in added})


def nerves_document(nervous: Nervous) -> dict[str, Any]:
    """The time at the tempos that nerves may bring, each with its verdict."""
    return {
        name: {
            "seconds": round(float(seconds), 3),
            "verdict": judged.verdict.value,
            "margin_seconds": round(judged.margin_seconds, 3),
        }
        for name, (seconds, judged) in zip(("slower", "quicker"), nervous, strict=True)
    }


def nerves_words(nervous: Nervous) -> str:
    """The same in one line."""
    said = (
        f"{name} it lasts {minutes_and_seconds(seconds)}: {judged.verdict} by "
        f"{plain(round(abs(judged.margin_seconds), 1))} s"
        for name, (seconds, judged) in zip(("With nerves slower", "quicker"), nervous, strict=True)
    )
    return f"{'; '.join(said)}."


def _book_of_library(data: Path) -> RuleBook:
    if not data.is_dir():
        raise RequestError("data", f"there is no folder {data}", "name the folder of a library")
    settings = Settings(data_dir=data)
    database = open_library(settings.address_of_database, settings.band_name)
    try:
        with database.reading() as session:
            return rulebook_of(session, database.home_band())
    finally:
        database.close()


def _text_of(file: Path) -> str:
    try:
        return file.read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError) as error:
        raise RequestError("rules", f"{file} cannot be read as text", "name a TOML file") from error
