"""What does the head of an ABC tune say of title, metre, unit, tempo, key, type and credits?

Fields of the tune win over those of the file header. A value that makes no sense becomes a remark
and its default is taken.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from planner.findings import Gravity
from planner.music.tempo import Metre, Tempo
from planner.music.tune import Credits
from planner.notation.abc_book import Line, is_field, looks_like_music
from planner.notation.abc_keys import Key, read_key
from planner.notation.abc_text import decoded_text, without_comment
from planner.notation.abc_values import default_unit, read_metre, read_tempo, read_unit
from planner.notation.readtune import Remarks
from planner.notation.written import FREE_METRE

Fields = dict[str, list[Line]]

DIRECTIVE = re.compile(r"(?:%%|I:)\s*pacestick-([a-z-]+)\s+(.*)")
_ARRANGED = re.compile(r"arr(?:\.|anged by|:)\s*(.*)", re.IGNORECASE)
# Fields of a file header that say something of one tune only.
_NOT_INHERITED = set("XTKPVwW")


@dataclass(frozen=True, slots=True)
class Header:
    """The head of a tune, values worked out. ``unit`` is in crotchets."""

    title: str
    metre: Metre
    unit: Fraction
    key: Key
    tempo: Tempo | None
    rhythm: str
    credits: Credits
    part_order: str
    line_breaks: str
    user_symbols: frozenset[str]
    directives: dict[str, str]


def collect_fields(lines: list[Line], fields: Fields) -> int:
    """Add the fields of a head to ``fields``; answers how many lines the head has."""
    last: list[Line] = []
    for count, (number, raw) in enumerate(lines):
        if directive := DIRECTIVE.match(raw):
            fields.setdefault("pacestick", []).append((number, " ".join(directive.groups())))
            continue
        if raw.startswith("%"):
            continue
        line = without_comment(raw)
        if not is_field(line):
            if looks_like_music(line):
                return count
            continue
        letter, value = line[0], line[2:].strip()
        if letter == "+" and last:
            last[-1] = (last[-1][0], f"{last[-1][1]} {value}".strip())
            continue
        last = fields.setdefault(letter, [])
        last.append((number, value))
        if letter == "K":
            return count + 1
    return len(lines)


def read_header(own: Fields, file: Fields, remarks: Remarks) -> Header:
    """The head of a tune from its own fields and the file header's."""
    inherited = {letter: lines for letter, lines in file.items() if letter not in _NOT_INHERITED}
    fields = inherited | own
    metre = _metre(fields, remarks)
    unit = _unit(fields, metre, remarks)
    directives = dict(_word_and_rest(value) for _, value in fields.get("pacestick", []))
    return Header(
        title=_title(fields, remarks),
        metre=metre,
        unit=unit,
        key=_key(fields, remarks),
        tempo=tempo_of(fields.get("Q", []), unit, metre, remarks),
        rhythm=_joined(fields, "R"),
        credits=_credits(fields),
        part_order=_joined(fields, "P"),
        line_breaks=_line_breaks(fields),
        user_symbols=frozenset(value[:1] for _, value in fields.get("U", [])),
        directives=directives,
    )


def metre_of(value: str, line: int, remarks: Remarks) -> Metre | None:
    """The metre of one ``M:`` field, or None with a remark."""
    metre = read_metre(value)
    if metre is None:
        text = f"the metre {value.strip()[:40]} makes no sense; write it as 2/4, 6/8, C or C|"
        remarks.add("metre", text, Gravity.REFUSE, line)
    elif "+" in value:
        text = f"the grouping of {value.strip()[:40]} is not kept; it is read as {metre}"
        remarks.add("metre_grouping", text, Gravity.NOTE, line)
    return metre


def unit_of(value: str, line: int, remarks: Remarks) -> Fraction | None:
    """The unit note length of one ``L:`` field in crotchets, or None with a remark."""
    unit = read_unit(value)
    if unit is None:
        text = f"the unit note length {value.strip()[:40]} makes no sense; write it as 1/8"
        remarks.add("unit_length", text, Gravity.REFUSE, line)
    return unit


def key_of(value: str, line: int, remarks: Remarks) -> Key:
    """The key of one ``K:`` field, with a remark where it names none."""
    key = read_key(value)
    if not key.is_known:
        text = f"the key {value.strip()[:40]} is not known; write K:HP for the pipes"
        remarks.add("key", text, Gravity.REFUSE, line)
    return key


def tempo_of(lines: list[Line], unit: Fraction, metre: Metre, remarks: Remarks) -> Tempo | None:
    """The tempo of the last ``Q:`` field in felt beats a minute, or None."""
    if not lines:
        return None
    line, value = lines[-1]
    words = read_tempo(decoded_text(value), unit)
    if words is None:
        text = f"the tempo {value.strip()[:40]} makes no sense and is left out; write Q:1/4=84"
        remarks.add("tempo", text, line=line)
        return None
    if words.doubt:
        remarks.add("tempo", words.doubt, line=line)
    if words.text:
        remarks.leave_out("tempo words are")
    if words.crotchets_a_minute is None:
        return None
    return Tempo(float(words.crotchets_a_minute / metre.beat_length))


def _metre(fields: Fields, remarks: Remarks) -> Metre:
    lines = fields.get("M", [])
    if not lines:
        return FREE_METRE
    return metre_of(lines[-1][1], lines[-1][0], remarks) or FREE_METRE


def _unit(fields: Fields, metre: Metre, remarks: Remarks) -> Fraction:
    lines = fields.get("L", [])
    unit = unit_of(lines[-1][1], lines[-1][0], remarks) if lines else None
    return unit or default_unit(metre)


def _key(fields: Fields, remarks: Remarks) -> Key:
    lines = fields.get("K", [])
    if not lines:
        remarks.add("no_key", "the tune has no K: line; it is read as K:HP, the pipes' key")
        return read_key("HP")
    return key_of(lines[-1][1], lines[-1][0], remarks)


def _title(fields: Fields, remarks: Remarks) -> str:
    titles = [decoded_text(value) for _, value in fields.get("T", [])]
    if not titles or not titles[0]:
        remarks.add("no_title", "the tune has no title (T: line)", Gravity.NOTE)
        return "Untitled"
    return titles[0]


def _credits(fields: Fields) -> Credits:
    made = [decoded_text(value) for _, value in fields.get("C", [])]
    arranged = [match.group(1) for line in made if (match := _ARRANGED.fullmatch(line))]
    composed = [line for line in made if not _ARRANGED.fullmatch(line)]
    others = [decoded_text(value) for _, value in fields.get("T", [])][1:]
    notes = [decoded_text(value) for _, value in fields.get("N", [])]
    also = [f"Also called {title}" for title in others if title]
    return Credits(
        composer="; ".join(filter(None, composed)),
        arranger="; ".join(filter(None, arranged)),
        origin=_joined(fields, "OA"),
        source=_joined(fields, "SB"),
        transcriber=_joined(fields, "Z"),
        notes=tuple(filter(None, [*also, *notes])),
    )


def _joined(fields: Fields, letters: str) -> str:
    values = [decoded_text(value) for letter in letters for _, value in fields.get(letter, [])]
    return "; ".join(filter(None, values))


def _line_breaks(fields: Fields) -> str:
    for _, value in reversed(fields.get("I", [])):
        if value.startswith("linebreak"):
            return value
    return "<EOL> $"


def _word_and_rest(value: str) -> tuple[str, str]:
    word, _, rest = value.partition(" ")
    return word, rest.strip()
