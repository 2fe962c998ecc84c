"""What does a person do with tunes? Upload, outline, look, change, attach, remove.

Each function takes a session and the band, does one whole thing and commits it; ``seen`` is the
version the person saw (None: any). Forms are the library's own ``TuneRecord``; its key and files
are not looked at when something is written.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

from api.actions.attachments import check_attachment
from api.actions.music import read_with, with_music
from api.actions.reading import (
    LibraryTune,
    choose_tunes,
    divide,
    outlined_tune,
    read_music,
    refuse_music,
)
from api.actions.shelf import shelve
from api.storage import tunes as stored
from api.storage.database import BandId, Session
from api.storage.faults import InUseError, NotFoundError
from api.storage.records import Kept, NewFile, StoredFile, TuneRecord
from api.storage.uploads import contents_of
from planner.errors import RequestError
from planner.event.event import Occasion
from planner.music.tune import Tune
from planner.notation.read import ReadTune
from planner.rules.rulebook import RuleBook

# What is a file of a tune called, by its use?
AT_ONCE = 100
"""How many tunes are read and told at once?"""

USES = {
    "file": "music file",
    "attachment": "attachment",
    "drum_file": "drum score",
    "drum_scan": "scan of the drum score",
}


@dataclass(frozen=True, slots=True)
class ReadFile:
    """A file that was read and may be stored: its chosen tunes by number."""

    file: NewFile
    chosen: tuple[tuple[int, ReadTune], ...]


def read_upload(file: NewFile, numbers: Sequence[int] | None, limit_bytes: int) -> ReadFile:
    """Read an uploaded file; nothing is stored. ``numbers`` None: nobody chose; empty: all.

    Raises:
        TooLargeError, NotationError: the file cannot be read.
        SeveralTunesError, RequestError: the choice is missing or wrong.
        RefusedMusicError: a chosen tune may not be stored.
    """
    chosen = choose_tunes(file.name, read_music(file, limit_bytes), numbers)
    refuse_music(file.name, [read for _, read in chosen])
    return ReadFile(file, chosen)


def keep_upload(
    session: Session,
    band: BandId,
    read: ReadFile,
    tags: tuple[Occasion, ...] = (),
    permission: str = "",
) -> tuple[Kept[LibraryTune], ...]:
    """Store the chosen tunes of a file that was read: all of them, or none."""
    kept = [
        stored.add_tune(session, band, _as_uploaded(number, each.tune, tags, permission), read.file)
        for number, each in read.chosen
    ]
    shelve(session, band)
    session.commit()
    return tuple(read_with(each, read.file.content) for each in kept)


def add_outline(
    session: Session,
    band: BandId,
    record: TuneRecord,
    rulebook: RuleBook,
    attachment: NewFile | None = None,
) -> Kept[LibraryTune]:
    """Store a tune that is known by its outline only.

    Raises:
        RequestError: it has no outline, parts that do not fit it, or an idiom the rule book does
            not know.
        TooLargeError, WrongKindError: the attachment cannot be kept.
    """
    if record.outline is None:
        raise RequestError("outline", "a tune needs notes or an outline", "give metre and parts")
    check_idiom(record.idiom, rulebook)
    if attachment is not None:
        attachment = check_attachment(attachment)
    bare = outlined_tune(replace(record, part_starts=(), phrase_starts=())).tune
    assert bare is not None
    divide(record, bare)
    kept = stored.add_tune(session, band, record, attachment=attachment)
    shelve(session, band)
    session.commit()
    return read_with(kept, b"")


def page_of_tunes(
    session: Session, band: BandId, page: int
) -> tuple[tuple[Kept[LibraryTune], ...], bool]:
    """The tunes of one page (from 1) with their music, by title, and whether there are more."""
    found = stored.some_tunes(session, band, (page - 1) * AT_ONCE, AT_ONCE + 1)
    return with_music(session, band, found[:AT_ONCE]), len(found) > AT_ONCE


def titles_of_tunes(session: Session, band: BandId) -> tuple[tuple[str, str], ...]:
    """Every tune as (key, title), by title, without its music."""
    return tuple((kept.noun.key, kept.noun.title) for kept in stored.list_tunes(session, band))


def one_tune(session: Session, band: BandId, number: int) -> Kept[LibraryTune]:
    """One tune with its music.

    Raises:
        NotFoundError: the band has no such tune.
    """
    kept = stored.find_tune(session, band, number)
    if kept is None:
        raise NotFoundError("tune", number)
    return with_music(session, band, (kept,))[0]


def change_tune(
    session: Session,
    band: BandId,
    number: int,
    seen: int | None,
    record: TuneRecord,
    rulebook: RuleBook,
) -> Kept[LibraryTune]:
    """Change what the band says of a tune; the outline counts only where there are no notes.

    Raises:
        NotFoundError, StaleError: it is gone, or changed since it was seen.
        RequestError: an idiom the rule book does not know, no outline where one is needed, or parts
            and phrases that do not fit the music.
    """
    check_idiom(record.idiom, rulebook)
    present = one_tune(session, band, number)
    has_file = present.noun.record.file is not None
    if not has_file and record.outline is None:
        raise RequestError("outline", "a tune needs notes or an outline", "give metre and parts")
    wanted = replace(record, outline=None) if has_file else record
    divided(session, band, present, wanted)
    kept = stored.change_tune(session, band, number, seen, wanted)
    shelve(session, band)
    session.commit()
    return with_music(session, band, (kept,))[0]


def change_parts(
    session: Session, band: BandId, number: int, seen: int | None, starts: Sequence[int]
) -> Kept[LibraryTune]:
    """Say in which bars the parts of a tune begin; none: as they are written.

    Phrases set by hand are kept while there are as many parts as before.

    Raises:
        NotFoundError, StaleError: the tune is gone, or changed since it was seen.
        RequestError: a boundary does not fit the tune, or would change what is played.
    """
    present = one_tune(session, band, number)
    record = replace(present.noun.record, part_starts=tuple(starts))
    built = divided(session, band, present, replace(record, phrase_starts=()))
    if built is None or len(built.parts) != len(record.phrase_starts):
        record = replace(record, phrase_starts=())
    return _change_division(session, band, present, seen, record)


def change_phrases(
    session: Session, band: BandId, number: int, seen: int | None, starts: Sequence[Sequence[int]]
) -> Kept[LibraryTune]:
    """Say in which bars the phrases of each part begin; none for a part: as usual.

    Raises:
        NotFoundError, StaleError: the tune is gone, or changed since it was seen.
        RequestError: a phrase does not fit its part.
    """
    present = one_tune(session, band, number)
    own = tuple(tuple(part) for part in starts)
    record = replace(present.noun.record, phrase_starts=own if any(own) else ())
    return _change_division(session, band, present, seen, record)


def _change_division(
    session: Session,
    band: BandId,
    present: Kept[LibraryTune],
    seen: int | None,
    record: TuneRecord,
) -> Kept[LibraryTune]:
    divided(session, band, present, record)
    kept = stored.change_tune(session, band, present.id, seen, record)
    shelve(session, band)
    session.commit()
    return with_music(session, band, (kept,))[0]


def divided(
    session: Session, band: BandId, present: Kept[LibraryTune], wanted: TuneRecord
) -> Tune | None:
    """The tune with the wanted parts and phrases; None where its music cannot be read.

    Raises:
        RequestError: they do not fit.
    """
    stored_now = present.noun.record
    plain = replace(
        wanted,
        part_starts=(),
        phrase_starts=(),
        file=stored_now.file,
        file_number=stored_now.file_number,
    )
    (read,) = with_music(
        session, band, (Kept(present.id, present.version, present.changed_at, plain),)
    )
    return None if read.noun.tune is None else divide(wanted, read.noun.tune)


def replace_music(
    session: Session, band: BandId, number: int, seen: int | None, read: ReadFile
) -> Kept[LibraryTune]:
    """Put another file, with one tune chosen, in place of a tune's music.

    Raises:
        NotFoundError, StaleError: the tune is gone, or changed since it was seen.
        RequestError: not exactly one tune is chosen.
    """
    if len(read.chosen) != 1:
        raise RequestError("tune", f"{len(read.chosen)} tunes are chosen", "choose one")
    kept = stored.change_file(
        session, band, number, seen, "file", read.file, file_number=read.chosen[0][0]
    )
    shelve(session, band)
    session.commit()
    return read_with(kept, read.file.content)


def attach(
    session: Session,
    band: BandId,
    number: int,
    seen: int | None,
    attachment: NewFile | None,
    use: Literal["attachment", "drum_scan"] = "attachment",
) -> Kept[LibraryTune]:
    """Attach a PDF or picture of the music or of the drum score to a tune, or (None) take it away.

    Raises:
        NotFoundError, StaleError: the tune is gone, or changed since it was seen.
        WrongKindError: the file is neither PDF, PNG nor JPEG.
    """
    checked = check_attachment(attachment) if attachment else None
    kept = stored.change_file(session, band, number, seen, use, checked)
    shelve(session, band)
    session.commit()
    return with_music(session, band, (kept,))[0]


def file_of_tune(session: Session, band: BandId, number: int, use: str = "file") -> NewFile:
    """A file of a tune as it was uploaded: ``file``, ``attachment``, ``drum_file``, ``drum_scan``.

    Raises:
        NotFoundError: the band has no such tune, or the tune no such file.
    """
    record = one_tune(session, band, number).noun.record
    file: StoredFile | None = getattr(record, use)
    if file is None:
        raise NotFoundError(f"{USES[use]} of tune", number)
    return NewFile(file.name, file.media_type, contents_of(session, band, [file.id])[file.id])


def remove_tune(session: Session, band: BandId, number: int, seen: int | None) -> None:
    """Remove a tune that no set needs.

    Raises:
        NotFoundError, StaleError: the tune is gone, or changed since it was seen.
        InUseError: a set needs it.
    """
    title = one_tune(session, band, number).noun.record.title
    users = stored.sets_with_tune(session, band, number)
    if users:
        sets = "the set " + ", ".join(f"“{name}”" for name in users)
        raise InUseError("tune", title, sets, "take it out there first, then remove it")
    stored.remove_tune(session, band, number, seen)
    session.commit()


def check_idiom(idiom: str | None, rulebook: RuleBook) -> None:
    """Stop at an idiom that the rule book does not know.

    Raises:
        RequestError: the name is unknown; it lists the known ones.
    """
    known = [name.replace("_", " ") for name in rulebook.names("idioms")]
    if idiom is not None and idiom not in known:
        raise RequestError("idiom", f"“{idiom}” is not known", f"choose {', '.join(known)}")


def _as_uploaded(
    number: int, tune: Tune, tags: tuple[Occasion, ...], permission: str
) -> TuneRecord:
    credits = replace(tune.credits, notes=())
    return TuneRecord(
        key="",
        title=tune.title,
        tags=tags,
        credits=credits,
        permission=permission,
        file_number=number,
    )
