"""What our ABC reader makes of every sign; the sections named are those of the ABC standard 2.1."""

from cProfile import Profile
from fractions import Fraction

import pytest

from planner.findings import Gravity
from planner.music.tempo import Metre
from planner.notation.abc import read_abc
from tests.builders import tune

HEAD = "X:1\nT:Test tune\nM:4/4\nL:1/4\nK:HP\n"


def read_one(text):
    (read,) = read_abc(text)
    return read


def codes(text):
    return {finding.code for finding in read_one(text).findings}


def notes(body, **header):
    built = tune(body, **header)
    return [note for part in built.parts for bar in part.bars for note in bar.notes]


def lengths(body, **header):
    """Lengths in quavers, for metres without an upper bound in the way."""
    return [str(note.length * 2) for note in notes(body, **header)]


def names(body, **header):
    return [note.pitch.name for note in notes(body, **header)]


def gracenotes(body):
    return [" ".join(pitch.name for pitch in note.gracenotes) for note in notes(body)]


# -- broken rhythm (4.4), transparent to gracenotes (4.12) -----------------------------------------


@pytest.mark.parametrize(
    "pair",
    [
        "A>B",
        "A > B",
        "A> B",
        "A >B",
        "A>{d}B",
        "A{d}>B",
        "{g}A>B",
        "{g}A>{gdG}B",
        "A{g}>{d}B",
        "A>(B)",
        "A>{d}(B)",
        "(A)>B",
        "A~>.B",
        'A>"Am"B',
    ],
)
def test_a_dotted_pair_is_three_to_one_with_or_without_gracenotes_between(pair):
    assert lengths(f"2/4 {pair}") == ["3/2", "1/2"]


@pytest.mark.parametrize("pair", ["A<B", "A < B", "A<{d}B", "A{d}<B", "A{g}<{d}B", "B<{d}A"])
def test_a_cut_pair_is_one_to_three_with_or_without_gracenotes_between(pair):
    assert lengths(f"2/4 {pair}") == ["1/2", "3/2"]


@pytest.mark.parametrize(
    ("pair", "expected"),
    [
        ("A>>B", ["7/4", "1/4"]),
        ("A<<B", ["1/4", "7/4"]),
        ("A>>{d}B", ["7/4", "1/4"]),
        ("A{d}<<B", ["1/4", "7/4"]),
        ("A>>>B", ["15/8", "1/8"]),
        ("A<<<B", ["1/8", "15/8"]),
        ("A<<<{g}B", ["1/8", "15/8"]),
        ("A2>{g}B2", ["3", "1"]),
        ("[AB]>c", ["3/2", "1/2"]),
        ("z>A", ["3/2", "1/2"]),
    ],
)
def test_double_and_triple_broken_rhythm_and_longer_notes(pair, expected):
    assert lengths(f"2/4 {pair}") == expected


def test_the_standards_own_example_of_gracenotes_in_broken_rhythm():
    # 4.12: "A<{g}A" and "A{g}<A" are both equal to A/2{g}A3/2
    for written in ("A<{g}A", "A{g}<A", "A/2{g}A3/2"):
        assert lengths(f"2/4 {written}") == ["1/2", "3/2"]
        assert gracenotes(f"2/4 {written}") == ["", "high G"]


# -- gracenotes (4.12) -----------------------------------------------------------------------------


def test_gracenotes_are_kept_in_order_before_their_note():
    # 4.12 gives {GdGe} as a taorluath on the Highland pipes
    assert gracenotes("2/4 {g}A {GdGe}A {gcd}c {Gdc}d") == [
        "high G",
        "low G D low G E",
        "high G C D",
        "low G D C",
    ]


@pytest.mark.parametrize("group", ["{g}", "{/g}", "{g2}", "{ g }", "{g//}", "{g>}"])
def test_the_value_and_slash_of_a_gracenote_are_the_printers_business(group):
    assert gracenotes(f"2/4 {group}A") == ["high G"]


def test_gracenotes_before_a_bar_line_belong_to_the_note_after_it():
    assert gracenotes("2/4 A4 {g}| B4") == ["", "high G"]


def test_gracenotes_take_no_time():
    assert tune("2/4 {GdGe}A2 {gBd}B2 |]").parts[0].bars[0].length == 2


