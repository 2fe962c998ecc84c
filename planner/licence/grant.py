"""How much licence does this tune have on this occasion, and which rule says so?

The occasion's rule gives each layer a ceiling; every circumstance that holds takes one level off;
the idiom decides which moves suit it. Nothing here widens a ceiling: only ``lift`` does, with the
name of the person who takes it on themselves.
"""

from __future__ import annotations

from dataclasses import fields, replace
from datetime import date

from planner.event.event import Drums, Occasion, Setting
from planner.findings import Reason
from planner.licence.licence import Layers, Level, Licence
from planner.licence.limits import (
    HIGHEST_RUNG,
    budget_of,
    budget_rule,
    size_factor,
    timing_scatter,
)
from planner.rules.rulebook import Quantity, RuleBook

BUDGETS = "thresholds.budget."
STEPPED_LAYERS = ("within_beat", "across_bar", "across_phrase")


def grant_licence(setting: Setting, idiom: str, rules: RuleBook) -> Licence:
    """The licence of a tune in this idiom on this occasion, with a reason for every word of it."""
    idiom_key = idiom.replace(" ", "_")
    ceilings = _ceilings(setting, idiom_key, rules)
    steps = [rules[f"occasions.circumstances.{_key(name)}"] for name in setting.circumstances]
    down = sum(int(rules.number(step.key)) for step in steps)
    layers = Layers(
        **{
            layer: level.down(down) if layer in STEPPED_LAYERS else level
            for layer, (level, _) in ceilings.items()
        }
    )
    is_round = bool(rules[f"idioms.{idiom_key}.round"].value)
    budget = budget_of(layers.within_beat, is_round, setting.occasion, rules)
    rung, sigma_ms = timing_scatter(setting.control, rules)
    return Licence(
        setting=setting,
        layers=layers,
        marks_per_line=budget.per_line,
        marks_per_part=budget.per_part,
        is_round=is_round,
        may_hold=not is_round or setting.occasion is Occasion.EXHIBITION,
        size_factor=size_factor(idiom_key, setting.occasion, rules),
        sigma_ms=sigma_ms,
        rung=rung,
        carries_pulse=rung >= HIGHEST_RUNG,
        reasons=(
            *(rule.reason() for _, rule in ceilings.values()),
            *(step.reason() for step in steps),
            rules[f"idioms.{idiom_key}.pointing"].reason(),
            *_budget_reasons(layers.within_beat, is_round, setting.occasion, rules),
        ),
    )


def lift(
    licence: Licence,
    named_person: str,
    rules: RuleBook,
    day: date | None = None,
    **levels: Level,
) -> Licence:
    """The licence above its ceiling, on a named person's word, which every sheet then prints.

    ``day`` is when they gave it. The budget of marks follows the layer within the beat.

    Raises:
        ValueError: no name.
    """
    if not named_person.strip():
        raise ValueError("only a named person may lift a ceiling")
    lifted = ", ".join(f"{layer.replace('_', ' ')} {level}" for layer, level in levels.items())
    when = f" on {day.day} {day:%B %Y}" if day else ""
    reason = Reason("own.lift", f"lifted by {named_person}{when}: {lifted}", lifted, named_person)
    opened = licence.with_layers(**levels)
    budget = budget_of(opened.layers.within_beat, opened.is_round, opened.occasion, rules)
    return replace(
        opened,
        marks_per_line=budget.per_line,
        marks_per_part=budget.per_part,
        lifted_by=named_person,
        lifted_on=day,
        reasons=(
            *(each for each in licence.reasons if not each.rule.startswith(BUDGETS)),
            *_budget_reasons(opened.layers.within_beat, opened.is_round, opened.occasion, rules),
            reason,
        ),
    )


def _ceilings(
    setting: Setting, idiom_key: str, rules: RuleBook
) -> dict[str, tuple[Level, Quantity]]:
    """Each layer's level and the rule it comes from, the idiom's own rule before the general."""
    place = f"occasions.{setting.occasion}.{_sort_key(setting)}"
    found = {}
    for layer in (field.name for field in fields(Layers)):
        rule = rules.find(f"{place}.{idiom_key}.{layer}", f"{place}.{layer}")
        if rule is None:
            raise KeyError(f"{place}.{layer}")
        found[layer] = (Level(rules.word(rule.key)), rule)
    return found


def _sort_key(setting: Setting) -> str:
    if setting.occasion is Occasion.DANCE:
        return "without_drums" if setting.drums is Drums.NONE else "with_drums"
    return _key(setting.sort)


def _key(name: str) -> str:
    return name.replace("-", "_")


def _budget_reasons(
    within_beat: Level, is_round: bool, occasion: Occasion, rules: RuleBook
) -> tuple[Reason, ...]:
    """Why so many marks: by the idiom where it is round, else by the layer within the beat."""
    name = budget_rule(within_beat, is_round, occasion)
    return (rules[name].reason(),) if name else ()
