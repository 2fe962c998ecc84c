"""Is the demo band's file consistent, and does it speak the words of the planner's nouns?"""

from collections.abc import Iterator
from dataclasses import fields
from itertools import pairwise
from typing import Any

import pytest

from planner.event.altered import refuse_misfits
from planner.event.event import (
    SORTS_BY_OCCASION,
    Arrangements,
    Circumstance,
    Clock,
    Drums,
    Entry,
    Instrument,
    Item,
    Occasion,
    Person,
    Set,
    Sort,
)
from planner.event.route import Route, RoutePlace, RouteStretch
from tests.seed_data.played import FILES, SEED_DATA, band, read

BAND: dict[str, Any] = band()
EVENTS = {event["key"]: event for event in BAND["event"]}
SETS = {each["key"]: each for each in BAND["set"]}
TUNES = {tune["key"]: tune for tune in BAND["tune"]}
PEOPLE = {person["key"]: person for person in BAND["person"]}
PNG_SIGNATURE = b"\x89PNG\r\n\x1a\n"

every_event = pytest.mark.parametrize("event", EVENTS.values(), ids=EVENTS.keys())


def entries(*occasions: str) -> Iterator[dict[str, Any]]:
    """The entries of the sets with one of these tags, all of them without a tag."""
    for each in SETS.values():
        if not occasions or each["occasion"] in occasions:
            yield from each["entry"]


def sets_of(event_key: str) -> set[str]:
    return {item["set_key"] for item in EVENTS[event_key]["item"] if "set_key" in item}


def field_names(noun: type) -> set[str]:
    return {field.name for field in fields(noun)}


def test_every_key_is_used_once() -> None:
    for kind in ("person", "tune", "set", "event"):
        keys = [row["key"] for row in BAND[kind]]
        assert len(keys) == len(set(keys))


def test_the_tables_speak_the_words_of_the_nouns() -> None:
    assert set().union(*BAND["person"]) <= field_names(Person) | {"role"}
    assert set().union(*entries()) <= field_names(Entry)
    assert set().union(*BAND["set"]) - {"entry"} <= field_names(Set)
    assert set().union(*(i for e in EVENTS.values() for i in e["item"])) <= field_names(Item)


@every_event
def test_an_event_speaks_the_words_of_the_nouns(event: dict[str, Any]) -> None:
    assert set(event["clock"]) == field_names(Clock)
    assert set(event["arrangements"]) == field_names(Arrangements)
    route = event.get("route", {})
    assert set(route) - {"stretch", "place"} <= field_names(Route)
    assert set().union(*route.get("stretch", ())) <= field_names(RouteStretch)
    assert set().union(*route.get("place", ())) <= field_names(RoutePlace)
    assert Sort(event["sort"]) in SORTS_BY_OCCASION[Occasion(event["occasion"])]
    assert Drums(event["drums"])
    assert set(event["circumstances"]) <= set(Circumstance)


def test_there_is_one_event_of_each_occasion() -> None:
    assert sorted(event["occasion"] for event in EVENTS.values()) == sorted(Occasion)


def test_the_parade_and_the_exhibition_share_a_set() -> None:
    assert sets_of("lamp_day_parade") & sets_of("boathouse_concert")


def test_every_set_is_played_somewhere_and_every_set_asked_for_exists() -> None:
    assert set().union(*map(sets_of, EVENTS)) == SETS.keys()


def test_sets_are_numbered_as_called() -> None:
    assert [each["number"] for each in BAND["set"]] == list(range(1, len(SETS) + 1))


def test_every_entry_plays_a_tune_of_the_band() -> None:
    assert {entry["tune_key"] for entry in entries()} <= TUNES.keys()


def test_bars_of_a_set_s_own_fit_between_the_tunes() -> None:
    own = 0
    for each in SETS.values():
        built = [Entry(**entry) for entry in each["entry"]]
        tunes = [tune_of(entry) for entry in each["entry"]]
        for place, (entry, tune) in enumerate(zip(built, tunes, strict=True)):
            if entry.last_bar or entry.link:
                refuse_misfits(entry, tune, tunes[place + 1 : place + 2])
                own += 1
    assert own == 2


def tune_of(entry: dict[str, Any]) -> Any:
    file = TUNES[entry["tune_key"]].get("file")
    return read(SEED_DATA / file) if file else None


