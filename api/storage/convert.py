"""How does a stored row become a noun, and a noun a row?

Rows to nouns: ``tune_record``, ``planned_set``, ``person``, ``event_record`` ... Nouns to rows:
``write_set``, ``write_event`` ... fill a row in place. Nothing here asks the database; what it
reads must have been loaded with the row. Numbers of rows become the nouns' keys.
"""

from __future__ import annotations

from api.storage.records import Kept, Noun, Outline, StoredFile, TuneRecord
from api.storage.row import VersionedRow
from api.storage.tables import EntryRow, PersonRow, SetRow, TuneRow, UploadRow
from planner.event.event import (
    Attack,
    CutOff,
    Entry,
    Familiarity,
    Instrument,
    Occasion,
    Person,
    Set,
    Weight,
)
from planner.music.tempo import Metre
from planner.music.tune import Credits


def kept(row: VersionedRow, noun: Noun) -> Kept[Noun]:
    """A noun with the number and version of its row."""
    return Kept(row.row_id, row.version, row.changed_at, noun)


def stored_file(row: UploadRow | None) -> StoredFile | None:
    """A file without its content."""
    if row is None:
        return None
    return StoredFile(row.row_id, row.file_name, row.media_type, row.sha256, row.size)


def tune_record(row: TuneRow) -> TuneRecord:
    """A tune of the library; its files must be loaded."""
    return TuneRecord(
        key=str(row.id),
        title=row.title,
        idiom=row.idiom,
        tempo_bpm=row.tempo_bpm,
        phrase_bars=row.phrase_bars,
        line_bars=row.line_bars,
        part_starts=tuple(row.part_starts),
        phrase_starts=tuple(tuple(part) for part in row.phrase_starts),
        tonal_centre=row.tonal_centre,
        tags=tuple(Occasion(tag) for tag in row.tags),
        credits=Credits(row.composer, row.arranger, row.origin, row.source, row.transcriber),
        permission=row.permission,
        remarks=row.remarks,
        standard_setting=row.standard_setting,
        outline=_outline(row),
        file=stored_file(row.file),
        file_number=row.file_number,
        attachment=stored_file(row.attachment),
        drum_file=stored_file(row.drum_file),
        drum_scan=stored_file(row.drum_scan),
    )


def _outline(row: TuneRow) -> Outline | None:
    if not row.outline_metre:
        return None
    parts = tuple((bars, times) for bars, times in row.outline_parts)
    return Outline(metre_from_text(row.outline_metre), parts)


def write_tune(row: TuneRow, record: TuneRecord) -> None:
    """Put what the band says of a tune into its row; its files stay as they are."""
    row.title = record.title
    row.idiom, row.tempo_bpm = record.idiom, record.tempo_bpm
    row.phrase_bars, row.line_bars = record.phrase_bars, record.line_bars
    row.part_starts = list(record.part_starts)
    row.phrase_starts = [list(part) for part in record.phrase_starts]
    row.tonal_centre = record.tonal_centre
    row.tags = [tag.value for tag in record.tags]
    credits = record.credits
    row.composer, row.arranger, row.origin = credits.composer, credits.arranger, credits.origin
    row.source, row.transcriber = credits.source, credits.transcriber
    row.permission, row.remarks = record.permission, record.remarks
    row.standard_setting = record.standard_setting
    outline = record.outline
    row.outline_metre = metre_to_text(outline.metre) if outline else ""
    row.outline_parts = [list(part) for part in outline.parts] if outline else []


def metre_from_text(text: str) -> Metre:
    """A metre as stored: ``6/8``, ``4/4 C`` with its sign."""
    fraction, _, symbol = text.partition(" ")
    count, _, unit = fraction.partition("/")
    return Metre(int(count), int(unit), symbol)


def metre_to_text(metre: Metre) -> str:
    """A metre for the row, its sign after it."""
    return f"{metre.count}/{metre.unit} {metre.symbol}".rstrip()


def planned_set(row: SetRow) -> Set:
    """A set with its entries."""
    return Set(
        key=str(row.id),
        number=row.number,
        name=row.name,
        entries=tuple(_entry(entry) for entry in row.entries),
        occasion=Occasion(row.occasion) if row.occasion else None,
        times_through=row.times_through,
        introduction_beats=row.introduction_beats,
        ruleset=row.ruleset,
        dance=row.dance,
        steps=tuple(row.steps),
        weight=Weight(row.weight) if row.weight else None,
        familiarity=Familiarity(row.familiarity) if row.familiarity else None,
        bars_per_step=row.bars_per_step,
    )


def _entry(row: EntryRow) -> Entry:
    return Entry(
        tune_key=str(row.tune_id),
        tempo_bpm=row.tempo_bpm,
        times_through=row.times_through,
        parts=tuple(row.parts),
        start_line=row.start_line,
        stop_line=row.stop_line,
        join=row.join,
        pause_after_s=row.pause_after_s,
        part_times=tuple(row.part_times),
        last_bar=row.last_bar,
        link=row.link,
        attack=Attack(row.attack) if row.attack else None,
        cut_off=CutOff(row.cut_off) if row.cut_off else None,
        cue=row.cue,
    )


def write_set(row: SetRow, planned: Set) -> None:
    """Put a set into its row; the entries are written anew."""
    row.number, row.name = planned.number, planned.name
    row.occasion = planned.occasion.value if planned.occasion else None
    row.times_through = planned.times_through
    row.introduction_beats = planned.introduction_beats
    row.ruleset, row.dance, row.steps = planned.ruleset, planned.dance, list(planned.steps)
    row.weight, row.familiarity = planned.weight, planned.familiarity
    row.bars_per_step = planned.bars_per_step
    row.entries = [
        EntryRow(
            band_id=row.band_id,
            position=position,
            tune_id=int(entry.tune_key),
            tempo_bpm=entry.tempo_bpm,
            times_through=entry.times_through,
            parts=list(entry.parts),
            start_line=entry.start_line,
            stop_line=entry.stop_line,
            join=entry.join,
            pause_after_s=entry.pause_after_s,
            part_times=list(entry.part_times),
            last_bar=entry.last_bar,
            link=entry.link,
            attack=entry.attack,
            cut_off=entry.cut_off,
            cue=entry.cue,
        )
        for position, entry in enumerate(planned.entries)
    ]


def person(row: PersonRow) -> Person:
    """A member of the band."""
    return Person(
        str(row.id), row.name, Instrument(row.instrument), row.is_learner, row.rung, row.role
    )


def write_person(row: PersonRow, member: Person) -> None:
    """Put a person into their row."""
    row.name, row.instrument = member.name, member.instrument.value
    row.is_learner, row.rung, row.role = member.is_learner, member.rung, member.role