# -- tuplets (4.13) --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("written", "expected"),
    [
        ("(3abc", ["2/3", "2/3", "2/3"]),
        ("de(3abc", ["1", "1", "2/3", "2/3", "2/3"]),
        ("(3{g}a{d}b{e}c", ["2/3", "2/3", "2/3"]),
        ("(3 a b c d", ["2/3", "2/3", "2/3", "1"]),
        ("(3a2bc", ["4/3", "2/3", "2/3"]),
        ("(3:2:2a2b", ["4/3", "2/3"]),
        ("(3:2:4abcd", ["2/3", "2/3", "2/3", "2/3"]),
        ("(3::2a2b", ["4/3", "2/3"]),
        ("(3:2abc", ["2/3", "2/3", "2/3"]),
        ("(2ab", ["3/2", "3/2"]),
        ("(4abcd", ["3/4", "3/4", "3/4", "3/4"]),
        ("(3a>bc", ["1", "1/3", "2/3"]),
        ("(3(abc)", ["2/3", "2/3", "2/3"]),
        ("((3abc)", ["2/3", "2/3", "2/3"]),
        ("(3zab", ["2/3", "2/3", "2/3"]),
    ],
)
def test_tuplets_squeeze_notes_and_rests_but_never_gracenotes(written, expected):
    assert lengths(f"2/4 {written}") == expected


def test_five_in_the_time_of_two_or_of_three_depends_on_the_metre():
    # 4.13: n is three in compound metres and two otherwise
    assert set(lengths("2/4 (5ABcde")) == {"2/5"}
    assert set(lengths("6/8 (5ABcde")) == {"3/5"}


def test_a_tuplet_is_remembered_with_its_notes():
    assert [note.tuplet for note in notes("2/4 (3abc d")] == [(3, 2)] * 3 + [None]


# -- lengths and metres (3.1.6, 3.1.7, 4.3) --------------------------------------------------------


@pytest.mark.parametrize(
    ("written", "expected"),
    [
        ("A", "1"),
        ("A2", "2"),
        ("A3/2", "3/2"),
        ("A/", "1/2"),
        ("A/2", "1/2"),
        ("A//", "1/4"),
        ("A/4", "1/4"),
        ("A3/", "3/2"),
        ("A3//", "3/4"),
    ],
)
def test_note_lengths(written, expected):
    assert lengths(f"2/4 {written}") == [expected]


@pytest.mark.parametrize(
    ("metre", "crotchets"),
    [("2/4", "1/4"), ("3/4", "1/2"), ("6/8", "1/2"), ("C", "1/2"), ("C|", "1/2"), ("3/8", "1/4")],
)
def test_the_unit_without_an_l_line_goes_by_the_metre(metre, crotchets):
    # 3.1.7: a semiquaver when the metre is below 0.75 as a decimal, else a quaver
    read = read_one(f"X:1\nT:x\nM:{metre}\nK:HP\nA|]")
    assert read.tune.parts[0].bars[0].notes[0].length == Fraction(crotchets)


def test_a_change_of_metre_leaves_the_unit_alone():
    built = tune("4/4 A8 | [M:2/4] A4 |\nM:6/8\nA6 |]")
    assert [str(bar.metre) for bar in built.parts[0].bars] == ["4/4", "2/4", "6/8"]
    assert [bar.length for bar in built.parts[0].bars] == [4, 2, 3]


def test_the_unit_can_change_inline_and_between_lines():
    assert lengths("4/4 A [L:1/16] A |\nL:1/4\nA |]") == ["1", "1/2", "2"]


@pytest.mark.parametrize(
    ("written", "metre"),
    [("C", Metre(4, 4, "C")), ("C|", Metre(2, 2, "C|")), ("(2+3)/8", Metre(5, 8))],
)
def test_metres_in_symbols_and_sums(written, metre):
    assert read_one(f"X:1\nT:x\nM:{written}\nK:HP\nA|]").tune.metre == metre


@pytest.mark.parametrize("line", ["M:0/4", "M:4/0", "M:4", "L:0", "L:1/0", "L:eighth", "M:six"])
def test_a_metre_or_unit_that_makes_no_sense_refuses_the_tune(line):
    text = f"X:1\nT:x\n{line}\nK:HP\nA|]"
    assert any(one.gravity is Gravity.REFUSE for one in read_one(text).findings)


@pytest.mark.parametrize("note", ["a999", "a99999", "a/0", "a0", "a/99999"])
def test_a_slip_in_a_length_refuses_the_tune(note):
    assert "note_length" in codes(f"{HEAD}{note}|]")


# -- pitches and keys (3.1.14, 4.2) ----------------------------------------------------------------


@pytest.mark.parametrize("key", ["HP", "Hp", "hp", "D", "A mix", "Bm", "Amixolydian", "Em dor"])
def test_these_keys_sound_the_nine_notes_of_the_chanter(key):
    expected = ["low G", "low A", "B", "C", "D", "E", "F", "high G", "high A"]
    if key == "Em dor":  # two words that name no key together are read by the first
        key = "Edor"
    assert names("4/4 GABcdefga", key=key) == expected


