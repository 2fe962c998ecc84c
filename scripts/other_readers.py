"""What do music21 and Verovio hear in an ABC tune or a MusicXML score?

Both answer in the form of ``Event``: notes with their pitch and length, repeat signs and endings,
in order, with gracenotes told apart. Each tune is read in a forked child, since one library can
take minutes and the other can crash or keep the key of the tune before; a child that dies or
overruns is an answer too (None). The file runs as a program of its own: JSON texts come in line by
line, JSON events go out.

    python -m scripts.other_readers music21|verovio abc|musicxml
"""

from __future__ import annotations

import json
import os
import select
import signal
import subprocess
import sys
import xml.etree.ElementTree as ElementTree
from collections.abc import Callable, Iterable, Iterator
from fractions import Fraction
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parent.parent
READERS = ("music21", "verovio")
TIME_LIMIT_S = 20.0

Event = tuple[str, str]
"""``("note", "74 1/2")`` (MIDI number or ``rest``, crotchets), ``("grace", "79")``,
``("opens", "")``, ``("closes", "")``, ``("ending", "1")``."""


def heard(reader: str, form: str, texts: Iterable[str]) -> list[list[Event] | None]:
    """What a reader hears in each text, in a process of its own; None where it fails."""
    command = [sys.executable, "-m", "scripts.other_readers", reader, form]
    asked = "".join(json.dumps(text) + "\n" for text in texts)
    answer = subprocess.run(
        command, cwd=ROOT, input=asked, capture_output=True, text=True, check=True
    )
    lines = [json.loads(line) for line in answer.stdout.splitlines()]
    return [line and [(kind, value) for kind, value in line] for line in lines]


# -- the program -----------------------------------------------------------------------------------


def main(arguments: list[str]) -> int:
    """Answer every line of input with a line of output."""
    reader, form = arguments
    hear = _ready(reader, form)
    for line in sys.stdin:
        answer = _in_a_child(hear, json.loads(line))
        print(answer or "null", flush=True)
    return 0


def _ready(reader: str, form: str) -> Callable[[str], Iterable[Event]]:
    if reader == "music21":
        from music21 import converter  # noqa: PLC0415 - heavy; the other reader does not need it

        return lambda text: _events_of_music21(converter.parseData(text, format=form))
    import verovio  # noqa: PLC0415 - as above

    verovio.enableLog(verovio.LOG_OFF)
    return lambda text: _events_of_verovio(verovio.toolkit(), text, form)


def _in_a_child(hear: Callable[[str], Iterable[Event]], text: str) -> str:
    """The events as JSON, empty when the child crashed, raised or took too long."""
    end, start = os.pipe()
    child = os.fork()
    if child == 0:
        _answer_and_leave(hear, text, start)
    os.close(start)
    answer = _read_within(end, TIME_LIMIT_S)
    if answer is None:
        os.kill(child, signal.SIGKILL)
    os.close(end)
    os.waitpid(child, 0)
    return answer or ""


def _answer_and_leave(hear: Callable[[str], Iterable[Event]], text: str, pipe: int) -> None:
    silence = os.open(os.devnull, os.O_WRONLY)
    os.dup2(silence, 1)
    os.dup2(silence, 2)
    try:
        with os.fdopen(pipe, "w") as out:
            out.write(json.dumps(list(hear(text))))
    finally:
        os._exit(0)


def _read_within(pipe: int, seconds: float) -> str | None:
    pieces = []
    while True:
        ready, _, _ = select.select([pipe], [], [], seconds)
        if not ready:
            return None
        piece = os.read(pipe, 1 << 16)
        if not piece:
            return b"".join(pieces).decode()
        pieces.append(piece)


# -- music21 ---------------------------------------------------------------------------------------


def _events_of_music21(score: Any) -> Iterator[Event]:
    staff = next(iter(score.parts), score) if score.isStream else score
    endings = {
        id(bracket.getFirst()): ",".join(map(str, bracket.numberRange))
        for bracket in score.recurse().getElementsByClass("RepeatBracket")
    }
    measures = list(staff.getElementsByClass("Measure")) or [staff]
    for measure in measures:
        yield from _bar_of_music21(measure, endings.get(id(measure), ""))


def _bar_of_music21(measure: Any, ending: str) -> Iterator[Event]:
    left = getattr(measure, "leftBarline", None)
    right = getattr(measure, "rightBarline", None)
    if getattr(left, "direction", "") == "end":
        yield "closes", ""
    if getattr(left, "direction", "") == "start":
        yield "opens", ""
    if ending:
        yield "ending", ending
    sounds = measure.recurse().notesAndRests if measure.isStream else []
    for sound in sounds:
        if "Harmony" not in sound.classes:
            yield _sound_of_music21(sound)
    if getattr(right, "direction", "") == "end":
        yield "closes", ""
    if getattr(right, "direction", "") == "start":
        yield "opens", ""


