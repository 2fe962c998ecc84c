"""How do events go into a calendar? As iCalendar text (RFC 5545).

Times are those of the clock on the wall, without a zone: a band lives where it plays. An event
without times is a whole day, one without a day is left out. Lines end in CR LF and are folded at
75 octets; the UID stays with the event, SEQUENCE is its version.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta

from api.display.planned import setting_words
from api.display.words import clock_words, sentence_start
from planner.event.event import Event

MOST_OCTETS = 75
STAMP, WALL, DAY = "%Y%m%dT%H%M%SZ", "%Y%m%dT%H%M%S", "%Y%m%d"


@dataclass(frozen=True, slots=True)
class DatedEvent:
    """An event, its version, when that was made, and where its page is."""

    event: Event
    version: int
    made_at: datetime
    address: str = ""


def calendar_text(band: str, owner: int, events: Iterable[DatedEvent]) -> str:
    """A calendar of these events; ``owner`` is the number of the band."""
    lines = [
        "BEGIN:VCALENDAR",
        "VERSION:2.0",
        "PRODID:-//Pacestick//Pacestick//EN",
        "CALSCALE:GREGORIAN",
        "METHOD:PUBLISH",
        f"X-WR-CALNAME:{escaped(band)}",
    ]
    for dated in events:
        if dated.event.day is not None:
            lines += _event_lines(dated, dated.event.day, owner)
    lines.append("END:VCALENDAR")
    return "".join(f"{folded(line)}\r\n" for line in lines)


def escaped(text: str) -> str:
    """Text as a calendar wants it: backslash, semicolon, comma and line ends marked."""
    marked = text.replace("\\", "\\\\").replace(";", "\\;").replace(",", "\\,")
    return marked.replace("\r\n", "\n").replace("\r", "\n").replace("\n", "\\n")


def folded(line: str) -> str:
    """A line in pieces of at most 75 octets, never inside a letter; the later ones indented."""
    pieces, piece, room = [], "", MOST_OCTETS
    for letter in line:
        if len((piece + letter).encode()) > room:
            pieces.append(piece)
            piece, room = "", MOST_OCTETS - 1  # the blank before a later piece counts
        piece += letter
    return "\r\n ".join((*pieces, piece))


def _event_lines(dated: DatedEvent, day: date, owner: int) -> Iterator[str]:
    event, made = dated.event, _utc(dated.made_at)
    yield "BEGIN:VEVENT"
    yield f"UID:event-{event.key}.band-{owner}@pacestick"
    yield f"DTSTAMP:{made:{STAMP}}"
    yield f"LAST-MODIFIED:{made:{STAMP}}"
    yield f"SEQUENCE:{dated.version}"
    yield from _times(event, day)
    yield f"SUMMARY:{escaped(event.name)}"
    if event.arrangements.place:
        yield f"LOCATION:{escaped(event.arrangements.place)}"
    yield f"DESCRIPTION:{escaped(_description(event))}"
    if dated.address:
        yield f"URL:{dated.address}"
    yield "END:VEVENT"


def _utc(moment: datetime) -> datetime:
    return moment if moment.tzinfo is None else moment.astimezone(UTC)


def _times(event: Event, day: date) -> Iterator[str]:
    clock = event.clock
    start = clock.meet or clock.tune_up or clock.step_off
    if start is None:
        yield f"DTSTART;VALUE=DATE:{day:{DAY}}"
        yield f"DTEND;VALUE=DATE:{day + timedelta(days=1):{DAY}}"
        return
    begins = datetime.combine(day, start)
    yield f"DTSTART:{begins:{WALL}}"
    if clock.end is not None:
        ends = datetime.combine(day, clock.end)
        ends += timedelta(days=1) if ends <= begins else timedelta()
        yield f"DTEND:{ends:{WALL}}"


def _description(event: Event) -> str:
    clock, told = event.clock, event.arrangements
    named = (
        ("Meet", clock_words(clock.meet)),
        ("Tune-up", clock_words(clock.tune_up)),
        ("Step-off", clock_words(clock.step_off)),
        ("End", clock_words(clock.end)),
        ("Dress", told.dress),
        ("Transport", told.transport),
        ("Wet plan", told.wet_plan),
    )
    said = [f"{name}: {words}" for name, words in named if words]
    return "\n".join((sentence_start(setting_words(event.setting)), *said))
