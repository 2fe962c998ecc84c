"""What does a band do with contest rules? Look at all, add its own, change them, remove them.

The book's rule sets are dated and stay as they are; a band's own stand beside them under names of
their own, and everything that takes contest rules takes these too.
"""

from __future__ import annotations

from collections.abc import Sequence

from api.actions.own_rulesets import as_stored, is_ruleset, ruleset_of
from api.storage import own_rules as stored
from api.storage import sets as stored_sets
from api.storage.database import BandId, Session
from api.storage.faults import InUseError, NotFoundError
from api.storage.records import Kept, OwnRule
from planner.errors import RequestError
from planner.event.contest.own_rulesets import OwnRuleset, check_names, read_rulesets
from planner.event.contest.rulesets import all_rulesets
from planner.rules.load import load_rulebook

MOST_BYTES = 200_000
ANYTHING_BEFORE = 0
"""The version of what is not there yet."""


def own_rulesets(session: Session, band: BandId) -> tuple[Kept[OwnRule], ...]:
    """Every rule set of the band's own, by name."""
    kept = stored.list_own_rules(session, band)
    return tuple(each for each in kept if is_ruleset(each.noun))


def one_ruleset(session: Session, band: BandId, number: int) -> Kept[OwnRule]:
    """A rule set of the band's own.

    Raises:
        NotFoundError: there is none of this number.
    """
    kept = stored.find_ruleset_row(session, band, number)
    if kept is None:
        raise NotFoundError(stored.RULESETS, number)
    return kept


def add_rulesets(
    session: Session, band: BandId, rulesets: Sequence[OwnRuleset], set_by: str
) -> tuple[Kept[OwnRule], ...]:
    """Store rule sets of the band's own: all, or none.

    Raises:
        RequestError: a name that is taken.
    """
    check_names(rulesets, _taken(session, band))
    kept = tuple(
        stored.keep_own_rule(session, band, as_stored(each, set_by), ANYTHING_BEFORE)
        for each in rulesets
    )
    session.commit()
    return kept


def add_file(
    session: Session, band: BandId, content: bytes, set_by: str
) -> tuple[Kept[OwnRule], ...]:
    """Store the rule sets of a TOML file: all, or none.

    Raises:
        RequestError: it cannot be read, a rule set in it makes no sense, or a name is taken.
    """
    if len(content) > MOST_BYTES:
        raise RequestError("file", "it is larger than 200 kB", "send a file of rule sets alone")
    try:
        text = content.decode("utf-8-sig").replace("\r\n", "\n")
    except UnicodeDecodeError as error:
        raise RequestError("file", "it is no text in UTF-8", "save it as UTF-8") from error
    try:
        return add_rulesets(session, band, read_rulesets(text), set_by)
    except RequestError as error:
        raise _of_file(error) from error


def change_ruleset(
    session: Session,
    band: BandId,
    number: int,
    seen: int | None,
    ruleset: OwnRuleset,
    set_by: str,
) -> Kept[OwnRule]:
    """Change a rule set; sets that are entered under it stay so, also under a new name.

    Raises:
        NotFoundError, StaleError: it is gone, or changed since it was seen.
        RequestError: its new name is taken.
    """
    before = ruleset_of(one_ruleset(session, band, number).noun).name
    check_names((ruleset,), _taken(session, band) - {before})
    kept = stored.change_ruleset_row(session, band, number, seen, as_stored(ruleset, set_by))
    if ruleset.name != before:
        stored_sets.enter_under(session, band, before, ruleset.name)
    session.commit()
    return kept


def remove_ruleset(session: Session, band: BandId, number: int, seen: int | None) -> None:
    """Remove a rule set that no set is entered under.

    Raises:
        NotFoundError, StaleError: it is gone, or changed since it was seen.
        InUseError: a set is entered under it.
    """
    name = ruleset_of(one_ruleset(session, band, number).noun).name
    users = stored_sets.sets_under(session, band, name)
    if users:
        sets = "the set " + ", ".join(f"“{each}”" for each in users)
        raise InUseError(stored.RULESETS, name, sets, "enter it under other rules there first")
    stored.drop_ruleset_row(session, band, number, seen)
    session.commit()


def _taken(session: Session, band: BandId) -> set[str]:
    own = {ruleset_of(each.noun).name for each in own_rulesets(session, band)}
    return own | {rules.name for rules in all_rulesets(load_rulebook())}


def _of_file(error: RequestError) -> RequestError:
    """The same refusal as one of the file, which still says where in it."""
    if error.field == "file":
        return error
    return RequestError("file", f"{error.field}: {error.problem}", error.remedy)
