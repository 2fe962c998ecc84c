"""What does a broken music file look like?

Seeds are sound files of every format; ``mutated`` breaks one of them in a few places, by the pieces
the format is made of, so that most of what comes out still gets past the first check. ``BOMBS`` are
files made to exhaust a reader: each is small or cheap to make, and each must be refused or read in
little time and memory.
"""

from __future__ import annotations

import io
import random
import re
import zipfile
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from planner.engraving.score import write_musicxml
from planner.notation.midi_file import Sound
from planner.notation.read import read_tune

TUNES = Path(__file__).resolve().parent.parent / "seed_data" / "tunes"
LONGEST = 20_000
_PIECES = re.compile(
    rb"<[^<>]*>|[A-Za-z]:[^\n|]*|%%[^\n]*|\{[^}\n]*\}|\"[^\"\n]*\"|![^!\n]*!|\[[^\]\n]*\]|"
    rb"[|:\]]+[1-9]?|\([0-9](?::[0-9]*)*|[_^=]*[A-Ga-gxyzZX][,']*[0-9/]*|\d+|[<>]+|\s+|[^\s]",
)
_ODD = [
    b"",
    b"0",
    b"-1",
    b"999999999999",
    b"1/0",
    b"\x00",
    b"\xff",
    b"\n\n",
    b"|:",
    b":|",
    b"[1",
    b"|]",
    b"(3",
    b"(9:0:9",
    b"(1:1:1",
    b">>>>",
    b"{",
    b"}",
    b"[",
    b"]",
    b'"',
    b"!",
    b"&",
    b"\\\n",
    b"K:",
    b"\nM:0/0\n",
    b"\nM:9999/1\n",
    b"\nL:1/0\n",
    b"\nL:1/99999999\n",
    b"\nQ:1/4=0\n",
    b"\nK:HP\n",
    b"\nX:1\n",
    b"\nV:2\n",
    b"\nP:A9999B\n",
    b"-",
    b"z99999",
    b"Z9999",
    b"c/99999999",
    b"c////////",
    b"<chord/>",
    b"<grace/>",
    b"<backup><duration>99999</duration></backup>",
    b"<duration>0</duration>",
    b"<note/>",
    b"<measure/>",
    b"<part/>",
    b"&amp;",
    b"\xe2\x80\x8f",
    b"\r",
    b"\x1a",
    b"<x:y>",
    b"-0.5",
]


def seeds() -> list[bytes]:
    """Sound files: each demo tune as ABC, some as MusicXML and compressed, and a MIDI file.

    One score has a second pipe voice.
    """
    from planner.notation.imported import write_midi  # noqa: PLC0415 - starts a process

    songs = [path.read_bytes() for path in sorted(TUNES.glob("*.abc"))]
    scores = [
        write_musicxml(read_tune(path.name, path.read_bytes()).tune).encode()
        for path in sorted(TUNES.glob("*.abc"))[::5]
    ]
    first = read_tune("first.abc", songs[0]).tune
    scores.append(write_musicxml(replace(first, harmonies=(first.parts,))).encode())
    midi = write_midi([Sound(69, 0.0, 400.0), Sound(71, 400.0, 800.0)])
    return [*songs, *scores, zipped(scores[0]), midi]


def mutated(data: bytes, chance: random.Random, others: list[bytes]) -> bytes:
    """A file with one to six pieces left out, doubled, swapped, put from elsewhere or made odd."""
    if not data or chance.random() < 0.05:
        return chance.randbytes(chance.randrange(1, 200))
    pieces = _PIECES.findall(data[:LONGEST]) or [data]
    for _ in range(chance.randrange(1, 7)):
        chance.choice(_CHANGES)(pieces, chance, others)
        pieces = pieces or [b"X:1\nK:HP\n"]
    return b"".join(pieces)[:LONGEST]


def _leave_out(pieces: list[bytes], chance: random.Random, _: list[bytes]) -> None:
    start = chance.randrange(len(pieces))
    del pieces[start : start + chance.choice((1, 1, 2, 5, 40))]


def _double(pieces: list[bytes], chance: random.Random, _: list[bytes]) -> None:
    start = chance.randrange(len(pieces))
    run = pieces[start : start + chance.choice((1, 3, 20))]
    pieces[start:start] = run * chance.choice((1, 2, 50))


def _swap(pieces: list[bytes], chance: random.Random, _: list[bytes]) -> None:
    one, other = chance.randrange(len(pieces)), chance.randrange(len(pieces))
    pieces[one], pieces[other] = pieces[other], pieces[one]


def _put_from_elsewhere(pieces: list[bytes], chance: random.Random, others: list[bytes]) -> None:
    found = _PIECES.findall(chance.choice(others)[:LONGEST])
    if found:
        start = chance.randrange(len(found))
        place = chance.randrange(len(pieces))
        pieces[place:place] = found[start : start + chance.choice((1, 4, 30))]


