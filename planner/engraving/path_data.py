"""How does a path of an SVG look when it is moved and scaled?

Reads the path data of SVG 1.1 (all commands, absolute and relative) into absolute steps, and
writes them again through a scale and a shift, rounded to whole units.
"""

from __future__ import annotations

import functools
import re
from collections.abc import Iterator
from dataclasses import dataclass

Step = tuple[str, tuple[float, ...]]
"""An absolute command and its numbers."""

_TOKEN = re.compile(r"([MmLlHhVvCcSsQqTtAaZz])|([-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?)")
_COUNTS = {"M": 2, "L": 2, "H": 1, "V": 1, "C": 6, "S": 4, "Q": 4, "T": 2, "A": 7, "Z": 0}


@dataclass(frozen=True, slots=True)
class Placing:
    """A scale for each direction, then a shift."""

    scale_x: float = 1.0
    scale_y: float = 1.0
    shift_x: float = 0.0
    shift_y: float = 0.0

    def then(self, inner: Placing) -> Placing:
        """The placing of something placed by ``inner`` inside of what this one places."""
        return Placing(
            self.scale_x * inner.scale_x,
            self.scale_y * inner.scale_y,
            self.scale_x * inner.shift_x + self.shift_x,
            self.scale_y * inner.shift_y + self.shift_y,
        )

    def x(self, x: float) -> int:
        """Where an x comes to stand, in whole units."""
        return round(self.scale_x * x + self.shift_x)

    def y(self, y: float) -> int:
        """Where a y comes to stand, in whole units."""
        return round(self.scale_y * y + self.shift_y)


def placed_path(data: str, placing: Placing) -> str:
    """The path, moved and scaled, in whole units.

    Raises:
        ValueError: the path data is not that of SVG.
    """
    x, y, shape = _shape(data, placing.scale_x, placing.scale_y)
    return f"M{x + round(placing.shift_x)} {y + round(placing.shift_y)}{shape}"


@functools.lru_cache(maxsize=2048)
def _shape(data: str, scale_x: float, scale_y: float) -> tuple[int, int, str]:
    """Where the scaled path begins, and what follows, told from there; a sign comes many times."""
    scale, said = Placing(scale_x, scale_y), []
    (_, first), *others = steps(data)
    begin = x, y = scale.x(first[0]), scale.y(first[1])
    start = begin
    for kind, numbers in others:
        words, (x, y) = _written(kind, numbers, scale, (x, y))
        said.append(words)
        if kind == "M":
            start = x, y
        elif kind == "Z":
            x, y = start
    return *begin, "".join(said)


@functools.lru_cache(maxsize=512)
def steps(data: str) -> tuple[Step, ...]:
    """The absolute steps of a path.

    Raises:
        ValueError: the path data is not that of SVG.
    """
    found: list[Step] = []
    x = y = start_x = start_y = 0.0
    for command, numbers in _commands(data):
        kind = command.upper()
        if command.islower():
            numbers = _absolute(kind, numbers, x, y)
        found.append((kind, numbers))
        if kind == "Z":
            x, y = start_x, start_y
        elif kind == "H":
            x = numbers[0]
        elif kind == "V":
            y = numbers[0]
        else:
            x, y = numbers[-2:]
        if kind == "M":
            start_x, start_y = x, y
    return tuple(found)


def _commands(data: str) -> Iterator[tuple[str, tuple[float, ...]]]:
    """Each command with its numbers; numbers that go on repeat the command."""
    tokens = _TOKEN.findall(data)
    if _TOKEN.sub("", data).strip(" ,\t\r\n"):
        raise ValueError(f"no path data: {data[:40]}")
    place, command = 0, ""
    while place < len(tokens):
        letter = tokens[place][0]
        command = letter or {"M": "L", "m": "l"}.get(command, command)
        place += bool(letter)
        count = _COUNTS.get(command.upper(), 0)
        numbers = tuple(float(number or "nan") for _, number in tokens[place : place + count])
        if not command or len(numbers) != count or (not letter and not count):
            raise ValueError(f"path data breaks off: {data[:40]}")
        yield command, numbers
        place += count


def _absolute(kind: str, numbers: tuple[float, ...], x: float, y: float) -> tuple[float, ...]:
    if kind == "H":
        return (numbers[0] + x,)
    if kind == "V":
        return (numbers[0] + y,)
    if kind == "A":
        return (*numbers[:5], numbers[5] + x, numbers[6] + y)
    return tuple(number + (y if index % 2 else x) for index, number in enumerate(numbers))


def _written(
    kind: str, numbers: tuple[float, ...], scale: Placing, at: tuple[int, int]
) -> tuple[str, tuple[int, int]]:
    """A step told from where the pen is, and where the pen is then."""
    x, y = at
    if kind == "Z":
        return "z", at
    if kind == "H":
        to = scale.x(numbers[0])
        return f"h{to - x}", (to, y)
    if kind == "V":
        to = scale.y(numbers[0])
        return f"v{to - y}", (x, to)
    if kind == "A":
        to_x, to_y = scale.x(numbers[5]), scale.y(numbers[6])
        return f"{_arc(numbers, scale)} {to_x - x} {to_y - y}", (to_x, to_y)
    points = [scale.y(n) if i % 2 else scale.x(n) for i, n in enumerate(numbers)]
    told = [point - (y if i % 2 else x) for i, point in enumerate(points)]
    return kind.lower() + " ".join(map(str, told)), (points[-2], points[-1])


def _arc(numbers: tuple[float, ...], scale: Placing) -> str:
    across, down, turn, large, sweep, *_ = numbers
    is_mirrored = scale.scale_x * scale.scale_y < 0
    radii = f"{round(across * abs(scale.scale_x))} {round(down * abs(scale.scale_y))}"
    return f"a{radii} {turn:g} {large:.0f} {(1 - sweep) if is_mirrored else sweep:.0f}"
