"""Tiny makers of nouns for tests: the reader of a test sees the music, not the plumbing."""

from dataclasses import replace

from planner.findings import Gravity
from planner.music.tempo import Tempo
from planner.music.tune import Tune
from planner.notation.abc import read_abc


def tune(
    body: str,
    *,
    idiom: str | None = None,
    tempo: float | None = None,
    length: str = "1/8",
    title: str = "Test tune",
    key: str = "HP",
    rhythm: str = "",
    header: str = "",
) -> Tune:
    """A tune from a metre and an ABC body: ``tune("2/4 | A2 B2 | c4 |]", tempo=84)``.

    ``length`` is the unit note length, ``tempo`` counts felt beats a minute, ``idiom`` is set as
    given, ``rhythm`` becomes the ``R:`` line, ``header`` may hold more ABC header lines. The body
    is not checked for bars that add up; signs that cannot be read fail the test at once.
    """
    metre, _, music = body.strip().partition(" ")
    lines = ["X:1", f"T:{title}", f"R:{rhythm}", f"M:{metre}", f"L:{length}"]
    lines += [line for line in header.splitlines() if line]
    lines += [f"%%pacestick-idiom {idiom}"] if idiom else []
    text = "\n".join([*lines, f"K:{key}", music.strip(), ""])
    (read,) = read_abc(text)
    refused = [str(one) for one in read.findings if one.gravity is Gravity.REFUSE]
    assert not refused, refused
    return _with_tempo(read.tune, tempo)


def _with_tempo(built: Tune, tempo: float | None) -> Tune:
    return built if tempo is None else replace(built, tempo=Tempo(tempo))
