"""What must be true of every drawing, whatever it shows."""

from __future__ import annotations

from itertools import combinations

from api.display.drawing.ink import FONT_PX, Figure, Ink, Text

# How high letters stand above their baseline, and how far they hang below it, at most.
ASCENT_PX, DESCENT_PX = 0.78 * FONT_PX, 0.25 * FONT_PX
HAIR = 0.011  # percent: what rounding leaves


def check_layout(figure: Figure) -> None:
    """Everything within its box, no words on other words, and the same told in sentences."""
    assert {ink.frame.name for ink in figure.drawn} == {"wide", "narrow"}
    assert figure.name
    assert figure.words
    assert all(line.endswith((".", "!", "?")) for line in figure.words)
    for ink in figure.drawn:
        assert outside(ink) == []
        assert on_each_other(ink) == []


def outside(ink: Ink) -> list[object]:
    """What reaches out of a drawing."""
    blocks = [
        each
        for each in ink.blocks
        if each.x < -HAIR
        or each.end > 100 + HAIR
        or each.width < 0
        or each.y < 0
        or each.y + each.height > ink.height
    ]
    lines = [
        each
        for each in ink.lines
        if min(each.x1, each.x2) < -HAIR
        or max(each.x1, each.x2) > 100 + HAIR
        or min(each.y1, each.y2) < 0
        or max(each.y1, each.y2) > ink.height
    ]
    texts = [
        each
        for each in ink.texts
        if each.span(ink.frame)[0] < -0.5
        or each.span(ink.frame)[1] > ink.frame.width_px + 0.5
        or each.y - ASCENT_PX < -0.5
        or each.y + DESCENT_PX > ink.height + 0.5
    ]
    signs = [each for each in ink.signs if not 0 <= each.x <= 100 or not 0 <= each.y <= ink.height]
    return [*blocks, *lines, *texts, *signs]


def on_each_other(ink: Ink) -> list[tuple[str, str]]:
    """Which words lie on which."""
    return [(a.text, b.text) for a, b in combinations(ink.texts, 2) if _overlap(a, b, ink)]


def _overlap(one: Text, other: Text, ink: Ink) -> bool:
    (left, right), (start, end) = one.span(ink.frame), other.span(ink.frame)
    is_beside = right <= start or end <= left
    is_below = abs(one.y - other.y) >= ASCENT_PX + DESCENT_PX
    return not is_beside and not is_below
