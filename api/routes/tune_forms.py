"""What does a person fill in about a tune, and what is read back?"""

from __future__ import annotations

import re
from datetime import datetime
from typing import Annotated

from fastapi import UploadFile
from pydantic import AfterValidator, Field

from api.actions.reading import LibraryTune
from api.actions.records import Kept, NewFile, Outline, StoredFile, TuneRecord
from api.routes.form import Answer, FindingAnswer, Form, LineText, LongText, NameText, TempoBpm
from planner.errors import RequestError
from planner.event.event import Occasion
from planner.findings import Finding
from planner.music.tempo import Metre
from planner.music.tune import Credits, Tune
from planner.notation.read import ReadTune

METRE = re.compile(r"([1-9]|1[0-9]|2[0-4])/(2|4|8|16)")
SIGNS = {"C": Metre(4, 4, "C"), "C|": Metre(2, 2, "C|")}
TONAL_CENTRES = r"^(|low G|A|B|C|D|E|F|G)$"


def _metre(text: str) -> str:
    if text not in SIGNS and METRE.fullmatch(text) is None:
        raise ValueError("a metre looks like 2/4, 6/8, C or C|")
    return text


MetreText = Annotated[str, AfterValidator(_metre)]
Starts = Annotated[tuple[Annotated[int, Field(ge=1, le=2000)], ...], Field(max_length=200)]
PartOutline = tuple[Annotated[int, Field(ge=1, le=64)], Annotated[int, Field(ge=1, le=8)]]


class OutlineForm(Form):
    """A tune without notes: its metre, and each part as [bars, times played]."""

    metre: MetreText
    parts: Annotated[list[PartOutline], Field(min_length=1, max_length=20)]

    def outline(self) -> Outline:
        """The outline the library keeps."""
        count, _, unit = self.metre.partition("/")
        metre = SIGNS.get(self.metre) or Metre(int(count), int(unit))
        return Outline(metre, tuple(self.parts))


class TuneForm(Form):
    """What the band says of a tune. ``idiom`` and ``tempo_bpm`` empty: as the file has it.

    ``part_starts`` are bars counted through the tune as printed, pick-ups left out and each ending
    once; ``phrase_starts`` are the first bars of the phrases of each part. Empty: as written.
    """

    title: NameText
    idiom: LineText | None = None
    tempo_bpm: TempoBpm | None = None
    phrase_bars: Annotated[int, Field(ge=1, le=16)] | None = None
    line_bars: Annotated[int, Field(ge=1, le=32)] | None = None
    part_starts: Starts = ()
    phrase_starts: Annotated[tuple[Starts, ...], Field(max_length=40)] = ()
    tonal_centre: Annotated[str, Field(pattern=TONAL_CENTRES)] = ""
    tags: Annotated[tuple[Occasion, ...], Field(max_length=4)] = ()
    composer: LineText = ""
    arranger: LineText = ""
    origin: LineText = ""
    source: LineText = ""
    transcriber: LineText = ""
    permission: LineText = ""
    standard_setting: LineText = ""
    remarks: LongText = ""
    outline: OutlineForm | None = None

    def record(self, key: str = "") -> TuneRecord:
        """The tune as the library keeps it, without its files."""
        return TuneRecord(
            key=key,
            title=self.title,
            idiom=self.idiom or None,
            tempo_bpm=self.tempo_bpm,
            phrase_bars=self.phrase_bars,
            line_bars=self.line_bars,
            part_starts=self.part_starts,
            phrase_starts=self.phrase_starts,
            tonal_centre=self.tonal_centre,
            tags=tuple(dict.fromkeys(self.tags)),
            credits=Credits(
                self.composer, self.arranger, self.origin, self.source, self.transcriber
            ),
            permission=self.permission,
            standard_setting=self.standard_setting,
            remarks=self.remarks,
            outline=self.outline.outline() if self.outline else None,
        )


class FileAnswer(Answer):
    """A file of the library; ``size`` in bytes."""

    name: str
    media_type: str
    size: int


class MusicAnswer(Answer):
    """The music of a tune: ``bars_played`` and ``seconds`` are one time through, unrolled."""

    idiom: str | None
    metre: str
    beats_per_bar: int
    beat_unit: str
    tempo_bpm: float | None
    parts: int
    bars_played: int
    seconds: float | None
    has_notes: bool


