"""Which tunes does a file hold, whatever open format it is in?

The one entrance to notation: the format is told by content first and by the file's name second.
Only a file that cannot be read at all raises; everything else comes back with findings.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from planner.errors import NotationError
from planner.findings import Finding, Gravity
from planner.notation.abc import read_abc
from planner.notation.abc_limits import refuse_what_no_tune_has
from planner.notation.check import check_tune
from planner.notation.formats import Format, format_of
from planner.notation.imported import read_imported
from planner.notation.readtune import ReadTune

__all__ = ["ReadTune", "read_tune", "read_tunes", "refuse"]

# How large may a music file be? A book of a thousand tunes has half a megabyte.
MOST_BYTES = 2_000_000


def read_tunes(name: str, content: bytes) -> tuple[ReadTune, ...]:
    """The tunes of a music file in order, each with its findings.

    ``name`` is the file's name, for messages and as a hint of the format.

    Raises:
        NotationError: the file is empty, too large, or holds no music that can be read.
    """
    _refuse_size(name, content)
    tunes, findings = _read(name, content)
    if not tunes:
        raise NotationError(
            name,
            "",
            "no tune was found in it",
            "give a file in ABC, MusicXML, MEI or MIDI; an ABC tune begins with an X: line",
        )
    return tuple(_checked(read, findings) for read in tunes)


def read_tune(name: str, content: bytes) -> ReadTune:
    """The tune of a file that holds one.

    Raises:
        NotationError: as ``read_tunes``, or the file holds several tunes.
    """
    tunes = read_tunes(name, content)
    if len(tunes) > 1:
        titles = ", ".join(read.tune.title for read in tunes[:5])
        raise NotationError(
            name, "", f"it holds {len(tunes)} tunes ({titles} ...)", "choose one of them"
        )
    return tunes[0]


def refuse(name: str, findings: Iterable[Finding]) -> None:
    """Stop at the first finding that refuses a tune.

    Raises:
        NotationError: one of the findings has the gravity ``refuse``.
    """
    for finding in findings:
        if finding.gravity is Gravity.REFUSE:
            problem, _, remedy = finding.text.partition("; ")
            remedy = remedy or "correct it and try again"
            raise NotationError(name, finding.where, problem, remedy)


def _checked(read: ReadTune, findings: tuple[Finding, ...]) -> ReadTune:
    return replace(read, findings=(*findings, *read.findings, *check_tune(read.tune)))


def _refuse_size(name: str, content: bytes) -> None:
    if not content.strip():
        raise NotationError(name, "", "the file is empty", "choose a file that holds a tune")
    if len(content) > MOST_BYTES:
        size = f"{len(content) / 1e6:.1f} MB"
        raise NotationError(
            name,
            "",
            f"the file has {size}, more than the 2 MB allowed",
            "split it into smaller ones",
        )


def _read(name: str, content: bytes) -> tuple[tuple[ReadTune, ...], tuple[Finding, ...]]:
    kind = format_of(name, content)
    if kind is not Format.ABC:
        return read_imported(name, content, kind), ()
    text, findings = decoded(name, content)
    refuse_what_no_tune_has(name, text)
    return read_abc(text), findings


def decoded(name: str, content: bytes) -> tuple[str, tuple[Finding, ...]]:
    """The text of a file in UTF-8, UTF-16 with a mark, or else the old Western European code.

    Raises:
        NotationError: the bytes are no text.
    """
    if content[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return content.decode("utf-16", errors="replace"), ()
    findings: tuple[Finding, ...] = ()
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = content.decode("cp1252", errors="replace")
        note = "the file is not in UTF-8; letters with accents may be read wrongly"
        findings = (Finding("encoding", note, "", Gravity.NOTE),)
    odd = sum(character < " " and character not in "\t\n\r\f\x1a" for character in text[:4000])
    if odd > len(text[:4000]) // 100:
        raise NotationError(
            name, "", "it is no music file that can be read", "give ABC, MusicXML, MEI or MIDI"
        )
    return text, findings