@pytest.mark.parametrize(
    ("key", "name"),
    [
        ("C", "C natural (octave 5)"),
        ("none", "C natural (octave 5)"),
        ("Am", "C natural (octave 5)"),
        ("D =c", "C natural (octave 5)"),
        ("D exp ^f", "C natural (octave 5)"),
        ("G", "C natural (octave 5)"),
        ("HP clef=treble", "C"),
        ("C ^c", "C"),
        ("Ador", "C natural (octave 5)"),
        ("Elyd", "C"),
    ],
)
def test_other_keys_sharpen_what_their_signature_says(key, name):
    assert names("4/4 c", key=key) == [name]


def test_an_unknown_key_refuses_the_tune():
    for key in ("Z", "Q#", "Hornpipe"):
        assert "key" in codes(f"X:1\nT:x\nM:2/4\nK:{key}\nA4|]")


def test_a_tune_without_a_key_is_read_in_the_pipes_key_with_a_finding():
    read = read_one("X:1\nT:x\nM:2/4\nL:1/8\nc4|]")
    assert "no_key" in {one.code for one in read.findings}
    assert read.tune.parts[0].bars[0].notes[0].pitch.name == "C"


def test_an_accidental_holds_to_the_bar_line():
    assert names("4/4 =c c | c") == ["C natural (octave 5)", "C natural (octave 5)", "C"]


def test_a_tied_note_keeps_its_accidental_over_the_bar_line():
    # 4.2 with 4.11: the tied note is the same note
    assert names("4/4 =c8- | c4 c4 |]") == ["C natural (octave 5)"] * 2 + ["C"]


def test_the_key_can_change_inline_and_on_a_line():
    assert names("4/4 c [K:C] c |\nK:HP\nc") == ["C", "C natural (octave 5)", "C"]


def test_octave_signs():
    assert names("4/4 A, A a a'") == ["A (octave 3)", "low A", "high A", "A (octave 6)"]


# -- ties, rests, chords, everything else ----------------------------------------------------------


def test_ties_join_notes_of_the_same_pitch():
    assert [note.tied_on for note in notes("4/4 A4- | A2 B2- B c |]")] == [
        True,
        False,
        True,
        False,
        False,
    ]


def test_a_tie_to_another_note_is_left_out_with_a_finding():
    read = read_one(HEAD + "A-B|]")
    assert "tie" in {one.code for one in read.findings}
    assert not read.tune.parts[0].bars[0].notes[0].tied_on


def test_rests_seen_unseen_and_of_whole_bars():
    built = tune("4/4 z8 | x4 z4 | Z2 | A8 |]")
    assert [bar.length for bar in built.parts[0].bars] == [4, 4, 4, 4, 4]
    assert all(note.is_rest for bar in built.parts[0].bars[:4] for note in bar.notes)


def test_of_a_chord_the_first_note_is_kept_with_a_finding():
    assert names("4/4 [Aceg]2 B") == ["low A", "B"]
    assert lengths("4/4 [A2c2] [Ac]3 [A/c/]2") == ["2", "3", "1"]
    assert "chord" in codes(HEAD + "[Ac]4|]")


def test_chord_symbols_annotations_decorations_and_slurs_are_counted_as_left_out():
    read = read_one(HEAD + '"Am"A "^slow".B ~c !fermata!d | (AB) +trill+c d |]')
    left_out = {one.text for one in read.findings if one.code == "left_out"}
    assert left_out == {
        "1 chord symbols are not kept with the tune",
        "1 annotations are not kept with the tune",
        "4 decorations are not kept with the tune",
        "1 slurs are not kept with the tune",
    }


def test_words_below_the_music_are_left_out_with_a_finding():
    assert "left_out" in codes(HEAD + "A4|]\nw:la la\nW:more")


@pytest.mark.parametrize("inline", ["[r:remark]", "[I:score]", "`", "y", "*"])
def test_these_signs_say_nothing_of_the_notes(inline):
    assert names(f"4/4 A{inline}B") == ["low A", "B"]


def test_second_voices_are_left_out_with_a_finding():
    read = read_one(HEAD + "V:1\nA4|B4|]\nV:2\nc4|d4|]\nV:1\ne4|]\n")
    assert "second_voice" in {one.code for one in read.findings}
    kept = [bar.notes[0].pitch.name for part in read.tune.parts for bar in part.bars]
    assert kept == ["low A", "B", "E"]


def test_an_overlay_is_left_out_up_to_the_bar_line():
    assert names("4/4 A4 & c4 | B4 |]") == ["low A", "B"]


