"""How does a tune come back whole from a MusicXML file that we wrote ourselves?

The ``pacestick-`` fields say what MusicXML has no place for: which bar is which, how often parts
are played, where the writer's lines and beams are, which notes were split to be written. They are
believed only as far as they fit the notes; otherwise the file was changed and is read plainly.
"""

from __future__ import annotations

import json
import re
from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import groupby

from planner.music.tempo import Metre, Tempo
from planner.music.tune import Bar, Credits, Note, Part, Turn, phrases_fit
from planner.notation.abc_values import read_metre
from planner.notation.written import WrittenBar, WrittenNote
from planner.notation.xml_head import XmlHead

MOST_TURNS = 200
_BAR = re.compile(r"p(\d{1,4})b(\d{1,4})e(\d{1,2})")
_SPLIT = re.compile(r"(p\d{1,4}b\d{1,4}e\d{1,2})n(\d{1,4})=(\d{1,2})")


def own_parts(own: dict[str, str], bars: list[WrittenBar]) -> tuple[Part, ...] | None:
    """The parts as our own fields tell them, or None where the fields do not fit the bars."""
    identities = own.get("bars", "").split()
    keys = [_BAR.fullmatch(identity) for identity in identities]
    joins = own.get("joins", "").split()
    if not bars or not len(bars) == len(keys) == len(joins):
        return None
    splits = _splits(own.get("splits", ""))
    lines = set(own.get("lines", "").split())
    built: list[tuple[int, Bar]] = []
    for written, identity, key, word in zip(bars, identities, keys, joins, strict=True):
        notes = _notes(written, splits.get(identity, {}), word)
        if key is None or notes is None:
            return None
        part, number, ending = map(int, key.groups())
        starts_line = identity in lines
        built.append((part, Bar(number, written.metre, notes, ending, starts_line)))
    return _parts(built, own.get("parts", "").split())


def own_credits(head: XmlHead) -> Credits:
    """The credits of a MusicXML file, ours or another's."""
    own = head.own
    return Credits(
        composer=head.creator("composer"),
        arranger=head.creator("arranger"),
        origin=own.get("origin", ""),
        source=head.texts.get("source", ""),
        transcriber=own.get("transcriber", ""),
        notes=_text_list(own.get("notes", "")),
    )


def own_tempo(own: dict[str, str]) -> Tempo | None:
    """The tempo in felt beats a minute, as exact as it was written."""
    text = own.get("tempo", "")
    return Tempo(float(text)) if re.fullmatch(r"\d{1,4}(\.\d{1,20})?", text) else None


def own_metre(own: dict[str, str]) -> Metre | None:
    """The tune's metre where it is not that of the first bar."""
    return read_metre(own["metre"]) if "metre" in own else None


def own_count(own: dict[str, str], name: str) -> int | None:
    """A number of bars, or None."""
    text = own.get(name, "")
    return int(text) if re.fullmatch(r"[1-9]\d{0,2}", text) else None


def own_order(text: str, parts: Sequence[Part]) -> tuple[Turn, ...]:
    """The turns of whole parts; none where a part is not there."""
    whole = {str(part.number): part.passes for part in parts}
    words = text.split()
    if len(words) > MOST_TURNS or any(word not in whole for word in words):
        return ()
    return tuple(Turn(int(word), whole[word]) for word in words)


def own_phrase_starts(text: str, parts: Sequence[Part]) -> tuple[tuple[int, ...], ...]:
    """The first bars of phrases set by hand, part by part; none where they do not fit the parts."""
    if not re.fullmatch(r"[\d,/]{1,2000}", text):
        return ()
    starts = tuple(tuple(int(one) for one in part.split(",") if one) for part in text.split("/"))
    fits = len(starts) == len(parts) and all(
        not own or phrases_fit(own, part) for own, part in zip(starts, parts, strict=True)
    )
    return starts if fits else ()


def _splits(text: str) -> dict[str, dict[int, int]]:
    found: dict[str, dict[int, int]] = {}
    for word in text.split():
        if match := _SPLIT.fullmatch(word):
            found.setdefault(match.group(1), {})[int(match.group(2))] = int(match.group(3))
    return found


def _notes(bar: WrittenBar, splits: dict[int, int], joins: str) -> tuple[Note, ...] | None:
    if joins == "-":
        return ()
    whole: list[WrittenNote] = []
    waiting = list(bar.notes)
    while waiting:
        pieces = splits.get(len(whole), 1)
        whole.append(_whole(waiting[:pieces]))
        waiting = waiting[pieces:]
    if len(whole) != len(joins):
        return None
    return tuple(
        Note(note.pitch, note.length, note.gracenotes, note.tied_on, note.tuplet, digit == "1")
        for note, digit in zip(whole, joins, strict=True)
    )


def _whole(pieces: list[WrittenNote]) -> WrittenNote:
    length = sum((piece.length for piece in pieces), Fraction(0))
    return replace(pieces[0], length=length, tied_on=pieces[-1].tied_on)


def _parts(bars: list[tuple[int, Bar]], words: list[str]) -> tuple[Part, ...] | None:
    grouped = [
        (number, [bar for _, bar in group]) for number, group in groupby(bars, lambda each: each[0])
    ]
    if [number for number, _ in grouped] != list(range(1, len(words) + 1)):
        return None
    parts = []
    for (number, own_bars), word in zip(grouped, words, strict=True):
        match = re.fullmatch(r"(\d{1,2})(?::([\d,/]+))?", word)
        if match is None:
            return None
        endings = _passes(match.group(2) or "")
        if max(bar.ending for bar in own_bars) > len(endings) or not int(match.group(1)):
            return None
        parts.append(Part(number, tuple(own_bars), int(match.group(1)), endings))
    return tuple(parts)


def _passes(text: str) -> tuple[tuple[int, ...], ...]:
    endings = text.split("/") if text else []
    return tuple(tuple(int(one) for one in ending.split(",") if one) for ending in endings)


def _text_list(text: str) -> tuple[str, ...]:
    try:
        texts = json.loads(text) if text else []
    except (ValueError, RecursionError):
        return ()
    return tuple(str(each) for each in texts) if isinstance(texts, list) else ()
