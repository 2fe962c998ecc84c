"""What does the rule book say on its pages? The licence matrix, and every value with its source."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from api.display.choices import Choices
from api.display.form import FormView
from api.display.words import LAYER_WORDS, sentence, sentence_start
from planner.licence.licence import Level
from planner.rules.rulebook import PLACES_ON_THE_BEAT, Quantity, RuleBook, Status, Value

# Which rows has the matrix, and under which prefix do their rules stand?
MATRIX_ROWS = (
    ("Parade, own band", "occasions.parade.own_band"),
    ("Parade, massed bands", "occasions.parade.massed"),
    ("Parade, long column", "occasions.parade.long_column"),
    ("Dance accompaniment with drums", "occasions.dance.with_drums"),
    ("Dance accompaniment, pipes alone", "occasions.dance.without_drums"),
    ("Competition, march, strathspey and reel", "occasions.competition.march_strathspey_reel"),
    ("Competition, medley", "occasions.competition.medley"),
    ("Competition, medley, a slow air in it", "occasions.competition.medley.slow_air"),
    ("Exhibition, standing", "occasions.exhibition.standing"),
    ("Exhibition, solo piper at a ceremony", "occasions.exhibition.solo"),
)
GROUP_WORDS = {
    "occasions": "What takes one level off, and the dancers' tempo",
    "thresholds": "What can be heard, what clashes, what can be played",
    "movements": "Movements: how each family sits on the beat",
    "idioms": "Idioms: pointing, tempo, size of a hold",
    "drill": "Introductions, the street, and nerves",
    "joins": "Joins between tunes",
    "running_order": "Running order",
    "practice": "Practice below the highest rung",
    "sound": "Hearing",
    "cautions": "Cautions",
    "dances": "Dances",
    "contests": "Contest rules, dated: confirm them with your own body's current rules",
}
CIRCUMSTANCES = "occasions.circumstances"
IN_MATRIX = tuple(prefix for _, prefix in MATRIX_ROWS)
WORDY = {"text", "word", "level", "place on the beat", "yes or no", ""}


@dataclass(frozen=True, slots=True)
class CellView:
    """One layer of one occasion: the level, why, and where to change it."""

    level: str
    why: str
    address: str
    is_own: bool


@dataclass(frozen=True, slots=True)
class RuleView:
    """One rule as it holds. ``book`` is the book's value where the band has its own."""

    key: str
    address: str
    name: str
    value: str
    range: str
    why: str
    source: str
    status: str
    is_own: bool
    set_by: str
    book: str


@dataclass(frozen=True, slots=True)
class RuleGroupView:
    """The rules of one heading."""

    anchor: str
    heading: str
    rules: tuple[RuleView, ...]


@dataclass(frozen=True, slots=True)
class RulesView:
    """The rule book: the matrix of licence, and everything else by heading."""

    layers: tuple[str, ...]
    matrix: tuple[tuple[str, tuple[CellView | None, ...]], ...]
    own: tuple[RuleView, ...]
    groups: tuple[RuleGroupView, ...]
    sources: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class OneRuleView:
    """The page of one rule, with the kind of field its value needs."""

    rule: RuleView
    unit: str
    since: str
    where: str
    version: str
    choices: Choices
    is_long: bool


def rules_view(book: RuleBook, own: RuleBook) -> RulesView:
    """The rule book as it holds for the band: ``own`` is ``book`` with the band's values on it."""
    # Rule sets that the band has added are not values of the book: they have pages of their own.
    every = {key: rule_view(key, book, own) for key in own.quantities if key in book.quantities}
    return RulesView(
        layers=tuple(sentence_start(words) for words in LAYER_WORDS.values()),
        matrix=tuple((name, _cells(prefix, own)) for name, prefix in MATRIX_ROWS),
        own=tuple(rule for rule in every.values() if rule.is_own),
        groups=tuple(
            RuleGroupView(prefix.replace(".", "-"), heading, _below(prefix, every))
            for prefix, heading in GROUP_WORDS.items()
        ),
        sources=tuple(
            (key, ", ".join(filter(None, (source.by, source.title, source.year, source.where))))
            for key, source in own.sources.items()
        ),
    )