def test_every_entry_but_the_last_of_a_set_says_how_it_joins() -> None:
    for each in SETS.values():
        *joined, last = each["entry"]
        assert all(entry["join"] and entry["start_line"] for entry in joined)
        assert "join" not in last
        assert last["stop_line"]


def test_one_entry_lasts_until_the_cue() -> None:
    assert [e["tune_key"] for e in entries() if e["times_through"] == 0] == [
        "ternhollow_bridge_is_open"
    ]


def test_the_contest_set_is_a_march_a_strathspey_and_a_reel() -> None:
    tunes = [entry["tune_key"] for entry in SETS["keepers"]["entry"]]
    idioms = [read(SEED_DATA / TUNES[key]["file"]).idiom for key in tunes]

    assert idioms == ["march", "strathspey", "pointed reel"]


@pytest.mark.parametrize(
    ("occasion", "idiom", "low", "high"),
    [
        ("parade", "march", 84, 88),  # The Average Piper: tic toc
        ("competition", "march", 66, 72),  # L. Cousin, Words & Music, spring 2009
        ("dance", "strathspey", 106, 120),  # Highland Dance: le Team Dance; Fling recordings
        ("dance", "round reel", 100, 108),  # MacPhee, Piping for Dancing part 2
        ("dance", "pointed reel", 100, 108),
    ],
)
def test_tempos_lie_where_published_sources_put_them(
    occasion: str, idiom: str, low: float, high: float
) -> None:
    tempos = [
        entry["tempo_bpm"]
        for entry in entries(occasion)
        if idiom_of(TUNES[entry["tune_key"]]) == idiom
    ]

    assert tempos
    assert all(low <= tempo <= high for tempo in tempos)


def idiom_of(tune: dict[str, Any]) -> str | None:
    return tune["idiom"] if "idiom" in tune else read(SEED_DATA / tune["file"]).idiom


def test_the_reel_set_gives_the_dancers_their_four_and_eight_steps() -> None:
    # Strathspey & Half Tulloch: 4 + 8 steps of 8 bars, 4 bars of introduction first; 120, then
    # 100 beats a minute (Highland Dance: le Team Dance, 12 July 2008).
    strathspey, *reels = SETS["half_tulloch"]["entry"]
    bars = [bars_of(entry) for entry in reels]

    assert SETS["half_tulloch"]["steps"] == [4, 8]
    assert SETS["half_tulloch"]["introduction_beats"] == 4 * 4
    assert bars_of(strathspey) == 4 * 8
    assert sum(bars) == 8 * 8
    assert [entry["tempo_bpm"] for entry in (strathspey, *reels)] == [120, 100, 100]


def bars_of(entry: dict[str, Any]) -> int:
    tune = read(SEED_DATA / TUNES[entry["tune_key"]]["file"])
    return int(tune.bars_played) * int(entry["times_through"])


@every_event
def test_the_clock_runs_forward_on_a_day_to_come(event: dict[str, Any]) -> None:
    times = [event["clock"][name] for name in ("meet", "tune_up", "step_off", "end")]

    assert event["day"].year == 2027
    assert all(earlier < later for earlier, later in pairwise(times))


@every_event
def test_nothing_in_the_arrangements_is_left_empty(event: dict[str, Any]) -> None:
    assert all(event["arrangements"].values())


@every_event
def test_hazards_leave_the_last_word_to_those_on_the_ground(event: dict[str, Any]) -> None:
    words = event["arrangements"]["hazards"].lower()

    assert any(who in words for who in ("marshal", "steward", "keeper"))


@every_event
def test_no_telephone_number_stands_in_the_file(event: dict[str, Any]) -> None:
    assert not any(char.isdigit() for char in event["arrangements"]["contact"])


def test_the_stretches_of_the_parade_add_up_to_its_route() -> None:
    route = EVENTS["lamp_day_parade"]["route"]

    assert sum(stretch["length_m"] for stretch in route["stretch"]) == route["length_m"]
    assert all(place["to_m"] <= route["length_m"] for place in route["place"])


def test_the_march_fits_between_step_off_and_the_end() -> None:
    event = EVENTS["lamp_day_parade"]
    route, clock = event["route"], event["clock"]
    minutes = route["length_m"] / (route["pace_m"] * route["steps_per_minute"])
    allowed = (clock["end"].hour - clock["step_off"].hour) * 60
    allowed += clock["end"].minute - clock["step_off"].minute

    assert route["pace_m"] == BAND["band"]["pace_m"] == 0.762  # 30 inches
    assert route["steps_per_minute"] == BAND["band"]["steps_per_minute"]
    assert minutes < allowed


