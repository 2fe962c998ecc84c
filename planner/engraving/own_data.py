"""What of a tune has no standard place in MusicXML, and how is it kept?

Every field is a ``<miscellaneous-field name="pacestick-...">`` of the identification. A field is
left out when it would say nothing. Names and contents:

``idiom``        the idiom's name
``rhythm``       the file's own words for the kind of tune
``key``          the key as the file gave it (``HP`` is left out)
``tempo``        felt beats a minute, as exact as the tune has it
``metre``        ``count/unit`` or ``C`` or ``C|``, only if the first bar's metre is another
``phrase-bars``  bars of a phrase
``line-bars``    bars of a line
``origin``       where the tune comes from
``transcriber``  who wrote the setting down
``notes``        remarks, a JSON list of texts
``parts``        one word a part: times played, then the passes of each ending: ``2``, ``3:1,2/3``
``bars``         the identities of the measures in order: ``p1b0e0 p1b1e0 ...``
``lines``        the bars at which the writer began a line; breaks elsewhere are the engraver's
``joins``        one word a bar, a digit a note: 1 where the writer joined it to the next;
                 ``-`` for a bar without notes on file, whose hidden rest is only a filler
``splits``       ``p1b3e0n2=2``: this note is written as two notes tied together
"""

from __future__ import annotations

import json

from planner.engraving.note_values import note_values, written_length
from planner.music.tune import Bar, Part, Tune, bar_id, note_id

PREFIX = "pacestick-"


def own_data(tune: Tune) -> dict[str, str]:
    """The fields by full name, those that say nothing left out."""
    fields = _words_of(tune) | {
        "parts": " ".join(_part_word(part) for part in tune.parts),
        "bars": " ".join(bar_id(*key) for key, _ in _bars(tune)),
        "lines": " ".join(bar_id(*key) for key, bar in _bars(tune) if bar.starts_line),
        "joins": " ".join(_joins(bar) for _, bar in _bars(tune)),
        "splits": " ".join(_splits(tune)),
    }
    return {PREFIX + name: text for name, text in fields.items() if text}


def _words_of(tune: Tune) -> dict[str, str]:
    first_metre = next((bar.metre for _, bar in _bars(tune)), tune.metre)
    return {
        "idiom": tune.idiom or "",
        "rhythm": tune.rhythm,
        "key": "" if tune.key == "HP" else tune.key,
        "tempo": repr(tune.tempo.bpm) if tune.tempo else "",
        "metre": "" if first_metre == tune.metre else str(tune.metre),
        "phrase-bars": str(tune.phrase_bars or ""),
        "line-bars": str(tune.line_bars or ""),
        "phrase-starts": _phrase_starts(tune),
        "order": _order(tune),
        "origin": tune.credits.origin,
        "transcriber": tune.credits.transcriber,
        "notes": json.dumps(tune.credits.notes, ensure_ascii=False) if tune.credits.notes else "",
    }


def _phrase_starts(tune: Tune) -> str:
    """First bars of the phrases set by hand, part by part: ``1,3,5/1,4``; empty when nobody did."""
    starts = tune.phrase_starts
    return "/".join(",".join(map(str, part)) for part in starts) if any(starts) else ""


def _order(tune: Tune) -> str:
    """The numbers of the parts in their turn, where that is not as printed and each is whole."""
    whole = {part.number: part.passes for part in tune.parts}
    is_whole = all(whole.get(turn.part) == turn.passes for turn in tune.order)
    return " ".join(str(turn.part) for turn in tune.order) if is_whole else ""


def _part_word(part: Part) -> str:
    passes = "/".join(",".join(map(str, ending)) for ending in part.endings)
    return f"{part.times}:{passes}" if passes else str(part.times)


def _bars(tune: Tune) -> list[tuple[tuple[int, int, int], Bar]]:
    return [
        ((part.number, bar.number, bar.ending), bar) for part in tune.parts for bar in part.bars
    ]


def _joins(bar: Bar) -> str:
    return "".join(str(int(note.beamed_on)) for note in bar.notes) or "-"


def _splits(tune: Tune) -> list[str]:
    words = []
    for key, bar in _bars(tune):
        for index, note in enumerate(bar.notes):
            pieces = len(note_values(written_length(note)))
            if pieces > 1:
                words.append(f"{note_id(*key, index)}={pieces}")
    return words
