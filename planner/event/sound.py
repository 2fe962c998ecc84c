"""After how many minutes is a daily value of the noise dose reached?

Minutes T = 480 / 2^((L - criterion) / 3) and dose = 100 x sum(C / T), in per cent of the daily
value (NIOSH 1998; the European values use the same equal-energy rule). The level is a *measured
average* in dB(A) where the player stands: maxima from the press give nonsense. Reaching a value
later, or not at all, is never called harmless.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import log2, log10

from planner.errors import RequestError
from planner.event.amounts import not_negative, plain
from planner.event.citation import cite
from planner.rules.rulebook import Quantity, RuleBook

QUIETEST, LOUDEST = 30.0, 140.0
"""Which levels can be an average at a player's ear? Outside these a figure is a slip."""

COUNTS_PROTECTION = "eu-limit"

MEASURED = "Use a measured average level, never a maximum from the press."


@dataclass(frozen=True, slots=True)
class Exposure:
    """So many minutes at an average level in dB(A)."""

    level_dba: float
    minutes: float


@dataclass(frozen=True, slots=True)
class SoundDose:
    """When the daily value is reached at this level, and the dose of the minutes asked about.

    ``dose_percent`` is None when no minutes were asked about. ``notes`` say what the sum leaves
    out.
    """

    limit: str
    criterion_dba: float
    minutes_to_value: float
    dose_percent: float | None
    text: str
    notes: tuple[str, ...]
    source: str
    since: str


def sound_dose(
    level_dba: float, rulebook: RuleBook, *, minutes: float | None = None, limit: str = "niosh"
) -> SoundDose:
    """The minutes until the daily value is reached at a level, and the dose of given minutes.

    Raises:
        RequestError: a level that cannot be an average, negative minutes, an unknown limit.
    """
    criterion = criterion_of(limit, rulebook)
    reached = minutes_to_value(level_dba, limit, rulebook)
    exposures = () if minutes is None else (Exposure(level_dba, minutes),)
    return SoundDose(
        limit=limit,
        criterion_dba=float(str(criterion.value)),
        minutes_to_value=reached,
        dose_percent=dose_percent(exposures, limit, rulebook) if exposures else None,
        text=f"At {plain(level_dba)} dB(A) {reaches(reached)}",
        notes=_notes(level_dba, limit, rulebook),
        source=cite(criterion, rulebook),
        since=criterion.since,
    )


def minutes_to_value(level_dba: float, limit: str, rulebook: RuleBook) -> float:
    """Minutes at an average level until the daily value of a limit is reached."""
    _check_level(level_dba)
    criterion = float(str(criterion_of(limit, rulebook).value))
    halvings = (level_dba - criterion) / rulebook.number("sound.exchange")
    return float(rulebook.number("sound.hours") / 2**halvings)


def dose_percent(exposures: Sequence[Exposure], limit: str, rulebook: RuleBook) -> float:
    """Per cent of the daily value used up by all exposures of a day together."""
    shares = (
        float(not_negative("minutes", each.minutes, "the minutes at this level, such as 40"))
        / minutes_to_value(each.level_dba, limit, rulebook)
        for each in exposures
    )
    return 100.0 * sum(shares)


def average_of_dose(percent: float, limit: str, rulebook: RuleBook) -> float:
    """The 8-hour average level in dB(A) of a dose: 10 log10(dose / 100) + criterion.

    Raises:
        RequestError: a dose that is not above zero.
    """
    if percent <= 0:
        raise RequestError("dose", f"{plain(percent)} has no average", "give per cent above zero")
    return 10 * log10(percent / 100) + float(str(criterion_of(limit, rulebook).value))


def level_of_minutes(minutes: float, limit: str, rulebook: RuleBook) -> float:
    """The average level in dB(A) that reaches the daily value after so many minutes."""
    if minutes <= 0:
        raise RequestError("minutes", f"{plain(minutes)} is not above zero", "give minutes")
    halvings = log2(rulebook.number("sound.hours") / minutes)
    criterion = float(str(criterion_of(limit, rulebook).value))
    return criterion + rulebook.number("sound.exchange") * halvings


def criterion_of(limit: str, rulebook: RuleBook) -> Quantity:
    """The rule that holds the daily value of a limit: ``niosh``, ``eu-lower`` ...

    Raises:
        RequestError: no such limit.
    """
    rule = rulebook.find(f"sound.level.{limit.replace('-', '_')}")
    if rule is None:
        raise RequestError("limit", f"there is no limit {limit!r}", f"choose {_limits(rulebook)}")
    return rule


def reaches(minutes: float) -> str:
    """The sentence a sheet prints: when the daily value is reached, never that it is harmless."""
    if minutes < 1:
        return f"the sound reaches the daily value after {round(minutes * 60)} s."
    if minutes > 24 * 60:
        return "the sound alone does not reach the daily value within a day."
    return f"the sound reaches the daily value after {round(minutes)} min."


def cautions(rulebook: RuleBook) -> Mapping[str, str]:
    """The usual cautions by subject, in the band's own words where it has set them."""
    return {name: str(rule.value) for name, rule in rulebook.section("cautions").items()}


def _notes(level_dba: float, limit: str, rulebook: RuleBook) -> tuple[str, ...]:
    notes = [MEASURED]
    if level_dba > rulebook.number("sound.suspect_level"):
        notes.append(f"{plain(level_dba)} dB(A) looks like a maximum and not like an average.")
    if limit == COUNTS_PROTECTION:
        notes.append("This limit counts ear protection as worn; the sum here does not.")
    notes.append("Follow local rules and medical advice.")
    return tuple(notes)


def _check_level(level_dba: float) -> None:
    if not QUIETEST <= level_dba <= LOUDEST:
        problem = f"{plain(level_dba)} dB(A) cannot be an average level at a player's ear"
        raise RequestError("level", problem, "give a measured average, such as 94")


def _limits(rulebook: RuleBook) -> str:
    return ", ".join(name.replace("_", "-") for name in rulebook.section("sound.level"))
