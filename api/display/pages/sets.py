"""What do the pages of sets say? Their tunes in order, how long they last, how the joins run."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from api.display.choices import Choices
from api.display.form import FormView
from api.display.words import (
    counted,
    join_in_words,
    join_words,
    length_words,
    metre_words,
    sentence,
    sentence_start,
    tempo_words,
)
from planner.event.contest.rulesets import RuleSet
from planner.event.dance import Dance
from planner.event.dancing.danced import steps_text
from planner.event.event import Entry, Occasion, Set
from planner.event.joins import Join
from planner.event.played_parts import parts_text
from planner.event.timetable import Kind, SetTimetable
from planner.music.tempo import Metre
from planner.music.tune import Tune

# Which fields of a tune are words for the players, folded away until they are wanted?
LINES = ("start_line", "stop_line", "join")


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
    key: str
    place: int
    title: str
    tune_address: str
    facts: str
    length: str
    begins: str = ""
    tempo: str = ""
    join: str = ""
    played_address: str = ""
    played: str = ""
    said: str = ""
    is_open: bool = False


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
    undo: str = ""
    state: str = ""


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


def set_view(
    a_set: Set,
    version: int,
    timetable: SetTimetable | None,
    pace_m: float | None = None,
    undo: str | None = None,
) -> SetView:
    """The head of a set's page; ``undo`` says what can be undone, None where nothing can."""
    return SetView(
        address=f"/sets/{a_set.key}",
        name=a_set.name,
        number=str(a_set.number),
        occasion=a_set.occasion.words if a_set.occasion else "any occasion",
        length=length_of(timetable),
        length_note=_length_note(a_set, timetable, pace_m),
        version=str(version),
        undo="" if undo is None else f"Undo {undo or 'the last change'}",
        state=f"Saved, version {version}",
    )


def length_of(timetable: SetTimetable | None) -> str:
    """How long a set lasts: ``3 min 4 s``; empty text where it cannot be reckoned."""
    if timetable is None or not timetable.stretches:
        return ""
    more = ", then until the cue" if timetable.is_open_ended else ""
    return f"{length_words(timetable.seconds)}{more}"


def _length_note(a_set: Set, timetable: SetTimetable | None, pace_m: float | None) -> str:
    if timetable is None or not timetable.stretches:
        return ""
    introduction = float(timetable.length_of(Kind.INTRODUCTION))
    notes = [f"{length_words(introduction)} of introduction"] if introduction else []
    if timetable.is_open_ended:
        notes.append("what lasts until the cue is counted once")
    said = [sentence(f"with {join_words(notes)}")] if notes else []
    if pace_m and a_set.occasion is Occasion.PARADE:
        metres = round(float(sum(each.beats for each in timetable.stretches)) * pace_m)
        said.append(f"It carries the band {metres} m, a pace of {pace_m:g} m a beat.")
    return " ".join(said)


def entry_rows(
    form: FormView, tunes: Mapping[str, Tune], timetable: SetTimetable | None, joins: Sequence[Join]
) -> tuple[EntryRowView, ...]:
    """The rows of a set's form, as many as the form has; ``tunes`` by tune key."""
    rows = sorted({int(name.split(".")[1]) for name in form.values if name.startswith("entries.")})
    times = tune_times(timetable)
    return tuple(
        _entry_row(
            form,
            row,
            tunes,
            times[row] if row < len(times) else ("", ""),
            joins[row] if row < len(joins) else None,
        )
        for row in rows
    )


def tune_times(timetable: SetTimetable | None) -> tuple[tuple[str, str], ...]:
    """When each tune of a set begins after the first sound, and how long it lasts."""
    clock, times = Fraction(0), []
    for stretch in timetable.stretches if timetable else ():
        if stretch.kind is Kind.TUNE:
            begins = f"begins after {length_words(float(clock))}" if clock else "begins at once"
            times.append((begins, length_words(stretch.seconds)))
        clock += stretch.length()
    return tuple(times)


def _entry_row(
    form: FormView,
    row: int,
    tunes: Mapping[str, Tune],
    times: tuple[str, str],
    join: Join | None,
) -> EntryRowView:
    prefix = f"entries.{row}"
    key = form.value(f"{prefix}.tune_key")
    tune = tunes.get(key)
    said = [form.value(f"{prefix}.{name}") for name in LINES]
    return EntryRowView(
        prefix=prefix,
        key=key,
        place=row,
        title=tune.title if tune else "A tune without readable music",
        tune_address=f"/tunes/{key}",
        facts=tune_facts(tune) if tune else "",
        played_address=f"{form.action}/tunes/{row + 1}",
        played=_played_words(form, prefix),
        begins=times[0],
        tempo=tempo_words(tune.tempo.bpm) if tune and tune.tempo else "",
        length=times[1],
        join=join_in_words(join) if join else "",
        said="; ".join(filter(None, said)),
        is_open=any(form.error(f"{prefix}.{name}") for name in LINES),
    )


def _played_words(form: FormView, prefix: str) -> str:
    """What of a tune is said on the page of its own, in a few words."""
    said = (
        ("last_bar", "last bar altered"),
        ("link", "a link after it"),
        ("attack", "its own attack"),
        ("cut_off", "its own cut-off"),
    )
    return join_words([words for name, words in said if form.value(f"{prefix}.{name}")])


def tune_facts(tune: Tune) -> str:
    """Idiom, metre, parts and tempo of a tune in one line."""
    bpm = tune.tempo.bpm if tune.tempo else None
    return facts_of(tune.idiom or "", tune.metre, len(tune.parts), bpm)


def facts_of(idiom: str, metre: Metre, parts: int, bpm: float | None) -> str:
    """``March, 2/4, four parts, 84 crotchets a minute``."""
    facts = [idiom or "no idiom", metre_words(metre), counted(parts, "part")]
    facts += [f"{tempo_words(bpm)} {metre.beat_unit}s a minute"] if bpm else []
    return sentence_start(", ".join(facts))


def set_form(a_set: Set, action: str, version: int) -> FormView:
    """What stands in the form of a set."""
    values: dict[str, tuple[str, ...]] = {
        "number": (str(a_set.number),),
        "name": (a_set.name,),
        "occasion": (a_set.occasion.value if a_set.occasion else "",),
        "times_through": (str(a_set.times_through),),
        "introduction_beats": (_number(a_set.introduction_beats),),
        "dance": (a_set.dance,),
        "steps": (steps_text(a_set),),
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
        "last_bar": entry.last_bar,
        "link": entry.link,
        "attack": entry.attack or "",
        "cut_off": entry.cut_off or "",
        "cue": entry.cue,
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
