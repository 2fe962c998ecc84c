"""Which contest rules has a band added itself, and can they be reckoned with?

A rule set of the band's own comes from a form or a TOML file as a table of plain values. Reading it
refuses whatever is unknown, missing or contradicts itself, in one sentence that names the field.
What was read becomes rules of the rule book, so that everything that asks the book finds it.
"""

from __future__ import annotations

import tomllib
import unicodedata
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, fields
from difflib import get_close_matches
from typing import Any

from planner.errors import RequestError
from planner.event.contest.plain_values import read_seconds, read_text, read_whole
from planner.event.contest.rulesets import INSTRUMENT_BY_RULE, ClockFrom, read_parts
from planner.rules.rulebook import Quantity, Status

TUNE_TYPES = ("march", "strathspey", "reel", "jig", "hornpipe", "slow air", "waltz")
NEEDED = ("body", "year", "grade", "element")
LONGEST_TEXT = 300
LONGEST_NAME = 60
MOST = {"sets": 10, "tunes": 40, "fewest_parts": 40, "most_parts": 40, "parts_in_all": 200}
MOST_PLAYERS = 100
EARLIEST, LATEST = 1900, 2200
MOST_RULESETS = 100
TABLE = "ruleset"


@dataclass(frozen=True, slots=True)
class OwnRuleset:
    """A set of contest rules as the band wrote it; None and empty where nothing is asked.

    ``shortest`` and ``longest`` in seconds. ``parts`` as the trade writes them: ``4-2-2``.
    """

    body: str
    year: int
    grade: str
    element: str
    shortest: float | None = None
    longest: float | None = None
    sets: int | None = None
    tune_types: tuple[str, ...] = ()
    parts: tuple[str, ...] = ()
    fewest_parts: int | None = None
    most_parts: int | None = None
    tunes: int | None = None
    parts_in_all: int | None = None
    march_metres: tuple[str, ...] = ()
    clock_from: str = ""
    pipers: int | None = None
    snares: int | None = None
    tenors: int | None = None
    basses: int | None = None
    requires: str = ""
    source: str = ""

    @property
    def place(self) -> str:
        """Where it stands below ``contests`` in the rule book: season, grade, element."""
        body, grade, element = map(as_key, (self.body, self.grade, self.element))
        return f"{body}_{self.year}.{grade}.{element}"

    @property
    def name(self) -> str:
        """Its name, as sets give it: ``our-association-2027-grade-4-medley``."""
        return self.place.replace(".", "-").replace("_", "-")

    def table(self) -> dict[str, Any]:
        """What is said, as a table of plain values; what is empty is left out."""
        said = {field.name: getattr(self, field.name) for field in fields(self)}
        return {
            name: list(value) if isinstance(value, tuple) else value
            for name, value in said.items()
            if value not in (None, "", ())
        }

    def rules(self, set_by: str, set_on: str) -> Iterator[Quantity]:
        """What is said, as rules of the rule book with the band's name and day on them."""
        for name, value in self.table().items():
            path = f"minimum.{name}" if name in INSTRUMENT_BY_RULE else name
            yield Quantity(
                key=f"contests.{self.place}.{path}",
                value=tuple(value) if isinstance(value, list) else value,
                unit=UNITS.get(name, "text"),
                source=self.source,
                status=Status.OWN,
                since=str(self.year),
                set_by=set_by,
                set_on=set_on,
            )


UNITS = {
    "year": "year", "shortest": "s", "longest": "s", "sets": "sets", "tunes": "tunes",
    "fewest_parts": "parts", "most_parts": "parts", "parts_in_all": "parts", "clock_from": "word",
    **dict.fromkeys(INSTRUMENT_BY_RULE, "players"),
}  # fmt: skip
KNOWN = tuple(field.name for field in fields(OwnRuleset))


def read_rulesets(text: str) -> tuple[OwnRuleset, ...]:
    """The rule sets of a TOML file: one at the top level, or several as ``[[ruleset]]``.

    Raises:
        RequestError: it is no TOML, holds none, or one of them cannot be reckoned with.
    """
    try:
        content = tomllib.loads(text)
    except RecursionError as error:
        raise RequestError("file", "its lists lie too deep", "write plain fields") from error
    except tomllib.TOMLDecodeError as error:
        raise RequestError("file", f"it is not TOML ({error})", "mend that line") from error
    tables = content.pop(TABLE) if TABLE in content else [content]
    if tables != [content] and content:
        outside = next(iter(content))
        raise RequestError(outside, "it stands outside the rule sets", "put it into one")
    is_list = isinstance(tables, list) and all(isinstance(each, dict) for each in tables)
    if not is_list or not tables or tables == [{}]:
        raise RequestError("file", "there is no rule set in it", "write [[ruleset]] and its fields")
    if len(tables) > MOST_RULESETS:
        problem = f"it holds {len(tables)} rule sets"
        raise RequestError("file", problem, f"send {MOST_RULESETS} at most")
    return tuple(_numbered(at, table, len(tables)) for at, table in enumerate(tables, start=1))