def _make_odd(pieces: list[bytes], chance: random.Random, _: list[bytes]) -> None:
    pieces[chance.randrange(len(pieces))] = chance.choice(_ODD)


def _put_odd(pieces: list[bytes], chance: random.Random, _: list[bytes]) -> None:
    pieces.insert(chance.randrange(len(pieces) + 1), chance.choice(_ODD))


def _flip(pieces: list[bytes], chance: random.Random, _: list[bytes]) -> None:
    place = chance.randrange(len(pieces))
    piece = bytearray(pieces[place])
    if piece:
        piece[chance.randrange(len(piece))] ^= 1 << chance.randrange(8)
    pieces[place] = bytes(piece)


_CHANGES: tuple[Callable[[list[bytes], random.Random, list[bytes]], None], ...] = (
    _leave_out,
    _double,
    _swap,
    _put_from_elsewhere,
    _make_odd,
    _put_odd,
    _put_odd,
    _flip,
)


def zipped(score: bytes, name: str = "score.musicxml") -> bytes:
    """A compressed MusicXML file of one score."""
    kept = io.BytesIO()
    with zipfile.ZipFile(kept, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr(name, score)
    return kept.getvalue()


def _entities() -> bytes:
    names = "".join(f'<!ENTITY e{n} "{f"&e{n - 1};" * 10}">' for n in range(1, 12))
    return f'<!DOCTYPE score-partwise [<!ENTITY e0 "ha">{names}]><score-partwise>&e11;'.encode()


def _outside_entity() -> bytes:
    return b'<!DOCTYPE mei [<!ENTITY x SYSTEM "file:///etc/hostname">]><mei>&x;</mei>'


def _many_measures() -> bytes:
    bars = b"<measure><note><rest/><duration>1</duration></note></measure>" * 30_000
    return b'<score-partwise><part id="P1">' + bars + b"</part></score-partwise>"


def _weeks_of_midi() -> bytes:
    """A note that ends after six days of music."""
    track = bytes.fromhex("00 90455a ffffff7f 804500 00 ff2f00")
    head = b"MThd\x00\x00\x00\x06\x00\x00\x00\x01\x01\xf4"
    return head + b"MTrk" + len(track).to_bytes(4, "big") + track


BOMBS: dict[str, Callable[[], bytes]] = {
    "entities within entities": _entities,
    "an entity from outside": _outside_entity,
    "a zip of 200 MB of nothing": lambda: zipped(b"<score-partwise>" + bytes(200_000_000)),
    "a zip within a zip": lambda: zipped(zipped(bytes(5_000_000)), "score.xml"),
    "a hundred thousand elements deep": lambda: b"<score-partwise>" + b"<a>" * 100_000,
    "thirty thousand bars of XML": _many_measures,
    "six days of MIDI": _weeks_of_midi,
    "a line of 10 MB": lambda: b"X:1\nK:HP\n" + b"A" * 10_000_000,
    "a line of 2 MB of notes": lambda: b"X:1\nK:HP\n" + b"A" * 1_990_000,
    "2 MB of bar lines": lambda: b"X:1\nK:HP\n" + b"|:A:|" * 390_000,
    "2 MB of opened gracenotes": lambda: b"X:1\nK:HP\n" + b"{" * 1_990_000,
    "2 MB of opened brackets": lambda: b"X:1\nK:HP\n" + b"[" * 1_990_000,
    "2 MB of opened triplets": lambda: b"X:1\nK:HP\n" + b"(3" * 990_000,
    "2 MB of broken rhythm": lambda: b"X:1\nK:HP\nA" + b">" * 1_990_000 + b"B",
    "2 MB of accidentals": lambda: b"X:1\nK:HP\n" + b"^" * 1_990_000 + b"c",
    "2 MB of octave marks": lambda: b"X:1\nK:HP\nc" + b"'" * 1_990_000,
    "2 MB of digits": lambda: b"X:1\nK:HP\nc" + b"9" * 1_990_000,
    "2 MB of slashes": lambda: b"X:1\nK:HP\nc" + b"/" * 1_990_000,
    "2 MB of continued lines": lambda: b"X:1\nK:HP\n" + b"A\\\n" * 660_000,
    "two hundred thousand tunes": lambda: b"X:1\nK:HP\nA\n\n" * 150_000,
    "2 MB of titles": lambda: b"X:1\n" + b"T:a\n" * 490_000 + b"K:HP\nA|",
    "2 MB of quotes": lambda: b"X:1\nK:HP\n" + b'"' * 1_990_001,
    "a part played a million times": lambda: b"X:1\nP:((((A9)99)99)99)99\nK:HP\nP:A\nA4|",
}
