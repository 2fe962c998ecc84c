"""What do the pages of sets say? Their tunes in order, how long they last, how the joins run."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from api.display.choices import Choices
from api.display.form import FormView
from api.display.words import (
    counted,
    join_words,
    length_words,
    metre_words,
    sentence,
    sentence_start,
    tempo_words,
)
from planner.event.dance import Dance
from planner.event.event import Entry, Set
from planner.event.joins import Join
from planner.event.played_parts import parts_text
from planner.event.rulesets import RuleSet
from planner.event.timetable import Kind, SetTimetable
from planner.music.tempo import Metre
from planner.music.tune import Tune


@dataclass(frozen=True, slots=True)
class SetLineView:
    """One set in the list."""

    address: str
    number: str
    name: str
    occasion: str
    tunes: str
    length: str


@dataclass(frozen=True, slots=True)
class EntryRowView:
    """One tune in the form of a set; ``prefix`` starts the names of its fields."""

    prefix: str
    place: int
    title: str
    tune_address: str
    facts: str
    length: str
    join: str = ""
    played_address: str = ""


@dataclass(frozen=True, slots=True)
class SetView:
    """The page of a set."""

    address: str
    name: str
    number: str
    occasion: str
    length: str
    length_note: str
    version: str


@dataclass(frozen=True, slots=True)
class JoinView:
    """Advice on one join: how smoothly it runs, whether it lifts, and why."""

    words: str
    why: str


def set_line(a_set: Set, titles: Mapping[str, str], timetable: SetTimetable | None) -> SetLineView:
    """One set in the list; ``titles`` by tune key."""
    named = [titles.get(entry.tune_key, "a tune that is gone") for entry in a_set.entries]
    return SetLineView(
        address=f"/sets/{a_set.key}",
        number=str(a_set.number),
        name=a_set.name,
        occasion=a_set.occasion.words if a_set.occasion else "",
        tunes=join_words(named) or "no tunes yet",
        length=length_of(timetable),
    )


def set_view(a_set: Set, version: int, timetable: SetTimetable | None) -> SetView:
    """The head of a set's page."""
    return SetView(
        address=f"/sets/{a_set.key}",
        name=a_set.name,
        number=str(a_set.number),
        occasion=a_set.occasion.words if a_set.occasion else "any occasion",
        length=length_of(timetable),
        length_note=_length_note(a_set, timetable),
        version=str(version),
    )


def length_of(timetable: SetTimetable | None) -> str:
    """How long a set lasts: ``3 min 4 s``; empty text where it cannot be reckoned."""
    if timetable is None or not timetable.stretches:
        return ""
    more = ", then until the cue" if timetable.is_open_ended else ""
    return f"{length_words(timetable.seconds)}{more}"


def _length_note(a_set: Set, timetable: SetTimetable | None) -> str:
    if timetable is None or not timetable.stretches:
        return ""
    introduction = float(timetable.length_of(Kind.INTRODUCTION))
    notes = [f"{length_words(introduction)} of introduction"] if introduction else []
    if timetable.is_open_ended:
        notes.append("what lasts until the cue is counted once")
    return sentence(f"with {join_words(notes)}") if notes else ""


def entry_rows(
    form: FormView, tunes: Mapping[str, Tune], timetable: SetTimetable | None, joins: Sequence[Join]
) -> tuple[EntryRowView, ...]:
    """The rows of a set's form, as many as the form has; ``tunes`` by tune key."""
    rows = sorted({int(name.split(".")[1]) for name in form.values if name.startswith("entries.")})
    played = [each for each in timetable.stretches if each.kind is Kind.TUNE] if timetable else []
    return tuple(
        replace(
            _entry_row(
                row,
                form.value(f"entries.{row}.tune_key"),
                tunes,
                length_words(played[row].seconds) if row < len(played) else "",
                joins[row] if row < len(joins) else None,
            ),
            played_address=f"{form.action}/tunes/{row + 1}",
        )
        for row in rows
    )