class TuneAnswer(Answer):
    """A tune of the library."""

    key: str
    version: int
    changed_at: datetime
    title: str
    idiom: str | None
    tempo_bpm: float | None
    phrase_bars: int | None
    line_bars: int | None
    part_starts: list[int]
    phrase_starts: list[list[int]]
    tonal_centre: str
    tags: list[Occasion]
    composer: str
    arranger: str
    origin: str
    source: str
    transcriber: str
    permission: str
    standard_setting: str
    remarks: str
    file: FileAnswer | None
    attachment: FileAnswer | None
    drum_score: FileAnswer | None
    drum_scan: FileAnswer | None
    music: MusicAnswer | None
    findings: list[FindingAnswer]


class ReadingAnswer(Answer):
    """One tune of a file that was read and not stored."""

    number: int
    title: str
    music: MusicAnswer
    findings: list[FindingAnswer]


def tune_answer(kept: Kept[LibraryTune]) -> TuneAnswer:
    """A tune as it is read back."""
    record, credits = kept.noun.record, kept.noun.record.credits
    return TuneAnswer(
        key=record.key,
        version=kept.version,
        changed_at=kept.changed_at,
        title=record.title,
        idiom=record.idiom,
        tempo_bpm=record.tempo_bpm,
        phrase_bars=record.phrase_bars,
        line_bars=record.line_bars,
        part_starts=list(record.part_starts),
        phrase_starts=[list(part) for part in record.phrase_starts],
        tonal_centre=record.tonal_centre,
        tags=list(record.tags),
        composer=credits.composer,
        arranger=credits.arranger,
        origin=credits.origin,
        source=credits.source,
        transcriber=credits.transcriber,
        permission=record.permission,
        standard_setting=record.standard_setting,
        remarks=record.remarks,
        file=_file(record.file),
        attachment=_file(record.attachment),
        drum_score=_file(record.drum_file),
        drum_scan=_file(record.drum_scan),
        music=None if kept.noun.tune is None else music_answer(kept.noun.tune),
        findings=finding_answers(kept.noun.findings),
    )


def reading_answers(reads: tuple[ReadTune, ...]) -> list[ReadingAnswer]:
    """The tunes of a file with their numbers, from 1."""
    return [
        ReadingAnswer(
            number=number,
            title=read.tune.title,
            music=music_answer(read.tune),
            findings=finding_answers(read.findings),
        )
        for number, read in enumerate(reads, start=1)
    ]


def music_answer(tune: Tune) -> MusicAnswer:
    """The music of a tune in a few figures."""
    return MusicAnswer(
        idiom=tune.idiom,
        metre=str(tune.metre),
        beats_per_bar=tune.metre.beats_per_bar,
        beat_unit=tune.metre.beat_unit,
        tempo_bpm=tune.tempo.bpm if tune.tempo else None,
        parts=len(tune.parts),
        bars_played=tune.bars_played,
        seconds=tune.seconds(tune.tempo) if tune.tempo else None,
        has_notes=tune.has_notes,
    )


def finding_answers(findings: tuple[Finding, ...]) -> list[FindingAnswer]:
    """Findings as they are read back."""
    return [
        FindingAnswer(code=f.code, text=f.text, where=f.where, gravity=f.gravity) for f in findings
    ]


def new_file(upload: UploadFile, limit_bytes: int) -> NewFile:
    """An uploaded file; one byte more than the limit is enough to know that it is too large."""
    name = re.sub(r"[\x00-\x1f/\\]", "", upload.filename or "")[-120:] or "the file"
    content = upload.file.read(limit_bytes + 1)
    return NewFile(name, upload.content_type or "application/octet-stream", content)


def chosen_numbers(text: str) -> list[int] | None:
    """A choice of tunes: ``1,3`` or ``all``; None when nobody chose.

    Raises:
        RequestError: it is neither.
    """
    if not text.strip():
        return None
    if text.strip().lower() == "all":
        return []
    numbers = [word.strip() for word in text.split(",")]
    if not all(word.isascii() and word.isdigit() and len(word) < 6 for word in numbers):
        raise RequestError("tune", f"“{text[:40]}” is no choice", "write numbers, or all")
    return [int(word) for word in numbers]


def _file(file: StoredFile | None) -> FileAnswer | None:
    if file is None:
        return None
    return FileAnswer(name=file.name, media_type=file.media_type, size=file.size)