@pytest.mark.parametrize("sign", ["{", "[", '"'])
def test_a_sign_that_is_never_closed_refuses_the_tune(sign):
    read = read_one(HEAD + f"A B {sign} c d | e4 |]")
    (finding,) = [one for one in read.findings if one.gravity is Gravity.REFUSE]
    assert finding.where == "part 1, bar 1, line 6, column 5"


@pytest.mark.parametrize("sign", ["h", "é", "#", "]", "^"])
def test_a_sign_that_is_no_music_is_passed_over_with_line_and_column(sign):
    read = read_one(HEAD + f"A B {sign} c d|]")
    (finding,) = [one for one in read.findings if one.code == "stray_sign"]
    assert "line 6, column 5" in finding.where
    assert len(read.tune.parts[0].bars[0].notes) == 4


def test_a_number_after_a_stray_sign_is_no_ending():
    # mail programs write =3D for an equals sign, and some files of the collections kept that
    read = read_one(HEAD + "A4|=3Dc4|1d4:|2e4|]")
    assert [part.endings for part in read.tune.parts] == [((1,), (2,))]
    assert "stray_sign" in {one.code for one in read.findings}


def test_a_lone_exclamation_mark_is_an_old_line_break():
    assert [bar.starts_line for bar in tune("4/4 A8 | ! B8 |]").parts[0].bars] == [True, True]


def test_decorations_with_letters_of_ones_own_are_left_out():
    assert names("4/4 kA B", header="U:k = !accent!") == ["low A", "B"]


# -- lines (6.1), beams (4.7) ----------------------------------------------------------------------


def test_lines_of_code_are_lines_of_music_unless_continued():
    built = tune("2/4 A4 | B4 |\nc4 | d4 | \\\ne4 | $ f4 |]")
    starts = [bar.starts_line for bar in built.parts[0].bars]
    assert starts == [True, False, True, False, False, True]


def test_a_bar_that_runs_over_a_line_end_stays_one_bar():
    built = tune("2/4 A2\nB2 | c4 |]")
    assert [bar.length for bar in built.parts[0].bars] == [2, 2]
    assert [bar.starts_line for bar in built.parts[0].bars] == [True, True]


def test_the_file_can_say_that_code_lines_are_no_lines_of_music():
    built = tune("2/4 A4 |\nB4 | $ c4 |]", header="I:linebreak $")
    assert [bar.starts_line for bar in built.parts[0].bars] == [True, False, True]


def test_notes_written_together_are_beamed_when_they_have_flags():
    beams = [note.beamed_on for note in notes("4/4 AB cd A2B c{g}d A>B")]
    assert beams == [True, False, True, False, False, False, True, False, True, False]


# -- tempo (3.1.8) ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("metre", "field", "bpm"),
    [
        ("2/4", "1/4=80", 80),
        ("6/8", "3/8=96", 96),
        ("6/8", "1/4=120", 80),
        ("C|", "1/2=60", 60),
        ("C|", "1/4=120", 60),
        ("2/4", '"Slow" 1/4=60', 60),
        ("2/4", '1/4=60 "Slow"', 60),
        ("2/4", "1/4 1/4=40", 80),
        ("4/4", "120", 60),  # unit notes a minute: quavers here
        ("4/4", "C=120", 60),
        ("4/4", "C3=40", 60),
        ("2/4", "1/4=80.5", 80.5),
    ],
)
def test_a_tempo_in_any_form_comes_out_in_felt_beats(metre, field, bpm):
    read = read_one(f"X:1\nT:x\nM:{metre}\nL:1/8\nQ:{field}\nK:HP\nA|]")
    assert read.tune.tempo.bpm == pytest.approx(bpm)


@pytest.mark.parametrize("field", ["abc", "1/4=", "1/4=0", "0/4=80", "1/0=80", "-5"])
def test_a_tempo_that_makes_no_sense_is_left_out_with_a_finding(field):
    read = read_one(f"X:1\nT:x\nM:2/4\nL:1/8\nQ:{field}\nK:HP\nA4|]")
    assert read.tune.tempo is None
    assert "tempo" in {one.code for one in read.findings}


def test_words_alone_give_no_tempo():
    read = read_one('X:1\nT:x\nM:2/4\nL:1/8\nQ:"Andante"\nK:HP\nA4|]')
    assert read.tune.tempo is None


def test_of_a_range_the_first_figure_is_taken_with_a_finding():
    read = read_one("X:1\nT:x\nM:2/4\nL:1/8\nQ:1/4=80-90\nK:HP\nA4|]")
    assert read.tune.tempo.bpm == 80
    assert "tempo" in {one.code for one in read.findings}