def _cells(prefix: str, own: RuleBook) -> tuple[CellView | None, ...]:
    return tuple(_cell(own.find(f"{prefix}.{layer}")) for layer in LAYER_WORDS)


def _cell(rule: Quantity | None) -> CellView | None:
    if rule is None:
        return None
    why = rule.why.partition(": ")[2] or rule.why
    return CellView(
        str(rule.value), sentence_start(why), f"/rules/{rule.key}", rule.status is Status.OWN
    )


def _below(prefix: str, every: Mapping[str, RuleView]) -> tuple[RuleView, ...]:
    in_matrix = {f"{row}.{layer}" for row in IN_MATRIX for layer in LAYER_WORDS}
    return tuple(
        rule for key, rule in every.items() if key.startswith(f"{prefix}.") and key not in in_matrix
    )


def rule_view(key: str, book: RuleBook, own: RuleBook) -> RuleView:
    """One rule as it holds for the band."""
    rule = own[key]
    is_own = rule.status is Status.OWN
    return RuleView(
        key=key,
        address=f"/rules/{key}",
        name=_name(key),
        value=value_words(rule.value, _unit(rule)),
        range=_range(rule),
        why=sentence(sentence_start(rule.why)) if rule.why else "",
        source=_source(rule, own),
        status=str(rule.status),
        is_own=is_own,
        set_by=f"set by {rule.set_by}" + (f" on {rule.set_on}" if rule.set_on else ""),
        book=value_words(book[key].value, _unit(rule)) if is_own else "",
    )


def _name(key: str) -> str:
    """A rule's key as words: ``gracenote, length``; the file it stands in is its heading."""
    words = key.removeprefix(f"{CIRCUMSTANCES}.") if CIRCUMSTANCES in key else key.split(".", 1)[1]
    return sentence_start(words.replace(".", ", ").replace("_", " "))


def _unit(rule: Quantity) -> str:
    """A rule's unit; a circumstance takes levels off."""
    if rule.key.startswith(CIRCUMSTANCES):
        return "level off" if rule.value == 1 else "levels off"
    return rule.unit


def one_rule_view(key: str, book: RuleBook, own: RuleBook, version: int) -> OneRuleView:
    """The page of one rule."""
    rule = own[key]
    source = own.sources.get(rule.source)
    return OneRuleView(
        rule=rule_view(key, book, own),
        unit="" if rule.unit in WORDY else _unit(rule),
        since=rule.since,
        where=source.where if source else "",
        version=str(version),
        choices=_choices(rule),
        is_long=rule.unit == "text",
    )


def rule_form(rule: Quantity, version: int) -> FormView:
    """What stands in the form of a rule."""
    action = f"/rules/{rule.key}"
    return FormView(
        action, {"value": (value_text(rule.value),)}, version=str(version), newer=action
    )


def value_words(value: Value, unit: str) -> str:
    """A value for reading with its unit: ``35 ms``, ``yes``, ``A to D, A to B minor``."""
    text = value_text(value)
    return text if unit in WORDY else f"{text} {unit}"


def value_text(value: Value) -> str:
    """A value as it stands in its field."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, tuple):
        return ", ".join(value_text(each) for each in value)
    return value if isinstance(value, str) else f"{value:g}"


def _choices(rule: Quantity) -> Choices:
    if isinstance(rule.value, bool):
        return (("yes", "yes"), ("no", "no"))
    if rule.unit == "level":
        return tuple((str(level), str(level)) for level in Level)
    if rule.unit == "place on the beat":
        return tuple((place, place) for place in PLACES_ON_THE_BEAT)
    return ()


def _range(rule: Quantity) -> str:
    if rule.low is None or rule.high is None:
        return ""
    return f"{rule.low:g} to {rule.high:g}"


def _source(rule: Quantity, own: RuleBook) -> str:
    source = own.sources.get(rule.source)
    if source is None:
        return ""
    return ", ".join(filter(None, (source.by, source.title, source.year)))
