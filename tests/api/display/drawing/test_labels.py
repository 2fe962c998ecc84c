"""Labels for any points and words: none on another, none cut off, at the least width and wider."""

from __future__ import annotations

from itertools import combinations

from hypothesis import given
from hypothesis import strategies as st

from api.display.drawing.ink import FONT_PX, FRAMES, Frame, text_width
from api.display.drawing.labels import Labels, Wanted, place_labels

POINTS = st.floats(0, 100).map(lambda x: round(x, 2))
WORDS = st.text("abc ilmW0123.,", min_size=1, max_size=60)
WANTED = st.lists(st.builds(Wanted, POINTS, WORDS, short=st.sampled_from(["", "7"])), max_size=24)
WIDER = (1.0, 1.2, 1.9)
ROWS = 5


def clashes(labels: Labels, frame: Frame) -> list[tuple[str, str]]:
    spans = [(each, *each.span(frame)) for each in labels.texts]
    return [
        (one.text, other.text)
        for (one, left, right), (other, start, end) in combinations(spans, 2)
        if abs(one.y - other.y) < FONT_PX and left < end and start < right
    ]


def crossed(labels: Labels, frame: Frame) -> list[str]:
    """The labels that somebody else's thread goes through."""
    found = []
    for text in labels.texts:
        left, right = text.span(frame)
        top = text.y - 0.7 * FONT_PX
        for thread in labels.threads:
            at, low = frame.px(thread.x1), max(thread.y1, thread.y2)
            if thread.x1 != text.x and left < at < right and low > text.y and top > 0:
                found.append(text.text)
    return found


@given(WANTED, st.sampled_from(FRAMES))
def test_no_label_lies_on_another_at_any_width(wanted: list[Wanted], frame: Frame) -> None:
    labels = place_labels(wanted, frame, 0.0, ROWS)
    for factor in WIDER:
        assert clashes(labels, Frame(frame.name, frame.width_px * factor)) == []


@given(WANTED, st.sampled_from(FRAMES))
def test_no_label_is_cut_off_at_any_width(wanted: list[Wanted], frame: Frame) -> None:
    labels = place_labels(wanted, frame, 0.0, ROWS)
    for factor in WIDER:
        wide = Frame(frame.name, frame.width_px * factor)
        spans = [each.span(wide) for each in labels.texts]
        assert all(left >= -0.5 and right <= wide.width_px + 0.5 for left, right in spans)


@given(WANTED, st.sampled_from(FRAMES))
def test_no_thread_goes_through_a_label(wanted: list[Wanted], frame: Frame) -> None:
    labels = place_labels(wanted, frame, 0.0, ROWS)
    for factor in WIDER:
        assert crossed(labels, Frame(frame.name, frame.width_px * factor)) == []


@given(st.lists(POINTS, min_size=1, max_size=4, unique=True), st.sampled_from(FRAMES))
def test_a_few_short_labels_all_find_room(points: list[float], frame: Frame) -> None:
    labels = place_labels([Wanted(x, "10:30") for x in points], frame, 0.0, ROWS)
    far_apart = all(abs(a - b) > frame.percent(12) for a, b in combinations(points, 2))
    assert len(labels.texts) == len(points) or not far_apart
    assert labels.rows <= ROWS


def test_words_are_measured_as_wide_as_the_widest_cut() -> None:
    # measured in a browser on the shipped sans, bold, at 100 px: W 80, m 84, n 56, i 24
    assert text_width("W") >= 0.80 * FONT_PX
    assert text_width("m") >= 0.84 * FONT_PX
    assert text_width("n") >= 0.56 * FONT_PX
    assert text_width("i") >= 0.24 * FONT_PX