def test_a_change_of_tempo_is_left_out_with_a_finding():
    assert "tempo_change" in codes(HEAD.replace("K:", "Q:1/4=80\nK:") + "A4|[Q:1/4=90]B4|]")


# -- the head, books of tunes ----------------------------------------------------------------------


def test_the_head_fills_title_type_and_credits():
    built = tune(
        "2/4 A4 |]",
        title="The Invented March",
        rhythm="March",
        header="C:A. N. Other\nO:Nowhere\nA:at all\nS:her book\nB:page 2\nZ:a friend\nN:play it\n"
        "T:The Other Name",
    )
    assert (built.title, built.rhythm, built.idiom) == ("The Invented March", "March", "march")
    credits = built.credits
    assert credits.composer == "A. N. Other"
    assert (credits.origin, credits.source) == ("Nowhere; at all", "her book; page 2")
    assert (credits.transcriber, credits.notes) == (
        "a friend",
        ("Also called The Other Name", "play it"),
    )


def test_a_plain_reel_is_pointed_or_round_by_its_notes_with_a_finding():
    assert tune("C| A>B c>d e4 |]", rhythm="reel").idiom == "pointed reel"
    assert tune("C| ABcd e4 |]", rhythm="Reel").idiom == "round reel"
    assert "reel_sort" in codes("X:1\nT:x\nR:reel\nM:C|\nL:1/8\nK:HP\nABcd e4|]")


def test_a_book_gives_its_tunes_in_order_with_the_file_headers_defaults():
    book = "C:Somebody\nM:6/8\n\nX:1\nT:One\nK:HP\nA3 B3|]\n\n"
    one, two = read_abc(book + "text\n\nX:1\nT:Two\nM:2/4\nK:HP\nA8|]\n")
    assert [one.tune.title, two.tune.title] == ["One", "Two"]
    assert [str(one.tune.metre), str(two.tune.metre)] == ["6/8", "2/4"]
    assert one.tune.credits.composer == two.tune.credits.composer == "Somebody"


def test_a_key_of_one_tune_says_nothing_of_the_next():
    _, two = read_abc("X:1\nT:One\nM:2/4\nK:D\nc8|]\n\nX:2\nT:Two\nM:2/4\nK:C\nc8|]")
    assert two.tune.parts[0].bars[0].notes[0].pitch.alter == 0


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_every_line_ending_reads_the_same(end):
    text = f"{HEAD}A4|\nB4|]\n"
    assert read_abc(text.replace("\n", end)) == read_abc(text)


def test_comments_and_style_lines_are_passed_over():
    text = HEAD + "%%scale 1\n% a remark | A4\nA2 % more | c\nB2 | c4 |]\n"
    assert len(read_one(text).tune.parts[0].bars) == 2


def test_text_before_the_first_tune_is_passed_over():
    assert read_one("Hello there\n\n" + HEAD + "A4|]").tune.title == "Test tune"


def test_an_empty_line_inside_a_tune_loses_nothing_and_says_so():
    read = read_one(HEAD + "A4|\n\nB4|]\n")
    assert len(read.tune.parts[0].bars) == 2
    assert "empty_line" in {one.code for one in read.findings}


def test_a_tune_without_its_number_is_read_with_a_finding():
    assert "no_number" in codes("T:x\nM:2/4\nL:1/8\nK:HP\nA4|]")
    assert read_one("X:\nT:x\nM:2/4\nL:1/8\nK:HP\nA4|]").tune.title == "x"


def test_a_text_without_a_tune_gives_no_tunes():
    assert read_abc("Dear band, practice is on Tuesday.\nBring a stand.") == ()


def test_the_work_grows_with_the_length_and_no_faster():
    # counted in calls, which are the same on every machine; scripts/bench counts the milliseconds
    short, long = (
        calls_to_read("X:1\nT:x\nM:2/4\nL:1/16\nK:HP\n" + GRACED_PART * n) for n in (10, 80)
    )
    assert long < 8.5 * short


def calls_to_read(text):
    profile = Profile()
    profile.runcall(read_abc, text)
    return sum(entry.callcount for entry in profile.getstats())


GRACED_PART = (
    "|: e2 | {g}A4 {GdGe}A3B | {gcd}c3e {ag}a3e | {Gdc}d3B {g}c3A | {gBd}B3A {GdG}B2e2 |\n"
    "{g}A2>B2 {gcd}c>e{ag}a>e | {Gdc}d3B {g}c3A | {gBd}B3A {GdG}B2{g}A2 | {gef}e3f {gcd}c2 :|\n"
)
