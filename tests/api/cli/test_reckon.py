"""The sums on the command line: the fields of their JSON, and one sentence for bad input."""

import json

import pytest
from typer.testing import CliRunner

from api.actions.contest_rules import add_file
from api.cli.reckon import reckon_app
from planner.errors import RequestError


def run(line: str):
    return CliRunner().invoke(reckon_app, line.split())


def answer(line: str):
    done = run(f"{line} --json")
    assert done.exit_code == 0, done.output
    return json.loads(done.stdout)


def sentence(line: str) -> str:
    done = run(line)
    assert isinstance(done.exception, RequestError), done.output
    return str(done.exception)


def test_march_gives_the_metres_of_the_minutes():
    # 120 paces of 30 inches are 100 yards a minute: War Office, Infantry Training, 1905.
    got = answer("march --rate 120 --pace 0.762 --minutes 60")
    assert got == {"metres": 5486.4, "minutes": 60.0, "metres_per_minute": 91.44}


def test_march_gives_the_minutes_of_the_metres():
    assert answer("march --rate 80 --pace 0.75 --distance 600")["minutes"] == 10


def said(*words: str):
    done = CliRunner().invoke(reckon_app, ["march", "--rate", "80", "--pace", "0.75", *words])
    return done


def test_march_takes_stretches_with_slopes_and_halts():
    # 300 m of paces of 0.75 m are 5 minutes at 80; 285 m uphill are as many paces of 0.7125 m
    got = json.loads(said("--stretch", "300 halt 90", "--stretch", "285 up", "--json").stdout)
    assert (got["metres"], got["walking_minutes"], got["halted_minutes"]) == (585, 10, 1.5)
    assert (got["minutes"], got["metres_per_minute"]) == (11.5, 58.5)
    assert [each["slope"] for each in got["stretches"]] == ["level", "up"]
    text = said("--stretch", "300, halt 90", "--stretch", "285 up").stdout
    assert "300 m level: 5:00 min by paces of 0.75 m, then a halt of 90 s" in text
    assert "585 m in 11:30 min, 1:30 of it in halts; 58.5 m a minute on the march" in text


@pytest.mark.parametrize(
    ("stretch", "words"),
    [
        ("0", "stretch 1: 0 is not above zero"),
        ("-5 up", "stretch 1: -5 is not above zero"),
        ("nan", "stretch 1: nan is not a number to reckon with"),
        ("300 halt -1", "stretch 1, halt: -1 is below zero"),
        ("far", "stretch: 'far' is not understood; write such as 250, 250 up, or 400 down"),
        ("300 steep", "stretch: '300 steep' is not understood"),
        ("300 up halt", "stretch: '300 up halt' is not understood"),
        ("300 halt long", "stretch: '300 halt long' is not understood"),
        ("", "stretch: '' is not understood"),
    ],
)
def test_a_stretch_that_makes_no_sense_gets_one_sentence(stretch, words):
    done = said("--stretch", stretch)
    assert isinstance(done.exception, RequestError), done.output
    assert words in str(done.exception)


def test_stretches_and_a_distance_are_one_too_many():
    done = said("--stretch", "300", "--distance", "300")
    assert "stretch: is given beside a length; give one of the two" in str(done.exception)


def test_dance_gives_bars_and_seconds():
    # Bars and tempo: D. MacPhee, Piping for Dancing part 2, 2020; 136 bars of two beats at 102.
    got = answer("dance full-tulloch --steps 16 --tempo 102 --introduction 8")
    assert (got["bars"], got["seconds"]) == (136, 160)


def test_dance_takes_slow_and_quick():
    got = answer("dance strathspey-and-half-tulloch --steps 4+8 --tempo 120,100")
    assert got["seconds"] == pytest.approx(148.8)
    assert got["quick_from_bar"] == 33


def test_dance_takes_turns_and_bars_a_minute():
    got = answer("dance country-reel --steps 8x32 --bars-a-minute 58")
    assert got["seconds"] == pytest.approx(264.8, abs=0.1)
    assert answer("dance country-reel --steps 8 --bars-per-step 48 --tempo 116")["bars"] == 384


def test_dance_takes_the_beats_that_are_not_on_record():
    assert answer("dance blue-bonnets --steps 4 --tempo 100 --beats-per-bar 2")["bars"] == 36


def test_contest_gives_verdict_margin_source_and_since():
    got = answer("contest rspba-2012-grade-2-medley --seconds 366")
    assert (got["verdict"], got["margin_seconds"], got["since"]) == ("over", -6, "2012")
    assert "31 Aug 2012" in got["source"]
    assert got["note"] == "Confirm with your own body's current rules."


def test_sound_gives_minutes_and_dose():
    got = answer("sound --level 94 --minutes 30 --limit eu-limit")
    assert got["minutes_to_value"] == pytest.approx(480 / 2 ** (7 / 3))
    assert got["dose_percent"] == pytest.approx(100 * 30 / got["minutes_to_value"])
    assert any("counts ear protection" in note for note in got["notes"])
    assert answer("sound --level 94")["dose_percent"] is None


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("march --rate 80 --pace 0.75 --distance 600", "600 m in 10:00 min, 60 m a minute"),
        ("dance seann-triubhas --steps 3+1 --tempo 94,114", "quick time from dance bar 25"),
        ("contest rspba-2026-grade-2-medley --seconds 345", "Ok: inside 4:00 to 6:00, 15 s from"),
        ("sound --level 94", "reaches the daily value after 60 min"),
        ("sound --level 94 --minutes 30", "30 min are 50 % of the daily value"),
    ],
)
def test_without_json_there_is_a_line_to_read(line, words):
    assert words in run(line).stdout


