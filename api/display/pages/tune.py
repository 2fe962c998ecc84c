"""What does the page of a tune say? Its music, structure, movements, findings and credits."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from api.display.music import MusicView, music_view
from api.display.pages.division import Division, DivisionView, division_view
from api.display.pages.sets import tune_facts
from api.display.pages.tune_facts import TuneFacts
from api.display.planned_tune import FindingView, finding_view
from api.display.words import counted, join_words, length_words, played_words, sentence_start
from planner.analysis.movements import Movement
from planner.event.event import Occasion
from planner.findings import Finding
from planner.music.tune import Credits, Part, Tune
from planner.recast import CASTS, can_be_recast

PICKUP = "the pick-up"
NOTE_ID = re.compile(r"p(\d+)b(\d+)e(\d+)n")


@dataclass(frozen=True, slots=True)
class MovementView:
    """One movement of a tune: its name, how often it comes, how it sits, and where."""

    name: str
    count: str
    sits: str
    where: str


@dataclass(frozen=True, slots=True)
class About:
    """What the band says of a tune."""

    key: str
    version: int
    title: str
    tags: tuple[Occasion, ...] = ()
    credits: Credits = field(default_factory=Credits)
    tonal_centre: str = ""
    permission: str = ""
    standard_setting: str = ""
    remarks: str = ""
    file_name: str = ""
    scan_kind: str = ""
    drum_file_name: str = ""
    drum_scan_kind: str = ""


@dataclass(frozen=True, slots=True)
class TuneView:
    """The page of a tune."""

    address: str
    version: str
    title: str
    facts: str
    length: str
    tags: tuple[str, ...]
    music: MusicView
    parts: tuple[str, ...]
    movements: tuple[MovementView, ...]
    findings: tuple[FindingView, ...]
    credits: tuple[tuple[str, str], ...]
    permission: str
    standard_setting: str
    remarks: str
    files: tuple[tuple[str, str], ...]
    exports: tuple[tuple[str, str], ...]
    recasts: tuple[str, ...]
    scan: str
    scan_is_picture: bool
    has_notes: bool
    division: DivisionView
    facts_of_music: TuneFacts


def tune_view(
    about: About,
    tune: Tune | None,
    findings: Iterable[Finding],
    movements: Sequence[tuple[str, Movement]],
    by_hand: Division,
    facts: TuneFacts,
) -> TuneView:
    """The page of a tune; ``tune`` None where its music cannot be read."""
    address = f"/tunes/{about.key}"
    return TuneView(
        address=address,
        version=str(about.version),
        title=about.title,
        facts=tune_facts(tune) if tune else "Its music cannot be read",
        length=_length(tune),
        tags=tuple(tag.words for tag in about.tags),
        music=music_view(tune) if tune else MusicView(),
        parts=(*map(part_words, tune.parts), *_order_words(tune)) if tune else (),
        movements=movement_views(movements),
        findings=tuple(finding_view(each) for each in (*findings, *facts.findings)),
        credits=_credits(about),
        permission=about.permission,
        standard_setting=about.standard_setting,
        remarks=about.remarks,
        files=_files(about),
        exports=_exports(about.key, tune),
        recasts=_recasts(tune),
        scan=f"/api{address}/attachment" if about.scan_kind else "",
        scan_is_picture=about.scan_kind.startswith("image/"),
        has_notes=bool(tune and tune.has_notes),
        division=division_view(tune, by_hand),
        facts_of_music=facts,
    )


def _length(tune: Tune | None) -> str:
    if tune is None:
        return ""
    bars = f"{counted(tune.bars_played, 'bar')} played once through"
    seconds = f", {length_words(tune.seconds(tune.tempo))}" if tune.tempo else ""
    return sentence_start(f"{bars}{seconds}.")


def _order_words(tune: Tune) -> tuple[str, ...]:
    """In which order the parts are played, where the file says another than the printed one."""
    numbers = [str(turn.part) for turn in tune.order]
    return (f"Played in the order part {', part '.join(numbers)}",) if numbers else ()


def part_words(part: Part) -> str:
    """``Part 2: eight bars with a pick-up, two endings, played twice``."""
    numbers = {bar.number for bar in part.full_bars}
    words = f"Part {part.number}: {counted(len(numbers), 'bar')}"
    words += " with a pick-up" if part.pickup else ""
    words += f", {counted(len(part.endings), 'ending')}" if part.endings else ""
    return f"{words}, {played_words(part.times)}"


def movement_views(movements: Sequence[tuple[str, Movement]]) -> tuple[MovementView, ...]:
    """Each movement once with its places, the most frequent first."""
    places: dict[tuple[str, str], list[str]] = {}
    for note_id, movement in movements:
        name = movement.name if movement.is_named else movement.in_words
        places.setdefault((name, str(movement.sits)), []).append(note_id)
    ordered = sorted(places.items(), key=lambda each: (-len(each[1]), each[0]))
    return tuple(
        MovementView(sentence_start(name), _times(len(found)), sits, sentence_start(_where(found)))
        for (name, sits), found in ordered
    )


def _where(note_ids: Sequence[str]) -> str:
    """``part 1, bars 1, 3 and 5; part 2, bar 8``."""
    bars: dict[str, list[str]] = {}
    for match in filter(None, map(NOTE_ID.match, note_ids)):
        part, bar, _ = match.groups()
        name = bar if bar != "0" else PICKUP
        if name not in bars.setdefault(part, []):
            bars[part].append(name)
    return "; ".join(f"part {part}, {_bars(found)}" for part, found in bars.items())


def _bars(names: Sequence[str]) -> str:
    bars = [name for name in names if name != PICKUP]
    words = f"{'bar' if len(bars) == 1 else 'bars'} {join_words(bars)}" if bars else ""
    return f"{PICKUP}{' and ' if bars else ''}{words}" if PICKUP in names else words


def _times(count: int) -> str:
    return {1: "once", 2: "twice"}.get(count, counted(count, "time"))


def _credits(about: About) -> tuple[tuple[str, str], ...]:
    told = about.credits
    named = (
        ("Composer", told.composer),
        ("Arranger", told.arranger),
        ("Origin", told.origin),
        ("Source", told.source),
        ("Written down by", told.transcriber),
        ("Tonal centre", about.tonal_centre),
    )
    return tuple((name, words) for name, words in named if words)


def _exports(key: str, music: Tune | None) -> tuple[tuple[str, str], ...]:
    """The tune as a file for other programs: (words, address); none without notes."""
    if music is None or not music.has_notes:
        return ()
    address = f"/tunes/{key}/music"
    played = (
        (f"MIDI, as played at {occasion.words}", f"{address}.mid?occasion={occasion}")
        for occasion in (Occasion.PARADE, Occasion.EXHIBITION)
    )
    return (("ABC", f"{address}.abc"), ("MusicXML", f"{address}.musicxml"), *played)


def _recasts(music: Tune | None) -> tuple[str, ...]:
    """The idioms this tune can be recast into."""
    if music is None or not music.has_notes or not can_be_recast(music):
        return ()
    return tuple(idiom for idiom in CASTS if idiom != music.idiom)


def _files(about: About) -> tuple[tuple[str, str], ...]:
    """The files of a tune as (words, address)."""
    address = f"/api/tunes/{about.key}"
    files = (
        (about.file_name, f"Music as uploaded: {about.file_name}", f"{address}/file"),
        (about.scan_kind, "The attached sheet", f"{address}/attachment"),
        (about.drum_file_name, f"Drum score: {about.drum_file_name}", f"{address}/drum-score"),
        (about.drum_scan_kind, "The scan of the drum score", f"{address}/drum-scan"),
    )
    return tuple((words, where) for is_there, words, where in files if is_there)
