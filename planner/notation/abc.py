"""What tunes does an ABC file hold? Our own reader of the ABC standard 2.1.

It keeps what pipe music is made of: gracenotes as they stand, broken rhythm and triplets that pass
over them, the pipe keys, endings, pick-ups and the writer's lines. Whatever can be read is read,
with a finding for everything left out or doubtful; nothing is mended in silence.
"""

from __future__ import annotations

import re

from planner.findings import Finding
from planner.music.tempo import Metre
from planner.music.tune import Part, Tune
from planner.notation.abc_book import Line, TuneLines, cut_book, is_field
from planner.notation.abc_header import DIRECTIVE, Fields, Header, collect_fields, read_header
from planner.notation.abc_music import BodyReader
from planner.notation.abc_part_order import with_part_order
from planner.notation.abc_text import without_comment
from planner.notation.idioms import idiom_of, reel_idiom
from planner.notation.own_fields import own_phrase_starts
from planner.notation.parts import make_parts
from planner.notation.readtune import ReadTune, Remarks


def read_abc(text: str) -> tuple[ReadTune, ...]:
    """The tunes of an ABC text in order, none when the text holds no tune."""
    header_lines, tunes = cut_book(text)
    file_fields: Fields = {}
    collect_fields(header_lines, file_fields)
    return tuple(_read_tune(tune, file_fields) for tune in tunes)


def _read_tune(lines: TuneLines, file_fields: Fields) -> ReadTune:
    remarks = lines.remarks
    fields: Fields = {}
    head = collect_fields(lines.lines, fields)
    header = read_header(fields, file_fields, remarks)
    body = BodyReader(header, remarks)
    _read_body(lines.lines[head:], body)
    parts, places, names = make_parts(body.finish(), remarks)
    parts, order = with_part_order(parts, names, header.part_order, remarks)
    tune = Tune(
        title=header.title,
        metre=_first_metre(parts, header),
        parts=parts,
        idiom=_idiom(header, parts, remarks),
        tempo=body.tempo,
        credits=header.credits,
        rhythm=header.rhythm,
        key=header.key.text,
        phrase_bars=_count(header.directives.get("phrase-bars")),
        line_bars=_count(header.directives.get("line-bars")),
        order=order,
        phrase_starts=own_phrase_starts(header.directives.get("phrase-starts", ""), parts),
    )
    findings: tuple[Finding, ...] = remarks.findings(places)
    return ReadTune(tune, findings)


def _read_body(lines: list[Line], body: BodyReader) -> None:
    for number, raw in lines:
        if raw.startswith("%") or DIRECTIVE.match(raw):
            continue
        line = without_comment(raw)
        if is_field(line):
            body.read_field(number, line[0], line[2:].strip())
        elif line.strip():
            body.read_line(number, line)


def _first_metre(parts: tuple[Part, ...], header: Header) -> Metre:
    return parts[0].bars[0].metre if parts else header.metre


def _idiom(header: Header, parts: tuple[Part, ...], remarks: Remarks) -> str | None:
    if "idiom" in header.directives:
        own = header.directives["idiom"]
        return None if own == "none" else own
    idiom = idiom_of(header.rhythm)
    if idiom != "reel":
        return idiom
    idiom = reel_idiom(parts)
    text = f"the file says reel only; from its notes it is taken as a {idiom}"
    remarks.add("reel_sort", text)
    return idiom


def _count(text: str | None) -> int | None:
    return int(text) if text and re.fullmatch("[1-9][0-9]{0,2}", text) else None
