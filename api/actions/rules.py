"""Which rules hold for this band? The book's, with the band's own values laid over it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

from api.actions.own_rulesets import is_ruleset, rules_of
from api.storage import own_rules as stored
from api.storage.database import BandId, Session
from api.storage.records import Kept, OwnRule
from planner.errors import RequestError
from planner.event.contest.rulesets import USUAL_CLOCK, all_rulesets
from planner.licence.licence import Level
from planner.rules.load import load_rulebook
from planner.rules.rulebook import PLACES_ON_THE_BEAT, Quantity, RuleBook, Status, Value

OTHER_END = {"shortest": "longest", "longest": "shortest"}
THE_BOOK_HOLDS = 0
"""The version of a rule the band has not changed."""


def rulebook_of(session: Session, band: BandId) -> RuleBook:
    """The rule book as it holds for this band."""
    return with_own_rules(stored.list_own_rules(session, band))


def with_own_rules(rules: Iterable[Kept[OwnRule]]) -> RuleBook:
    """The book with these values laid over it; one whose rule is gone from the book is left out."""
    book = load_rulebook()
    own = {}
    for kept in rules:
        rule = book.quantities.get(kept.noun.key)
        if rule is not None:
            own[kept.noun.key] = _with_own_value(rule, kept.noun)
        elif is_ruleset(kept.noun):
            own |= {added.key: added for added in rules_of(kept.noun)}
    return book.with_own(own)


def the_book() -> Mapping[str, Quantity]:
    """The rules of the book by key, without the rule sets that the band has added."""
    return load_rulebook().quantities


def own_rules(session: Session, band: BandId) -> tuple[Kept[OwnRule], ...]:
    """Every value of the band's own."""
    return stored.list_own_rules(session, band)


def one_rule(session: Session, band: BandId, key: str) -> tuple[Quantity, int]:
    """One rule as it holds for the band, and the version of the band's own value (0: none).

    Raises:
        RequestError: the book has no such rule.
    """
    rule = rule_of_book(key)
    kept = stored.find_own_rule(session, band, key)
    if kept is None:
        return rule, THE_BOOK_HOLDS
    return _with_own_value(rule, kept.noun), kept.version


def set_own_rule(
    session: Session, band: BandId, key: str, value: Value, set_by: str, seen: int | None
) -> Kept[OwnRule]:
    """Put a value of the band's own in place of the book's; ``seen`` 0: the book's was seen.

    Raises:
        RequestError: no such rule, or the value does not fit its kind or range.
        StaleError: it has changed since it was seen.
    """
    rule = rule_of_book(key)
    fitted = fit_value(rule, value)
    book = rulebook_of(session, band)
    _check_window(book, key, fitted)
    if key.startswith("contests.") or key == USUAL_CLOCK:
        # A value that no rule set can be read with must not be stored: it would stop every page.
        all_rulesets(book.with_own({key: replace(rule, value=fitted)}))
    kept = stored.keep_own_rule(session, band, OwnRule(key, fitted, set_by), seen)
    session.commit()
    return kept


def _check_window(book: RuleBook, key: str, value: Value) -> None:
    """Stop at a window whose shortest time is longer than its longest."""
    stem, _, end = key.rpartition(".")
    pair = book.find(f"{stem}.{OTHER_END[end]}") if end in OTHER_END else None
    if pair is None or not isinstance(value, int | float):
        return
    other = float(str(pair.value))
    low, high = (value, other) if end == "shortest" else (other, value)
    if low > high:
        problem = f"the shortest time, {low:g} s, is longer than the longest, {high:g} s"
        raise RequestError("value", problem, "give a window that is open")


def drop_own_rule(session: Session, band: BandId, key: str, seen: int | None) -> None:
    """Let the book's value hold again.

    Raises:
        NotFoundError, StaleError: there is none, or it changed since it was seen.
    """
    stored.drop_own_rule(session, band, key, seen)
    session.commit()


def rule_of_book(key: str) -> Quantity:
    """A rule as the book has it.

    Raises:
        RequestError: the book has no such rule.
    """
    rule = load_rulebook().quantities.get(key)
    if rule is None:
        raise RequestError("key", f"the rule book has no rule “{key}”", "choose a rule it has")
    return rule


def fit_value(rule: Quantity, value: Value) -> Value:
    """A value of the same kind as the book's and inside its range.

    Raises:
        RequestError: it is of another kind, or outside the range.
    """
    if isinstance(rule.value, tuple):
        return _fit_list(rule, value)
    if isinstance(rule.value, bool | str):
        if type(value) is not type(rule.value):
            raise RequestError("value", f"{value!r} does not fit", f"give one like {rule.value!r}")
        return _known_word(rule, value)
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise RequestError("value", f"{value!r} is no number", f"give one in {rule.unit}")
    return _in_range(rule, value)


def _known_word(rule: Quantity, value: Value) -> Value:
    """A level or a place on the beat: any other word would stop every plan that needs it."""
    known = {"level": [level.value for level in Level], "place on the beat": PLACES_ON_THE_BEAT}
    if rule.unit in known and value not in known[rule.unit]:
        choices = ", ".join(known[rule.unit])
        raise RequestError("value", f"{value!r} is no {rule.unit}", f"choose {choices}")
    return value


def _fit_list(rule: Quantity, value: Value) -> Value:
    if not isinstance(value, tuple) or not value:
        raise RequestError("value", f"{value!r} is no list", f"give one like {rule.value!r}")
    return value


def _in_range(rule: Quantity, value: float) -> float:
    is_too_low = rule.low is not None and value < rule.low
    is_too_high = rule.high is not None and value > rule.high
    if is_too_low or is_too_high or value < 0 <= _number(rule):
        low = 0 if rule.low is None else rule.low
        up_to = "" if rule.high is None else f" to {rule.high:g}"
        raise RequestError(
            "value", f"{value:g} is out of range", f"stay within {low:g}{up_to} {rule.unit}"
        )
    return value


def _number(rule: Quantity) -> float:
    return float(rule.value) if isinstance(rule.value, int | float) else -1.0


def _with_own_value(rule: Quantity, own: OwnRule) -> Quantity:
    return replace(
        rule,
        value=own.value,
        status=Status.OWN,
        set_by=own.set_by,
        set_on=own.set_on.date().isoformat() if own.set_on else "",
    )
