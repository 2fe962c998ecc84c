"""Events as a calendar: RFC 5545, sections 3.1 (folding), 3.3.11 (text) and 3.8."""

from datetime import UTC, date, datetime, time

from hypothesis import given
from hypothesis import strategies as st

from api.display.documents.calendar import DatedEvent, calendar_text, escaped, folded
from planner.event.event import Arrangements, Clock, Event, Occasion, Setting, Sort

NO_TIMES = Clock()
MADE = datetime(2031, 5, 1, 18, 4, 5, tzinfo=UTC)


def calendar(clock: Clock = NO_TIMES, day: date | None = date(2031, 6, 7), version: int = 3) -> str:
    place = Arrangements(place="Mill Lane, by the sluice; left bank")
    setting = Setting(Occasion.PARADE, Sort.OWN_BAND)
    event = Event("7", "Mill Day", setting, day, clock, arrangements=place)
    return calendar_text("The Band", 1, [DatedEvent(event, version, MADE)])


def lines(text: str) -> list[str]:
    return text.replace("\r\n ", "").split("\r\n")


def test_text_is_marked_as_the_standard_says() -> None:
    # RFC 5545, 3.3.11: BACKSLASH, SEMICOLON, COMMA and line ends
    assert escaped("a\\b;c,d\ne\r\nf") == "a\\\\b\\;c\\,d\\ne\\nf"
    assert "LOCATION:Mill Lane\\, by the sluice\\; left bank" in lines(calendar())


@given(st.text(alphabet=st.characters(exclude_characters="\r\n", exclude_categories=["Cs"])))
def test_no_line_is_longer_than_75_octets_and_unfolding_gives_it_back(text: str) -> None:
    pieces = folded(text).split("\r\n")
    assert all(len(piece.encode()) <= 75 for piece in pieces)
    assert folded(text).replace("\r\n ", "") == text


def test_every_line_ends_in_cr_lf() -> None:
    text = calendar()
    assert text.endswith("END:VCALENDAR\r\n")
    assert text.count("\n") == text.count("\r\n")


def test_the_name_of_an_event_stays_and_its_sequence_is_its_version() -> None:
    first, second = lines(calendar(version=1)), lines(calendar(version=2))
    assert [each for each in first if each.startswith("UID:")] == [
        each for each in second if each.startswith("UID:")
    ]
    assert "SEQUENCE:1" in first
    assert "SEQUENCE:2" in second
    assert "DTSTAMP:20310501T180405Z" in first


def test_times_are_those_on_the_wall_from_meet_to_end() -> None:
    told = lines(calendar(Clock(time(9), time(9, 30), time(10), time(11, 30))))
    assert "DTSTART:20310607T090000" in told
    assert "DTEND:20310607T113000" in told
    assert any("Step-off: 10:00" in line for line in told)


def test_an_end_after_midnight_is_on_the_next_day() -> None:
    assert "DTEND:20310608T003000" in lines(calendar(Clock(meet=time(22), end=time(0, 30))))


def test_an_event_without_times_is_a_whole_day() -> None:
    told = lines(calendar())
    assert "DTSTART;VALUE=DATE:20310607" in told
    assert "DTEND;VALUE=DATE:20310608" in told


def test_an_event_without_a_day_is_left_out() -> None:
    assert "VEVENT" not in calendar(day=None)