def test_dances_and_rules_are_listed_by_name():
    assert "half-tulloch" in {row["name"] for row in answer("dance --list")}
    assert "rspba-2026-grade-2-medley" in {row["name"] for row in answer("contest --list")}
    assert "half-tulloch" in run("dance --list").stdout


def test_scale_gives_the_nine_notes():
    # Ratios: E. Macpherson, comparison of chanter scales, 1998.
    hz = answer("scale --low-a 480")["hz"]
    assert (hz["low G"], hz["D"], hz["high A"], len(hz)) == (420, 640, 960, 9)


def test_every_listed_set_of_rules_with_a_window_can_be_asked():
    rows = [row for row in answer("contest --list") if " to " in row["window"]]
    assert len(rows) > 8
    for row in rows:
        assert answer(f"contest {row['name']} --seconds 270")["verdict"] in {"under", "ok", "over"}


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("march --rate 0 --pace 0.762 --minutes 10", "rate: 0 is not above zero"),
        ("march --rate 86 --pace -1 --minutes 10", "pace: -1 is not above zero"),
        ("march --rate 86 --pace 0.762", "distance: and minutes are both missing"),
        ("march --rate nan --pace 0.762 --minutes 1", "rate: nan is not a number to reckon with"),
        ("dance highland-fling --steps 6", "tempo: Highland Fling has 1 tempo, 0 given"),
        ("dance highland-fling --tempo 114", "steps: is missing; give --steps, such as 4 or 6"),
        ("dance highland-fling --steps 6 --tempo fast", "tempo: 'fast' is no tempo"),
        ("dance highland-fling --steps six --tempo 114", "steps: 'six' is no number of steps"),
        ("dance highland-fling --steps 6 --tempo 114 --introduction -4", "-4 is below zero"),
        ("dance highland-fling --steps 6 --tempo 114 --bars-a-minute 3", "beside bars a minute"),
        ("dance seann-triubhas --steps 4 --tempo 94,114", "slow and quick steps, such as 3+1"),
        ("dance no-such-dance --steps 4 --tempo 90", "there is no dance 'no-such-dance'"),
        ("dance", "dance: is missing; give a name of --list"),
        ("contest rspba-2026-grade-2-medley", "seconds: are missing"),
        ("contest rspba-2026-grade-4b-marches --seconds 9", "has no time limit on record"),
        ("contest nobody --seconds 9", "there are no rules 'nobody' on record"),
        ("contest rspba-2026-grade-2-medley --seconds -9", "seconds: -9 is below zero"),
        ("sound --level 0", "level: 0 dB(A) cannot be an average level"),
        ("sound --level 94 --minutes -1", "minutes: -1 is below zero"),
        ("sound --level 94 --limit osha", "there is no limit 'osha'"),
        ("scale --low-a 240", "low-a: 240 Hz is no chanter's low A; give 400 to 520 Hz"),
    ],
)
def test_bad_input_gets_one_sentence(line, words):
    said = sentence(line)
    assert words in said
    assert said.endswith(".")
    assert "\n" not in said


RULES = """[[ruleset]]
body = "Weir Valley"
year = 2027
grade = "grade 4"
element = "medley"
shortest = "3:00"
longest = "5:00"
"""
OURS = "weir-valley-2027-grade-4-medley"


def test_contest_says_what_nerves_may_do_to_the_time():
    # 352 s of playing last 362.9 s at 3 % slower, 341.7 s at 3 % quicker; the window ends at 360 s
    got = answer("contest rspba-2026-grade-2-medley --seconds 352")
    assert (got["slower"]["seconds"], got["slower"]["verdict"]) == (362.887, "over")
    assert (got["quicker"]["seconds"], got["quicker"]["verdict"]) == (341.748, "ok")
    assert (got["sets"], got["clock_from"]) == (1, "first roll")
    text = run("contest rspba-2026-grade-2-medley --seconds 352").stdout
    assert "With nerves slower it lasts 6:03: over by 2.9 s; quicker it lasts 5:42: ok by" in text


def test_rules_of_a_file_judge_a_time(tmp_path):
    file = tmp_path / "ours.toml"
    file.write_text(RULES, encoding="utf-8")
    got = answer(f"contest {OURS} --rules {file} --seconds 306")
    assert (got["verdict"], got["margin_seconds"]) == ("over", -6)
    assert got["source"] == "the band's own rules, ours.toml"
    listed = answer(f"contest --list --rules {file}")
    assert [each["name"] for each in listed if each["is_own"]] == [OURS]


def test_rules_of_a_library_judge_a_time(database, settings):
    with database.writing() as session:
        add_file(session, database.home_band(), RULES.encode(), "Morna")
    got = answer(f"contest {OURS} --data {settings.data_dir} --seconds 180")
    assert (got["verdict"], got["margin_seconds"]) == ("ok", 0)
    assert got["source"].startswith("the band's own rules, Morna, 20")


def test_a_file_of_rules_that_cannot_be_used_is_one_sentence(tmp_path):
    file = tmp_path / "ours.toml"
    assert "cannot be read as text; name a TOML file" in sentence(f"contest --list --rules {file}")
    file.write_text(RULES.replace("3:00", "6:00"), encoding="utf-8")
    assert sentence(f"contest --list --rules {file}").startswith("shortest: the shortest time")
    assert "there is no folder" in sentence(f"contest --list --data {tmp_path / 'none'}")