def _entry_row(
    row: int, key: str, tunes: Mapping[str, Tune], length: str, join: Join | None
) -> EntryRowView:
    tune = tunes.get(key)
    return EntryRowView(
        prefix=f"entries.{row}",
        place=row,
        title=tune.title if tune else "A tune without readable music",
        tune_address=f"/tunes/{key}",
        facts=tune_facts(tune) if tune else "",
        length=length,
        join=join_in_words(join) if join else "",
    )


def tune_facts(tune: Tune) -> str:
    """Idiom, metre, parts and tempo of a tune in one line."""
    bpm = tune.tempo.bpm if tune.tempo else None
    return facts_of(tune.idiom or "", tune.metre, len(tune.parts), bpm)


def facts_of(idiom: str, metre: Metre, parts: int, bpm: float | None) -> str:
    """``March, 2/4, four parts, 84 crotchets a minute``."""
    facts = [idiom or "no idiom", metre_words(metre), counted(parts, "part")]
    facts += [f"{tempo_words(bpm)} {metre.beat_unit}s a minute"] if bpm else []
    return sentence_start(", ".join(facts))


def join_in_words(join: Join) -> str:
    """``A join to be drilled, it lifts: 2/4 goes into C.``."""
    kind = f"{join.smoothness} join" if str(join.smoothness) != "to be drilled" else ""
    head = kind or "join to be drilled"
    lift = {"lift": ", it lifts", "flat": ", it sounds flat"}.get(str(join.lift), "")
    why = "; ".join(reason.text for reason in join.reasons)
    return sentence(sentence_start(f"{head}{lift}" + (f": {why}" if why else "")))


def set_form(a_set: Set, action: str, version: int) -> FormView:
    """What stands in the form of a set."""
    values: dict[str, tuple[str, ...]] = {
        "number": (str(a_set.number),),
        "name": (a_set.name,),
        "occasion": (a_set.occasion.value if a_set.occasion else "",),
        "times_through": (str(a_set.times_through),),
        "introduction_beats": (_number(a_set.introduction_beats),),
        "dance": (a_set.dance,),
        "steps": ("+".join(map(str, a_set.steps)),),
        "ruleset": (a_set.ruleset,),
        "weight": (a_set.weight or "",),
        "familiarity": (a_set.familiarity or "",),
    }
    for row, entry in enumerate(a_set.entries):
        values |= {f"entries.{row}.{name}": (text,) for name, text in entry_values(entry).items()}
    return FormView(action, values, version=str(version), newer=action)


def entry_values(entry: Entry) -> dict[str, str]:
    """What stands in the fields of one tune of a set."""
    return {
        "tune_key": entry.tune_key,
        "tempo_bpm": _number(entry.tempo_bpm),
        "times_through": str(entry.times_through),
        "parts": parts_text(entry),
        "start_line": entry.start_line,
        "stop_line": entry.stop_line,
        "join": entry.join,
        "pause_after_s": _number(entry.pause_after_s or None),
    }


def dance_choices(dances: Iterable[Dance]) -> Choices:
    """The dances on record, the first line standing for none."""
    return (("", "no dance"), *((dance.name, dance.title) for dance in dances))


def ruleset_choices(rulesets: Iterable[RuleSet]) -> Choices:
    """The contest rules on record, by body, year and grade, the first line standing for none."""
    own_first = sorted(rulesets, key=lambda rules: not rules.is_own)
    return (("", "no contest"), *((rules.name, ruleset_words(rules)) for rules in own_first))


def ruleset_words(rules: RuleSet) -> str:
    """Body, year, grade, element and window of contest rules in one line."""
    own = "our own: " if rules.is_own else ""
    return f"{own}{rules.whose} ({rules.window_words})"


def _number(value: float | None) -> str:
    return "" if value is None else f"{value:g}"
