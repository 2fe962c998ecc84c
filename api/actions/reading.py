"""Which tunes does an uploaded file hold, and may they be stored?

Reading needs no database; do it before the first question to one, since a MusicXML file takes its
time and a session for changing holds the library's lock from its first question on. What was read
is remembered by the file's content.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from api.actions.faults import RefusedMusicError, SeveralTunesError, TooLargeError, TuneOnOffer
from api.actions.memo import Memo
from api.storage.records import NewFile, TuneRecord
from api.storage.uploads import content_hash
from planner.divide import divide_parts, divide_phrases
from planner.errors import NotationError, RequestError
from planner.findings import Finding, Gravity
from planner.music.tempo import Tempo
from planner.music.tune import Credits, Tune, outline
from planner.notation.read import ReadTune, read_tunes

# How many files are remembered? A band's library has a few hundred tunes.
_read = Memo[tuple[ReadTune, ...]](limit=500)

UNREADABLE = "unreadable"


@dataclass(frozen=True, slots=True)
class LibraryTune:
    """A tune of the library with its music as the band plays it; None when it has none to read."""

    record: TuneRecord
    tune: Tune | None
    findings: tuple[Finding, ...] = ()


def read_music(file: NewFile, limit_bytes: int) -> tuple[ReadTune, ...]:
    """Every tune of a file, with its findings.

    Raises:
        TooLargeError: the file is larger than the limit.
        NotationError: no music can be read from it.
    """
    if len(file.content) > limit_bytes:
        raise TooLargeError(file.name, limit_bytes)
    return read_again(file.name, file.content, content_hash(file.content))


def read_again(name: str, content: bytes, digest: str) -> tuple[ReadTune, ...]:
    """Every tune of a file whose content has this hash; read once, then remembered.

    Raises:
        NotationError: no music can be read from it.
    """
    return _read.get((name, digest), lambda: read_tunes(name, content))


def forget_read() -> None:
    """Forget every file that was read, as at the start of the service."""
    _read.clear()


def is_remembered(name: str, digest: str) -> bool:
    """True when a file has been read already, so that its content need not be fetched."""
    return (name, digest) in _read


def choose_tunes(
    name: str, tunes: Sequence[ReadTune], numbers: Sequence[int] | None
) -> tuple[tuple[int, ReadTune], ...]:
    """The chosen tunes of a file with their numbers; ``numbers`` None when nobody chose.

    An empty choice means all.

    Raises:
        SeveralTunesError: the file holds several and nobody chose.
        RequestError: a number is not in the file.
    """
    numbered = dict(enumerate(tunes, start=1))
    if numbers is None and len(tunes) > 1:
        offer = tuple(TuneOnOffer(number, read.tune.title) for number, read in numbered.items())
        raise SeveralTunesError(name, offer)
    wanted = tuple(dict.fromkeys(numbers or numbered))
    for number in wanted:
        if number not in numbered:
            raise RequestError("tune", f"{name} has no tune {number}", f"choose 1 to {len(tunes)}")
    return tuple((number, numbered[number]) for number in wanted)


def refuse_music(name: str, reads: Sequence[ReadTune]) -> None:
    """Stop when one of the tunes may not be stored.

    Raises:
        RefusedMusicError: a tune has a finding of the gravity ``refuse``.
    """
    for read in reads:
        grave = [finding for finding in read.findings if finding.gravity is Gravity.REFUSE]
        if grave:
            raise RefusedMusicError(name, read.tune.title, read.findings, str(grave[0]).rstrip("."))


def library_tune(record: TuneRecord, content: bytes) -> LibraryTune:
    """A stored tune with its music: the file's, with what the band says laid over it."""
    if record.file is None:
        return outlined_tune(record)
    try:
        read = read_again(record.file.name, content, record.file.sha256)[record.file_number - 1]
    except (NotationError, IndexError) as error:
        # Stored files were readable once; a tune must stay in the library when they are not.
        sentence = str(error) if isinstance(error, NotationError) else "the file has fewer tunes"
        return LibraryTune(record, None, (Finding(UNREADABLE, sentence, record.title),))
    return _divided(record, read.tune, read.findings)


def outlined_tune(record: TuneRecord) -> LibraryTune:
    """A tune without notes: bars and parts only."""
    if record.outline is None:
        return LibraryTune(record, None)
    built = outline(record.title, record.outline.metre, record.outline.parts)
    return _divided(record, built, ())


def _divided(record: TuneRecord, read: Tune, findings: tuple[Finding, ...]) -> LibraryTune:
    """The tune with parts and phrases where the band set them, as far as they fit its music."""
    tune = as_the_band_has_it(record, read)
    try:
        return LibraryTune(record, divide(record, tune), findings)
    except RequestError as misfit:
        # Another file was put in its place: what was set stays on file until somebody looks at it.
        text = f"the parts and phrases set by hand do not fit this music: {misfit.problem}"
        return LibraryTune(record, tune, (*findings, Finding("division_misfit", text)))


def divide(record: TuneRecord, tune: Tune) -> Tune:
    """The tune with parts and phrases where the band set them.

    Raises:
        RequestError: they do not fit its music.
    """
    return divide_phrases(divide_parts(tune, record.part_starts), record.phrase_starts)


def as_the_band_has_it(record: TuneRecord, tune: Tune) -> Tune:
    """The tune as read, with the band's title, idiom, tempo, phrases and credits laid over it."""
    return replace(
        tune,
        title=record.title,
        idiom=record.idiom or tune.idiom,
        tempo=Tempo(record.tempo_bpm) if record.tempo_bpm else tune.tempo,
        phrase_bars=record.phrase_bars or tune.phrase_bars,
        line_bars=record.line_bars or tune.line_bars,
        credits=_credits(record.credits, tune.credits),
    )


def _credits(own: Credits, read: Credits) -> Credits:
    return Credits(
        composer=own.composer or read.composer,
        arranger=own.arranger or read.arranger,
        origin=own.origin or read.origin,
        source=own.source or read.source,
        transcriber=own.transcriber or read.transcriber,
        notes=read.notes,
    )
