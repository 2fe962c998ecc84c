"""Tunes for Hypothesis: everything a writer can set down, bars that add up, invented at random."""

from dataclasses import replace
from fractions import Fraction

from hypothesis import strategies as st

from planner.music.scale import CHANTER, Pitch
from planner.music.tempo import Metre, Tempo
from planner.music.tune import Bar, Credits, Note, Part, Tune

METRES = (Metre(2, 4), Metre(3, 4), Metre(4, 4, "C"), Metre(2, 2, "C|"), Metre(6, 8), Metre(9, 8))
#: Note lengths that fill a crotchet and a dotted crotchet; (3, 2) marks a triplet's notes.
SIMPLE_BEATS = ("1", "1/2 1/2", "3/4 1/4", "1/4 3/4", "1/4 1/4 1/4 1/4", "7/8 1/8", "t t t")
COMPOUND_BEATS = ("3/2", "1 1/2", "1/2 1/2 1/2", "3/4 1/4 1/2", "1/2 1")
OFF_THE_CHANTER = (Pitch("C", 0, 5), Pitch("F", 0, 5), Pitch("B", -1, 4), Pitch("D", 2, 6))

pitches = st.one_of(st.sampled_from(CHANTER), st.sampled_from((*CHANTER, *OFF_THE_CHANTER)))
gracenotes = st.lists(st.sampled_from(CHANTER), max_size=5).map(tuple)
words = st.text(st.characters(categories=("L", "N", "P", "S")), min_size=1, max_size=12)
texts = st.lists(words, min_size=1, max_size=3).map(" ".join)


def is_written_twice_over(text: str) -> bool:
    """True for a composer that reads as an arranger, which ABC tells apart by "arr."."""
    return text.lower().startswith("arr")


@st.composite
def beats(draw: st.DrawFn, metre: Metre) -> list[Note]:
    kinds = COMPOUND_BEATS if metre.is_compound else SIMPLE_BEATS
    is_joined = draw(st.booleans())
    notes = []
    for length in draw(st.sampled_from(kinds)).split():
        is_triplet = length == "t"
        pitch = draw(st.one_of(pitches, pitches, pitches, st.none()))
        notes.append(
            Note(
                pitch,
                Fraction(1, 3) if is_triplet else Fraction(length),
                draw(gracenotes),
                tuplet=(3, 2) if is_triplet else None,
            )
        )
    return [
        replace(note, beamed_on=is_joined and has_flag(note) and has_flag(following))
        for note, following in zip(notes, [*notes[1:], Note(None, Fraction(1))], strict=True)
    ]


def has_flag(note: Note) -> bool:
    return note.pitch is not None and note.length < 1


@st.composite
def bars(draw: st.DrawFn, number: int, metre: Metre, ending: int = 0) -> Bar:
    step = Fraction(3, 2) if metre.is_compound else Fraction(1)
    count = int(metre.bar_length / step)
    notes = [note for _ in range(count) for note in draw(beats(metre))]
    return Bar(number, metre, tuple(notes), ending, draw(st.booleans()))


@st.composite
def parts(draw: st.DrawFn, number: int, metre: Metre) -> Part:
    has_pickup = draw(st.booleans())
    body = [draw(bars(index, metre)) for index in range(1, draw(st.integers(1, 3)) + 1)]
    if has_pickup:
        body = [Bar(0, metre, (Note(draw(pitches), Fraction(1, 2), draw(gracenotes)),)), *body]
    times, passes = draw(
        st.sampled_from(((1, ()), (2, ()), (3, ()), (2, ((1,), (2,))), (4, ((1, 3), (2, 4)))))
    )
    endings = [
        draw(bars(body[-1].number + 1, metre, ending)) for ending in range(1, len(passes) + 1)
    ]
    return Part(number, (*body, *endings), times, passes)


@st.composite
def tunes(draw: st.DrawFn) -> Tune:
    metre = draw(st.sampled_from(METRES))
    made = [draw(parts(number, metre)) for number in range(1, draw(st.integers(1, 3)) + 1)]
    first = made[0].bars[0]
    made[0] = replace(made[0], bars=(replace(first, starts_line=True), *made[0].bars[1:]))
    return with_ties(
        Tune(
            draw(texts),
            metre,
            tuple(made),
            idiom=draw(st.sampled_from(("march", "slow air", "round reel", None))),
            tempo=draw(st.one_of(st.none(), st.floats(20, 300).map(Tempo))),
            credits=draw(credits_of_a_setting),
            rhythm=draw(st.sampled_from(("", "march", "Reel", "air"))),
            phrase_bars=draw(st.sampled_from((None, 2, 4))),
            line_bars=draw(st.sampled_from((None, 4))),
            phrase_starts=draw(phrase_starts(made)),
        )
    )


@st.composite
def phrase_starts(draw: st.DrawFn, made: list[Part]) -> tuple[tuple[int, ...], ...]:
    """Phrases set by hand in some of the parts, or in none."""
    starts = []
    for part in made:
        last = max((bar.number for bar in part.full_bars), default=0)
        later = st.lists(st.integers(2, last), unique=True) if last > 1 else st.just([])
        is_set = draw(st.booleans()) and last
        starts.append((1, *sorted(draw(later))) if is_set else ())
    return tuple(starts) if any(starts) else ()


maybe = st.one_of(st.just(""), texts)
credits_of_a_setting = st.builds(
    Credits,
    composer=maybe.filter(lambda text: not is_written_twice_over(text)),
    arranger=maybe,
    origin=maybe,
    source=maybe,
    transcriber=maybe,
    notes=st.lists(texts, max_size=2).map(tuple),
)


def with_ties(tune: Tune) -> Tune:
    """The tune with every note tied on whose next note in the bar is the same and even-numbered."""
    return replace(
        tune,
        parts=tuple(
            replace(part, bars=tuple(replace(bar, notes=tied(bar.notes)) for bar in part.bars))
            for part in tune.parts
        ),
    )


def tied(notes: tuple[Note, ...]) -> tuple[Note, ...]:
    following = (*notes[1:], None)
    return tuple(
        replace(note, tied_on=note.pitch is not None and after is not None and is_tie(note, after))
        for note, after in zip(notes, following, strict=True)
    )


def is_tie(note: Note, after: Note) -> bool:
    return note.pitch == after.pitch and not after.gracenotes