@every_event
def test_everybody_has_answered_once(event: dict[str, Any]) -> None:
    line_up = event["line_up"]
    answers = [*line_up["people"], *line_up["maybe"], *line_up["no"]]

    assert sorted(answers) == sorted(PEOPLE)


@every_event
def test_only_those_in_the_line_up_are_out_or_play_harmony(event: dict[str, Any]) -> None:
    line_up = event["line_up"]
    played = {
        entry["tune_key"] for item in event["item"] for entry in set_of(item).get("entry", ())
    }

    for person, tune in (*line_up["outs"], *line_up["harmony"]):
        assert person in line_up["people"]
        assert tune in played
    assert not {tuple(out) for out in line_up["outs"]} & {tuple(h) for h in line_up["harmony"]}


def set_of(item: dict[str, Any]) -> dict[str, Any]:
    found: dict[str, Any] = SETS.get(item.get("set_key", ""), {})
    return found


@every_event
def test_pipe_harmony_is_played_on_pipes(event: dict[str, Any]) -> None:
    for person, _ in event["line_up"]["harmony"]:
        assert PEOPLE[person]["instrument"] == Instrument.PIPES


@every_event
def test_learners_in_the_line_up_are_said_to_be_there(event: dict[str, Any]) -> None:
    has_learners = any(PEOPLE[key]["is_learner"] for key in event["line_up"]["people"])

    assert has_learners == ("learners" in event["circumstances"])


def test_the_band_is_as_large_as_a_band_and_has_two_learners() -> None:
    instruments = [Instrument(person["instrument"]) for person in PEOPLE.values()]

    assert len(PEOPLE) >= 18
    assert set(instruments) == set(Instrument)
    assert sum(person["is_learner"] for person in PEOPLE.values()) == 2
    assert {person["rung"] for person in PEOPLE.values()} == {1, 2, 3, 4}


@pytest.mark.parametrize("role", ["pipe-major", "pipe-sergeant", "leading drummer"])
def test_one_person_holds_each_office(role: str) -> None:
    (holder,) = (person for person in PEOPLE.values() if person.get("role") == role)

    assert holder["key"] == BAND["band"][role.replace("-", "_").replace(" ", "_")]
    assert Instrument(holder["instrument"]).is_drum == (role == "leading drummer")


def test_the_contest_line_up_has_eight_pipers_three_snares_and_a_bass() -> None:
    # Usual minimum at the majors to 2021: 8 + 3 + 1 (pipes|drums, 18 March 2022).
    line_up = [PEOPLE[key]["instrument"] for key in EVENTS["oxenwath_contest"]["line_up"]["people"]]

    assert [line_up.count(each) for each in ("pipes", "snare", "bass")] == [8, 3, 1]


def test_every_tune_file_is_in_the_library_and_agrees_with_it() -> None:
    by_file = {tune["file"]: tune for tune in TUNES.values() if "file" in tune}

    assert {f"tunes/{file.name}" for file in FILES} == by_file.keys()
    for file in FILES:
        tune, row = read(file), by_file[f"tunes/{file.name}"]
        assert (tune.title, tune.credits.composer) == (row["title"], row["composer"])
        assert file.stem == row["key"]


def test_every_tune_has_tags_and_a_permission_note() -> None:
    for tune in TUNES.values():
        assert [Occasion(tag) for tag in tune["tags"]]
        assert tune["permission"]
        assert tune["composer"] == "the band" or tune["composer"] in names()


def names() -> set[str]:
    return {person["name"] for person in PEOPLE.values()}


def test_a_tune_carries_the_tag_of_every_set_it_is_in() -> None:
    for each in SETS.values():
        for entry in each["entry"]:
            assert each["occasion"] in TUNES[entry["tune_key"]]["tags"]


def test_one_tune_is_known_by_its_outline_and_a_picture_only() -> None:
    (tune,) = (tune for tune in TUNES.values() if "file" not in tune)
    scan = (SEED_DATA / tune["scan"]).read_bytes()

    assert tune["outline"] == {"metre": "4/4", "parts": [[8, 2]] * 4}
    assert scan.startswith(PNG_SIGNATURE)
    assert len(scan) < 40_000
