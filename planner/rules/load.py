"""How does the rule book get from its files into memory?

Each TOML file below ``data/`` is a section named by its path: ``idioms/march.toml`` holds the rules
``idioms.march.*``. A rule is a table with ``value``, ``unit`` and, unless the file gives them for
all its rules at the top (``file.source = ...``), ``source``, ``status`` and ``since``. Anything
unknown or missing stops the start with the file and the key.

``[[movement]]`` tables of ``movements.toml`` become MovementRules, ``sources.toml`` the sources.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from datetime import date
from functools import lru_cache
from pathlib import Path
from types import MappingProxyType
from typing import Any

from planner.errors import RulebookError
from planner.music.scale import CHANTER_NAMES
from planner.rules.rulebook import (
    PLACES_ON_THE_BEAT,
    MovementRule,
    Quantity,
    RuleBook,
    Source,
    Status,
    Value,
)

DATA = Path(__file__).parent / "data"

RULE_KEYS = {"value", "unit", "source", "status", "since", "range", "why"}
FILE_KEYS = {"source", "status", "since"}
SOURCE_KEYS = {"title", "by", "year", "where"}
MOVEMENT_KEYS = {
    "key", "name", "family", "gracenotes", "on", "coming_from", "not_from",
    "beat_index", "beat_index_by_idiom", "named", "source", "status",
}  # fmt: skip
LEVELS = ("none", "slight", "agreed", "full")
UNITS = {
    "ms", "s", "minutes", "m", "km", "degrees C", "dBA", "dBC", "percent", "ratio", "share", "bpm",
    "bars", "bars a minute", "beats", "parts", "times", "steps", "paces", "paces a minute",
    "gracenotes", "notes", "marks", "players", "sets", "tunes", "semitones", "standard deviations",
    "level", "place on the beat", "word", "text", "yes or no", "rung", "weight", "cents", "year",
    "mph",
}  # fmt: skip


@lru_cache(maxsize=1)
def load_rulebook() -> RuleBook:
    """The rule book that ships with the engine.

    Raises:
        RulebookError: a file has an unknown key, or a rule without unit, source or status.
    """
    return read_rulebook(DATA)


def read_rulebook(folder: Path) -> RuleBook:
    """Read every TOML file below a folder into one rule book."""
    sources = _read_sources(folder / "sources.toml")
    quantities: dict[str, Quantity] = {}
    movements: tuple[MovementRule, ...] = ()
    for path in sorted(folder.rglob("*.toml")):
        name = path.relative_to(folder).as_posix()
        if name == "sources.toml":
            continue
        content = _parse(path, name)
        movements += tuple(_movements(name, content.pop("movement", [])))
        section = name.removesuffix(".toml").replace("/", ".")
        for rule in _rules(name, section, content):
            quantities[rule.key] = rule
    _check_sources(quantities.values(), sources)
    for movement in movements:
        _known_source("movements.toml", movement.key, movement.source, sources)
    return RuleBook(MappingProxyType(quantities), movements, MappingProxyType(sources))


def _parse(path: Path, name: str) -> dict[str, Any]:
    try:
        return tomllib.loads(path.read_text(encoding="utf-8"))
    except tomllib.TOMLDecodeError as error:
        raise RulebookError(name, "whole file", f"is not TOML ({error})") from error


def _read_sources(path: Path) -> dict[str, Source]:
    found = {}
    for key, table in _parse(path, path.name).items():
        _refuse_unknown(path.name, key, table, SOURCE_KEYS)
        if "title" not in table:
            raise RulebookError(path.name, key, "has no title")
        found[key] = Source(key, **{name: str(value) for name, value in table.items()})
    return found


def _rules(name: str, section: str, content: dict[str, Any]) -> Iterator[Quantity]:
    defaults = content.pop("file", {})
    _refuse_unknown(name, "file", defaults, FILE_KEYS)
    yield from _walk(name, section, content, defaults)


def _walk(
    name: str, prefix: str, table: Mapping[str, Any], defaults: Mapping[str, Any]
) -> Iterator[Quantity]:
    for key, entry in table.items():
        path = f"{prefix}.{key}"
        if not isinstance(entry, dict):
            raise RulebookError(name, path, "must be a table with a value and a unit")
        if "value" in entry:
            yield read_quantity(name, path, {**defaults, **entry})
        else:
            yield from _walk(name, path, entry, defaults)


def read_quantity(file: str, key: str, table: Mapping[str, Any]) -> Quantity:
    """One rule from its table; also used for the values a band sets itself.

    Raises:
        RulebookError: an unknown key, a missing or unknown unit, source or status.
    """
    _refuse_unknown(file, key, table, RULE_KEYS)
    for needed in ("value", "unit", "source", "status"):
        if needed not in table:
            raise RulebookError(file, key, f"has no {needed}")
    if table["unit"] not in UNITS:
        raise RulebookError(file, key, f"has the unknown unit {table['unit']!r}")
    low, high = _range(file, key, table.get("range"))
    value = _value(file, key, table["value"])
    _check_value(file, key, table["unit"], value, (low, high))
    return Quantity(
        key=key,
        value=value,
        unit=table["unit"],
        source=table["source"],
        status=_status(file, key, table["status"]),
        since=_since(file, key, table.get("since", "")),
        low=low,
        high=high,
        why=table.get("why", ""),
    )


def _value(file: str, key: str, raw: Any) -> Value:
    if isinstance(raw, list):
        return tuple(raw)
    if isinstance(raw, bool | int | float | str):
        return raw
    raise RulebookError(file, key, "has a value that is neither number, word nor list")


def _range(file: str, key: str, raw: Any) -> tuple[float | None, float | None]:
    if raw is None:
        return None, None
    is_pair = isinstance(raw, list) and len(raw) == 2 and all(map(_is_number, raw))
    if not is_pair or raw[0] > raw[1]:
        raise RulebookError(file, key, "needs its range as [lowest, highest]")
    return float(raw[0]), float(raw[1])


def _is_number(raw: Any) -> bool:
    return isinstance(raw, int | float) and not isinstance(raw, bool)


def _check_value(
    file: str, key: str, unit: str, value: Value, span: tuple[float | None, float | None]
) -> None:
    """Refuse a value that its unit or its own range does not allow."""
    if unit == "level" and value not in LEVELS:
        raise RulebookError(file, key, f"has the level {value!r}; known are {', '.join(LEVELS)}")
    if unit == "place on the beat" and value not in PLACES_ON_THE_BEAT:
        raise RulebookError(file, key, f"has {value!r}, which is no place on the beat")
    if unit == "yes or no" and not isinstance(value, bool):
        raise RulebookError(file, key, f"must be true or false, not {value!r}")
    low, high = span
    if low is None or high is None:
        return
    numbers = value if isinstance(value, tuple) else (value,)
    if not all(_is_number(one) and low <= float(one) <= high for one in numbers):
        raise RulebookError(file, key, f"has the value {value!r} outside its range")


def _status(file: str, key: str, raw: str) -> Status:
    try:
        return Status(raw)
    except ValueError as error:
        known = ", ".join(Status)
        raise RulebookError(file, key, f"has the status {raw!r}; known are {known}") from error


def _since(file: str, key: str, raw: Any) -> str:
    if isinstance(raw, date | int | str):
        return str(raw)
    raise RulebookError(file, key, "has a 'since' that is no date or year")


def _movements(name: str, tables: list[dict[str, Any]]) -> Iterator[MovementRule]:
    for table in tables:
        key = str(table.get("key", "?"))
        _refuse_unknown(name, key, table, MOVEMENT_KEYS)
        for needed in ("key", "name", "gracenotes", "on", "beat_index", "source", "status"):
            if needed not in table:
                raise RulebookError(name, key, f"has no {needed}")
        for word in ("gracenotes", "on", "coming_from", "not_from"):
            _chanter_words(name, key, table.get(word, []))
        by_idiom = table.get("beat_index_by_idiom", {})
        for beat_index in (table["beat_index"], *by_idiom.values()):
            _beat_index(name, key, beat_index, len(table["gracenotes"]))
        yield MovementRule(
            key=key,
            name=table["name"],
            family=table.get("family", ""),
            gracenotes=tuple(table["gracenotes"]),
            on=tuple(table["on"]),
            coming_from=tuple(table.get("coming_from", [])),
            not_from=tuple(table.get("not_from", [])),
            beat_index=table["beat_index"],
            beat_index_by_idiom=MappingProxyType(dict(table.get("beat_index_by_idiom", {}))),
            is_named=table.get("named", True),
            source=table["source"],
            status=_status(name, key, table["status"]),
        )


def _chanter_words(name: str, key: str, words: list[str]) -> None:
    for word in words:
        if word not in CHANTER_NAMES:
            raise RulebookError(name, key, f"names {word!r}, which is not a note of the chanter")


def _beat_index(name: str, key: str, beat_index: Any, gracenotes: int) -> None:
    is_within = _is_number(beat_index) and beat_index in range(gracenotes + 1)
    if not is_within:
        text = f"has beat_index {beat_index!r}; it has {gracenotes} gracenotes to sit on the beat"
        raise RulebookError(name, key, text)


def _refuse_unknown(name: str, key: str, table: Mapping[str, Any], known: set[str]) -> None:
    unknown = sorted(set(table) - known)
    if unknown:
        raise RulebookError(name, key, f"has the unknown entry {unknown[0]!r}")


def _check_sources(rules: Any, sources: Mapping[str, Source]) -> None:
    for rule in rules:
        _known_source(rule.key, rule.key, rule.source, sources)


def _known_source(file: str, key: str, source: str, sources: Mapping[str, Source]) -> None:
    if source not in sources:
        raise RulebookError(file, key, f"cites the source {source!r}, which sources.toml lacks")
