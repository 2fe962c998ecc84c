"""Which values has the band put in place of the rule book's, and which rule sets has it added?

A rule set of the band's own is a row as well: its key is its name behind ``RULESET``, its value the
table that was written, as JSON text. So one question brings everything the band says of the rules.
"""

from __future__ import annotations

from sqlmodel import Session, col, select

from api.storage.convert import kept
from api.storage.database import BandId
from api.storage.faults import NotFoundError, StaleError
from api.storage.records import Kept, OwnRule
from api.storage.row import now
from api.storage.rows import find_row, row_to_change
from api.storage.tables import OwnRuleRow

WORD = "own value"
RULESETS = "set of contest rules"
RULESET = "ruleset/"


def list_own_rules(session: Session, band: BandId) -> tuple[Kept[OwnRule], ...]:
    """Every value of the band's own, by key."""
    asked = select(OwnRuleRow).where(OwnRuleRow.band_id == band).order_by(col(OwnRuleRow.key))
    return tuple(kept(row, _own_rule(row)) for row in session.exec(asked))


def find_own_rule(session: Session, band: BandId, key: str) -> Kept[OwnRule] | None:
    """The band's own value of a rule, None when the book's value holds."""
    row = _row(session, band, key)
    return None if row is None else kept(row, _own_rule(row))


def keep_own_rule(session: Session, band: BandId, rule: OwnRule, seen: int | None) -> Kept[OwnRule]:
    """Store a value of the band's own; ``seen`` 0 says that the book's value was seen to hold.

    Raises:
        StaleError: it has changed since ``seen``.
    """
    row = _row(session, band, rule.key)
    _expect(0 if row is None else row.version, seen)
    if row is None:
        row = OwnRuleRow(band_id=band, key=rule.key, value=None, set_by=rule.set_by)
        session.add(row)
    else:
        row.bump()
    row.value = list(rule.value) if isinstance(rule.value, tuple) else rule.value
    row.set_by, row.set_on = rule.set_by, now()
    session.flush()
    return kept(row, _own_rule(row))


def drop_own_rule(session: Session, band: BandId, key: str, seen: int | None) -> None:
    """Let the rule book's value hold again.

    Raises:
        NotFoundError: the band has no value of its own there.
        StaleError: it has changed since ``seen``.
    """
    row = _row(session, band, key)
    if row is None:
        raise NotFoundError(WORD, key)
    _expect(row.version, seen)
    session.delete(row)
    session.flush()


def find_ruleset_row(session: Session, band: BandId, number: int) -> Kept[OwnRule] | None:
    """A rule set of the band's own by its number, None when there is none."""
    row = find_row(session, OwnRuleRow, band, number)
    return None if row is None or not _is_ruleset(row) else kept(row, _own_rule(row))


def change_ruleset_row(
    session: Session, band: BandId, number: int, seen: int | None, rule: OwnRule
) -> Kept[OwnRule]:
    """Put another table, and with it perhaps another name, in place of a rule set.

    Raises:
        NotFoundError, StaleError: there is none, or it has changed since ``seen``.
    """
    row = _ruleset_row(session, band, number, seen)
    row.bump()
    row.key, row.value = rule.key, rule.value
    row.set_by, row.set_on = rule.set_by, now()
    session.flush()
    return kept(row, _own_rule(row))


def drop_ruleset_row(session: Session, band: BandId, number: int, seen: int | None) -> None:
    """Remove a rule set of the band's own.

    Raises:
        NotFoundError, StaleError: there is none, or it has changed since ``seen``.
    """
    session.delete(_ruleset_row(session, band, number, seen))
    session.flush()


def _ruleset_row(session: Session, band: BandId, number: int, seen: int | None) -> OwnRuleRow:
    if find_ruleset_row(session, band, number) is None:
        raise NotFoundError(RULESETS, number)
    return row_to_change(session, OwnRuleRow, band, number, seen)


def _is_ruleset(row: OwnRuleRow) -> bool:
    return row.key.startswith(RULESET)


def _expect(present: int, seen: int | None) -> None:
    if seen is not None and seen != present:
        raise StaleError(WORD, seen, present)


def _row(session: Session, band: BandId, key: str) -> OwnRuleRow | None:
    asked = select(OwnRuleRow).where(OwnRuleRow.band_id == band, OwnRuleRow.key == key)
    return session.exec(asked.with_for_update()).one_or_none()


def _own_rule(row: OwnRuleRow) -> OwnRule:
    value = tuple(row.value) if isinstance(row.value, list) else row.value
    return OwnRule(row.key, value, row.set_by, row.set_on)