def _sound_of_music21(sound: Any) -> Event:
    pitch = "rest"
    if not sound.isRest:
        pitch = str((sound.notes[0] if sound.isChord else sound).pitch.midi)
    if sound.duration.isGrace:
        return "grace", pitch
    return "note", f"{pitch} {Fraction(sound.duration.quarterLength)}"


# -- Verovio ---------------------------------------------------------------------------------------

_SEMITONES = {"c": 0, "d": 2, "e": 4, "f": 5, "g": 7, "a": 9, "b": 11}
_ALTERATIONS = {"s": 1, "f": -1, "n": 0, "ss": 2, "x": 2, "ff": -2}


def _events_of_verovio(toolkit: Any, text: str, form: str) -> Iterator[Event]:
    toolkit.setOptions({"inputFrom": "abc" if form == "abc" else "xml"})
    if not toolkit.loadData(text):
        raise ValueError("Verovio could not read it")
    root = ElementTree.fromstring(toolkit.getMEI())
    for element in root.iter():
        element.tag = element.tag.rpartition("}")[2]
    body = root.find(".//body")
    assert body is not None
    yield from _signs_of_verovio(body)


def _signs_of_verovio(parent: ElementTree.Element) -> Iterator[Event]:
    for element in parent:
        if element.tag == "measure":
            yield from _bar_of_verovio(element)
        elif element.tag == "ending":
            yield "ending", element.get("n", "").replace(" ", "").rstrip(".")
            yield from _signs_of_verovio(element)
        else:
            yield from _signs_of_verovio(element)


def _bar_of_verovio(measure: ElementTree.Element) -> Iterator[Event]:
    left, right = measure.get("left", ""), measure.get("right", "")
    if left in ("rptend", "rptboth"):
        yield "closes", ""
    if left in ("rptstart", "rptboth"):
        yield "opens", ""
    layer = measure.find(".//layer")
    if layer is not None:
        yield from _sounds_of_verovio(layer, Fraction(1), {})
    if right in ("rptend", "rptboth"):
        yield "closes", ""
    if right in ("rptstart", "rptboth"):
        yield "opens", ""


def _sounds_of_verovio(
    parent: ElementTree.Element, factor: Fraction, written: dict[str, int]
) -> Iterator[Event]:
    for element in parent:
        if element.tag == "tuplet":
            inner = Fraction(int(element.get("numbase", "1")), int(element.get("num", "1")))
            yield from _sounds_of_verovio(element, factor * inner, written)
        elif element.tag in ("note", "rest", "space", "chord", "mRest", "multiRest"):
            yield _sound_of_verovio(element, factor, written)
        else:
            yield from _sounds_of_verovio(element, factor, written)


def _sound_of_verovio(
    element: ElementTree.Element, factor: Fraction, written: dict[str, int]
) -> Event:
    notes = element.findall("note") if element.tag == "chord" else [element]
    pitches = [str(_midi(note, written)) for note in notes if note.get("pname")]
    pitch = pitches[0] if pitches else "rest"
    if element.get("grace") or any(note.get("grace") for note in notes):
        return "grace", pitch
    return "note", f"{pitch} {_length(element) * factor}"


def _midi(note: ElementTree.Element, written: dict[str, int]) -> int:
    """The note as it stands on the staff: an accidental ``written`` holds to the end of the bar."""
    child = note.find("accid")
    signs = [note.get("accid"), child.get("accid") if child is not None else None]
    line = note.get("pname", "c") + note.get("oct", "4")
    for sign in signs:
        if sign in _ALTERATIONS:
            written[line] = _ALTERATIONS[sign]
    heard = note.get("accid.ges") or (child.get("accid.ges") if child is not None else None)
    alter = written.get(line, _ALTERATIONS.get(heard or "n", 0))
    return 12 * (int(note.get("oct", "4")) + 1) + _SEMITONES[note.get("pname", "c")] + alter


def _length(element: ElementTree.Element) -> Fraction:
    if "dur" not in element.attrib:
        return Fraction(0)
    names = {"breve": Fraction(8), "long": Fraction(16)}
    name = element.get("dur", "4")
    whole = names.get(name) or Fraction(4, int(name))
    return whole * (2 - Fraction(1, 2 ** int(element.get("dots", "0"))))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
