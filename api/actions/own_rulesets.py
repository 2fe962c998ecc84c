"""How does a set of contest rules of the band's own stand in the library, and in the rule book?"""

from __future__ import annotations

import json
from collections.abc import Iterator
from functools import lru_cache

from api.storage.own_rules import RULESET
from api.storage.records import OwnRule
from planner.event.contest.own_rulesets import OwnRuleset, read_ruleset
from planner.rules.rulebook import Quantity


def is_ruleset(rule: OwnRule) -> bool:
    """True for a rule set that the band has added, False for a value it has changed."""
    return rule.key.startswith(RULESET)


def as_stored(ruleset: OwnRuleset, set_by: str) -> OwnRule:
    """A rule set as the library keeps it."""
    value = json.dumps(ruleset.table(), ensure_ascii=False, sort_keys=True)
    return OwnRule(f"{RULESET}{ruleset.name}", value, set_by)


def ruleset_of(rule: OwnRule) -> OwnRuleset:
    """A rule set from what the library keeps."""
    return _read(str(rule.value))


@lru_cache(maxsize=256)
def _read(text: str) -> OwnRuleset:
    # Every page that asks the rule book reads all of them.
    return read_ruleset(json.loads(text))


def rules_of(rule: OwnRule) -> Iterator[Quantity]:
    """What a rule set of the library adds to the rule book."""
    set_on = rule.set_on.date().isoformat() if rule.set_on else ""
    return ruleset_of(rule).rules(rule.set_by, set_on)