def read_ruleset(table: Mapping[str, Any]) -> OwnRuleset:
    """A rule set from a table of plain values.

    Raises:
        RequestError: an unknown or missing field, a value of the wrong kind, or a contradiction.
    """
    for name in table:
        if name not in KNOWN:
            raise _unknown(name, KNOWN)
    for name in NEEDED:
        if table.get(name) in (None, ""):
            raise RequestError(name, "it is missing", "say body, year, grade and element")
    read = OwnRuleset(**{name: _value(name, value) for name, value in table.items()})
    _check(read)
    return read


def check_names(rulesets: Iterable[OwnRuleset], taken: Iterable[str]) -> None:
    """Stop at a rule set whose name is taken, by others or by one before it.

    Raises:
        RequestError: it names the one that is taken.
    """
    known = set(taken)
    for each in rulesets:
        if each.name in known:
            problem = f"there are rules for {each.name} already"
            raise RequestError("element", problem, "change those, or give another year or element")
        known.add(each.name)


def as_key(words: str) -> str:
    """Words as they stand in a key: small letters without accents, the rest underlined."""
    plain = unicodedata.normalize("NFKD", words).casefold()
    kept = "".join(each if each.isalnum() else " " for each in plain if not _is_accent(each))
    return "_".join(kept.split())


def _is_accent(letter: str) -> bool:
    return unicodedata.combining(letter) > 0


def _numbered(at: int, table: Mapping[str, Any], count: int) -> OwnRuleset:
    try:
        return read_ruleset(table)
    except RequestError as error:
        field = error.field if count == 1 else f"rule set {at}, {error.field}"
        raise RequestError(field, error.problem, error.remedy) from error


def _unknown(name: str, known: Sequence[str]) -> RequestError:
    near = get_close_matches(name, known, n=1, cutoff=0.6)
    remedy = f"write {near[0]}" if near else f"known are {', '.join(known)}"
    return RequestError(name, "contest rules have no such field", remedy)


def _value(name: str, value: Any) -> Any:
    if name in ("shortest", "longest"):
        return read_seconds(name, value)
    if name in ("tune_types", "parts", "march_metres"):
        return _list(name, value)
    if name == "year":
        return read_whole(name, value, EARLIEST, LATEST)
    if name in MOST:
        return read_whole(name, value, 1, MOST[name])
    if name in INSTRUMENT_BY_RULE:
        return read_whole(name, value, 0, MOST_PLAYERS)
    longest = LONGEST_TEXT if name in ("requires", "source") else LONGEST_NAME
    return read_text(name, value, longest)


def _list(name: str, value: Any) -> tuple[str, ...]:
    words = value.split(",") if isinstance(value, str) else value
    if not isinstance(words, list | tuple) or not all(isinstance(each, str) for each in words):
        problem = f"{value!r} is no list of words"
        raise RequestError(name, problem, 'write them as ["march", "reel"]')
    found = tuple(each.strip().lower() for each in words if each.strip())
    if len(found) > 10:
        raise RequestError(name, f"{len(found)} are too many", "give 10 at most")
    for each in found:
        _check_word(name, each)
    return found


def _check_word(name: str, word: str) -> None:
    if name == "parts":
        read_parts(word)
    elif name == "tune_types" and word not in TUNE_TYPES:
        raise RequestError(name, f"“{word}” is no type of tune", f"choose {', '.join(TUNE_TYPES)}")
    elif name == "march_metres" and not _is_metre(word):
        raise RequestError(name, f"“{word}” is no metre", "give such as 2/4")


def _is_metre(word: str) -> bool:
    count, _, unit = word.partition("/")
    return count.isascii() and count.isdigit() and len(count) < 3 and unit in ("2", "4", "8")


def _check(read: OwnRuleset) -> None:
    for name in ("body", "grade", "element"):
        if not as_key(getattr(read, name)):
            raise RequestError(name, "it has no letter", "write it in letters and numbers")
    _check_window(read)
    low, high = read.fewest_parts, read.most_parts
    if low is not None and high is not None and low > high:
        problem = f"at least {low} parts and at most {high} contradict each other"
        raise RequestError("fewest_parts", problem, "give the smaller number first")
    if read.clock_from and read.clock_from not in set(ClockFrom):
        known = " or ".join(ClockFrom)
        raise RequestError("clock_from", f"“{read.clock_from}” starts no clock", f"choose {known}")
    _check_parts(read)
    if len(read.table()) == len(NEEDED) + bool(read.source):
        raise RequestError("requires", "the rules ask for nothing", "say at least in words what")


def _check_window(read: OwnRuleset) -> None:
    shortest, longest = read.shortest, read.longest
    if (shortest is None) != (longest is None):
        missing = "longest" if longest is None else "shortest"
        raise RequestError(missing, "one end of the window is missing", "give both, or neither")
    if shortest is not None and longest is not None and shortest > longest:
        problem = f"the shortest time, {shortest:g} s, is longer than the longest, {longest:g} s"
        raise RequestError("shortest", problem, "give a window that is open")


def _check_parts(read: OwnRuleset) -> None:
    if len(set(read.tune_types)) != len(read.tune_types):
        raise RequestError("tune_types", "one of them stands twice", "name each type once")
    for each in read.parts:
        if len(read_parts(each)) != len(read.tune_types):
            problem = f"“{each}” does not go with the types of tune"
            raise RequestError("parts", problem, "give a number for each type, in their order")
