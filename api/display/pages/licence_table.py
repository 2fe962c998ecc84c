"""How free is an idiom on every occasion, for these players and under these circumstances?

The table of the occasions with everything reckoned in that takes a level off: one row an occasion,
one cell a layer, with the reason behind every word, and how many marks that leaves.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, fields

from api.display.choices import CIRCUMSTANCES, RUNGS, Choices
from api.display.words import counted, join_words, sentence_start
from planner.event.event import (
    SORTS_BY_OCCASION,
    Circumstance,
    Control,
    Drums,
    Occasion,
    Setting,
    Sort,
)
from planner.licence.grant import STEPPED_LAYERS, grant_licence
from planner.licence.licence import Layers, Licence
from planner.rules.rulebook import RuleBook, Status

(FLOOR, *_) = SORTS_BY_OCCASION[Occasion.DANCE]
ROWS = (
    ("Parade, own band", Occasion.PARADE, Sort.OWN_BAND, Drums.FULL),
    ("Parade, massed bands", Occasion.PARADE, Sort.MASSED, Drums.FULL),
    ("Parade, long column", Occasion.PARADE, Sort.LONG_COLUMN, Drums.FULL),
    ("Dance accompaniment with drums", Occasion.DANCE, FLOOR, Drums.FULL),
    ("Dance accompaniment, pipes alone", Occasion.DANCE, FLOOR, Drums.NONE),
    (
        "Competition, march, strathspey and reel",
        Occasion.COMPETITION,
        Sort.MARCH_STRATHSPEY_REEL,
        Drums.FULL,
    ),
    ("Competition, medley", Occasion.COMPETITION, Sort.MEDLEY, Drums.FULL),
    ("Exhibition, standing", Occasion.EXHIBITION, Sort.STANDING, Drums.FULL),
    ("Exhibition, solo piper at a ceremony", Occasion.EXHIBITION, Sort.SOLO, Drums.NONE),
)


@dataclass(frozen=True, slots=True)
class LevelView:
    """One layer of one occasion as it comes out, why, and the rule it starts from."""

    level: str
    why: str
    address: str
    is_own: bool


@dataclass(frozen=True, slots=True)
class LicenceRow:
    """One occasion: its layers, and how many marks they leave."""

    name: str
    levels: tuple[LevelView, ...]
    marks: str
    marks_why: str


@dataclass(frozen=True, slots=True)
class LicenceTable:
    """The table and the form that asked for it."""

    idioms: Choices
    circumstances: Choices
    rungs: Choices
    rows: tuple[LicenceRow, ...]


def licence_table(
    idiom: str, circumstances: Sequence[Circumstance], rung: int | None, rules: RuleBook
) -> LicenceTable:
    """The licence of an idiom on every occasion; ``rung`` None takes the highest."""
    control, held = Control(rung), tuple(circumstances)
    settings = [
        (name, Setting(occasion, sort, drums, control, held))
        for name, occasion, sort, drums in ROWS
    ]
    names = [name.replace("_", " ") for name in rules.names("idioms")]
    return LicenceTable(
        idioms=tuple((name, sentence_start(name)) for name in names),
        circumstances=CIRCUMSTANCES,
        rungs=RUNGS,
        rows=tuple(
            _row(name, grant_licence(setting, idiom, rules), rules) for name, setting in settings
        ),
    )


def _row(name: str, licence: Licence, rules: RuleBook) -> LicenceRow:
    budgets = [each.text for each in licence.reasons if each.rule.startswith("thresholds.budget")]
    return LicenceRow(
        name, tuple(_levels(licence, rules)), _marks(licence), sentence_start("; ".join(budgets))
    )


def _levels(licence: Licence, rules: RuleBook) -> Iterator[LevelView]:
    """Each layer with the ceiling it comes from and every step taken off it."""
    layers = [field.name for field in fields(Layers)]
    steps = [r.text for r in licence.reasons if r.rule.startswith("occasions.circumstances")]
    for layer, ceiling in zip(layers, licence.reasons, strict=False):
        level = getattr(licence.layers, layer).value
        why = ceiling.text.partition(": ")[2] or ceiling.text
        if layer in STEPPED_LAYERS and level != ceiling.value:
            taken = join_words([step.partition(": ")[2] for step in steps])
            why = f"{ceiling.value} as a rule; here less, since {taken}"
        is_own = rules[ceiling.rule].status is Status.OWN
        yield LevelView(level, sentence_start(why), f"/rules/{ceiling.rule}", is_own)


def _marks(licence: Licence) -> str:
    if not licence.carries_pulse:
        return f"practice in their place, rung {licence.rung}"
    if not licence.marks_per_line:
        return "none"
    if licence.marks_per_part is None:
        return f"{counted(licence.marks_per_line, 'mark')} a line"
    how = "tightened or held" if licence.may_hold else "tightened only"
    return f"{counted(licence.marks_per_part, 'mark')} a part, {how}"
