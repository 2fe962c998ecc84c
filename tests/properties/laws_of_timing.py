"""Laws of the clock: the bar never grows, what is struck stands, nothing gaps or overlaps.

Each law takes a tune and a setting; ``LAWS`` says in which settings it must hold.
"""

from itertools import pairwise

import pytest

from planner.event.event import Occasion, Sort
from tests.properties.plans import (
    CLOSE_MS,
    EVERYWHERE,
    FREE,
    STRICT,
    bar_ends_ms,
    document,
    first_neighbours,
    notes_as_played,
    notes_by_bar,
    plan,
    printed_bars,
    setting,
    strikes,
)

UNMARKED = setting(Occasion.PARADE, Sort.MASSED)
SHORTEST_BARE_NOTE_MS = 60.0


def what_a_bar_gives_it_takes_back(tune, where):
    by_bar = notes_by_bar(document(tune, where))
    for part, bar in printed_bars(tune):
        start, end = bar_ends_ms(tune, bar)
        notes = by_bar[part.number, bar.number, bar.ending]
        played = [*(note["onset_ms"] for note in notes), end]
        written = [*(note["written_onset_ms"] for note in notes), end]
        changes = [
            (late - early) - (w_late - w_early)
            for (early, late), (w_early, w_late) in zip(
                pairwise(played), pairwise(written), strict=True
            )
        ]
        assert sum(changes) == pytest.approx(0.0, abs=CLOSE_MS)
        assert written[0] == played[0] == pytest.approx(start, abs=CLOSE_MS)
        assert all(early < late for early, late in pairwise(played))


def a_note_sounds_until_the_next_movement_starts(tune, where):
    for zero, next_zero, note, after in first_neighbours(tune, document(tune, where)):
        end = zero + note["sounding_ms"] + note["sounding_length_ms"]
        assert end == pytest.approx(next_zero + after["movement_start_ms"], abs=CLOSE_MS)


def the_unrolled_list_is_the_played_list_pass_by_pass(tune, where):
    unrolled = notes_as_played(tune, document(tune, where))
    heard = plan(tune, where).heard
    starts = [zero + note["movement_start_ms"] for zero, _, _, note in unrolled]
    first = heard[0].movement_start_ms - starts[0]
    assert [h.movement_start_ms - first for h in heard] == pytest.approx(starts, abs=CLOSE_MS)
    assert all(
        here.end_ms == pytest.approx(after.movement_start_ms, abs=CLOSE_MS)
        for here, after in pairwise(heard)
    )


def a_struck_onset_never_moves_where_the_drums_are_strict(tune, where):
    for note in document(tune, where)["played"]["notes"]:
        if note["bar"] and strikes(tune.metre, note["beat"], where.drums):
            assert note["onset_ms"] == note["written_onset_ms"], note


def every_movement_keeps_its_beat_where_the_drums_are_strict(tune, where):
    strict, unmarked = document(tune, where), document(tune, UNMARKED)
    assert strict["tune"]["movements"] == unmarked["tune"]["movements"]


def no_note_falls_below_what_it_had_or_what_it_needs(tune, where):
    marked, unmarked = plan(tune, where).heard, plan(tune, UNMARKED).heard
    for now, before in zip(marked, unmarked, strict=True):
        had = before.end_ms - before.sounding_ms
        left = now.end_ms - now.sounding_ms
        if now.place.note != "rest":
            assert left >= min(had, SHORTEST_BARE_NOTE_MS) - CLOSE_MS, now


def a_movement_sounds_around_its_beat_as_the_document_says(tune, where):
    found = document(tune, where)
    movements = {
        (m["part"], m["bar"], m["ending"], m["beat"]): m for m in found["tune"]["movements"]
    }
    for note in found["played"]["notes"]:
        movement = movements.get((note["part"], note["bar"], note["ending"], note["beat"]))
        whole = note["sounding_ms"] - note["movement_start_ms"]
        count = len(movement["gracenotes"]) if movement else 0
        before = whole * movement["beat_index"] / count if movement else 0.0
        assert note["onset_ms"] - note["movement_start_ms"] == pytest.approx(before, abs=CLOSE_MS)
        # Where nothing fits the tempo, a note sounds as long as each of its gracenotes.
        least = min(25.0, note["sounding_length_ms"])
        assert count * least - CLOSE_MS <= whole <= count * 35.0 + CLOSE_MS


def every_note_sounds_before_the_next_movement_starts(tune, where):
    for note in document(tune, where)["played"]["notes"]:
        assert note["sounding_length_ms"] > 0.0, note


LAWS = {
    every_note_sounds_before_the_next_movement_starts: EVERYWHERE,
    what_a_bar_gives_it_takes_back: EVERYWHERE,
    a_note_sounds_until_the_next_movement_starts: EVERYWHERE,
    the_unrolled_list_is_the_played_list_pass_by_pass: FREE,
    a_struck_onset_never_moves_where_the_drums_are_strict: STRICT,
    every_movement_keeps_its_beat_where_the_drums_are_strict: STRICT,
    no_note_falls_below_what_it_had_or_what_it_needs: EVERYWHERE,
    a_movement_sounds_around_its_beat_as_the_document_says: EVERYWHERE,
}
