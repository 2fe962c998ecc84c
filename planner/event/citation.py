"""Who says so? The words that stand beside an answer taken from the rule book."""

from __future__ import annotations

from planner.rules.rulebook import Quantity, RuleBook, Status


def cite(rule: Quantity, rulebook: RuleBook) -> str:
    """The publication a rule comes from, or the band itself where it set its own value."""
    if rule.status is Status.OWN:
        words = ("the band's own value", rule.set_by, rule.set_on)
    else:
        source = rulebook.sources[rule.source]
        words = (source.by, source.title, source.year)
    return ", ".join(word for word in words if word)
