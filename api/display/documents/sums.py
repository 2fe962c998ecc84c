"""What do programs read of the sums of an event? Seconds, metres, ms and shares as numbers."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from api.display.times import times_document
from planner.event.contest.contest import CONFIRM, TimeVerdict
from planner.event.joins import Join, Neighbour
from planner.event.ready import Submission
from planner.event.street.street import StreetSums
from planner.event.sums import ContestSums, DanceSums, EventSums, SetSums
from planner.music.scale import Pitch


def sums_document(sums: EventSums) -> dict[str, Any]:
    """The sums of an event; what does not apply is null."""
    return {
        "sets": [_set(each) for each in sums.sets],
        "times": times_document(sums.times) if sums.times else None,
        "submitted": [_submitted(each) for each in sums.submitted],
        "street": _street(sums.street) if sums.street else None,
        "sound": asdict(sums.dose) if sums.dose else None,
        "cautions": dict(sums.cautions),
    }


def _set(sums: SetSums) -> dict[str, Any]:
    return {
        "set_key": sums.key,
        "number": sums.number,
        "name": sums.name,
        "joins": [_join(join) for join in sums.joins],
        "contest": _contest(sums.contest) if sums.contest else None,
        "dance": _dance(sums.dance) if sums.dance else None,
    }


def _join(join: Join) -> dict[str, Any]:
    return {
        "before": join.before,
        "after": join.after,
        "smoothness": join.smoothness.value,
        "lift": join.lift.value,
        "tempo_change": round(join.tempo_change, 4),
        "leaving": _neighbour(join.leaving, join.leaving.last_note),
        "coming": _neighbour(join.coming, join.coming.first_note),
        "cue": join.leaving.cue,
        "reasons": [asdict(reason) for reason in join.reasons],
    }


def _neighbour(tune: Neighbour, note: Pitch | None) -> dict[str, Any]:
    """What meets at a join; ``note`` is the last of the tune that ends, the first of the next."""
    return {
        "tempo_bpm": tune.tempo_bpm,
        "metre": f"{tune.metre.count}/{tune.metre.unit}",
        "beat_unit": tune.metre.beat_unit,
        "tonal_centre": tune.tonal_centre,
        "note": note.name if note else None,
    }


def _contest(sums: ContestSums) -> dict[str, Any]:
    rules, lengths, verdict = sums.rules, sums.lengths, sums.verdict
    named = (
        ("slower", lengths.slower, verdict.slower if verdict else None),
        ("planned", lengths.planned, verdict.planned if verdict else None),
        ("quicker", lengths.quicker, verdict.quicker if verdict else None),
    )
    return {
        "ruleset": rules.name,
        "window": rules.window_words,
        "requires": rules.requires,
        "sets": rules.sets,
        "clock_from": rules.clock_from.value,
        "asked": asdict(rules.asked),
        "times": {
            name: {"seconds": round(float(length), 3), **_verdict(judged)}
            for name, length, judged in named
        },
        "players": [
            {"instrument": one.value, "minimum": needed, "there": there}
            for one, needed, there in sums.players
        ],
        "source": rules.source,
        "since": rules.since,
    }


def _submitted(each: Submission) -> dict[str, Any]:
    return {
        "ruleset": each.rules.name,
        "asked": each.rules.sets,
        "is_ready": each.is_ready,
        "text": each.text,
        "sets": [{**asdict(one), "is_ready": one.is_ready} for one in each.sets],
        "confirm": CONFIRM,
    }


def _verdict(judged: TimeVerdict | None) -> dict[str, Any]:
    if judged is None:
        return {}
    return {
        "verdict": judged.verdict.value,
        "margin_seconds": round(judged.margin_seconds, 3),
        "text": judged.text,
        "confirm": judged.confirm,
    }


def _dance(sums: DanceSums) -> dict[str, Any]:
    length = sums.length
    return {
        "dance": sums.dance.name,
        "steps": list(sums.steps),
        "tempos_bpm": list(sums.tempos_bpm),
        "tolerance": sums.tolerance,
        "bars_a_minute": sums.bars_a_minute,
        "bars": length.bars if length else None,
        "introduction_bars": length.introduction_bars if length else None,
        "seconds": round(length.seconds, 3) if length else None,
        "shortest_seconds": round(length.shortest_s, 3) if length else None,
        "longest_seconds": round(length.longest_s, 3) if length else None,
        "quick_from_bar": length.quick_from_bar if length else None,
        "problem": sums.problem,
    }


def _street(sums: StreetSums) -> dict[str, Any]:
    cover = sums.cover
    return {
        "walking_minutes": round(cover.walking_minutes, 3),
        "halted_minutes": round(cover.halted_minutes, 3),
        "minutes": round(cover.minutes, 3),
        "metres_per_minute": round(cover.metres_per_minute, 3),
        "items": [asdict(item) for item in sums.items],
        "stretches": [asdict(stretch) for stretch in sums.stretches],
        "places": [{**asdict(place), "is_as_wanted": not place.amiss} for place in sums.places],
        "rounds_to_fill": cover.rounds_to_fill,
        "rounds_needed": cover.rounds_needed,
        "playing_share": round(cover.playing_share, 4),
        "rest_share": round(cover.rest_share, 4),
        "sound_delay": asdict(sums.delay) if sums.delay else None,
    }
