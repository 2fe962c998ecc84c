"""What do the words and signs mean? Explained once, for everybody, with the usual cautions."""

from __future__ import annotations

from dataclasses import dataclass

from api.display.paper.drum_sheet import VERDICT_MEANINGS
from api.display.signs import move_sign
from api.display.words import sentence
from planner.engraving.signs import MEANINGS
from planner.marks.marks import Move
from planner.rules.rulebook import RuleBook

LAYERS = (
    (
        "within the beat",
        "How a long and a short note share their beat, and how tight a movement is. "
        "Nobody else is touched, unless a stroke is written on the note that moves.",
    ),
    (
        "across the bar",
        "A beat is held, or a movement comes early or late, and the bar pays it back. "
        "The drummers must know of it: part, bar and beat.",
    ),
    (
        "across the phrase",
        "The phrase breathes and its bar grows. Only with the drums out, or cued.",
    ),
    ("between tunes", "A new tempo, a pause, a break: everybody has drilled it."),
)
LEVELS = (
    ("none", "As written."),
    ("slight", "Felt, not noticed."),
    ("agreed", "As agreed with the leading drummer, and flagged."),
    ("full", "Freely, within what can be heard and played."),
)
WORDS = (
    (
        "Licence",
        "Our word for how freely a tune may be played on an occasion. "
        "The occasion sets a ceiling, each circumstance takes one level off, "
        "and only a named person may lift it.",
    ),
    (
        "Payback",
        "Our word for where the time comes from: a note that is held takes it from a shorter "
        "note in the same bar, so that the bar keeps its length.",
    ),
    (
        "Address",
        "Part, bar and beat, the same for pipers and drummers. The pick-up is bar 0.",
    ),
    (
        "Rung",
        "How well the players command the beat, from 1 to 4. Control comes before colour: "
        "below rung 4 a plan has work to practise instead of marks.",
    ),
    (
        "Link",
        "Our word for bars that only one set plays, between one of its tunes and the next. "
        "They are written with the tune they follow.",
    ),
    (
        "Felt, heard, strong",
        "How surely a listener notices a mark, reckoned from published measurements. "
        "A size in ms is never more exact than the players' own scatter.",
    ),
)
# Which caution stands under which heading?
CAUTIONS = (
    ("Hearing", "cautions.hearing"),
    ("Heat", "cautions.heat"),
    ("Water", "cautions.water"),
    ("Footing", "cautions.footing"),
    ("Hygiene", "cautions.hygiene"),
    ("Dancers' tempo", "cautions.dancers_tempo"),
)


@dataclass(frozen=True, slots=True)
class SignView:
    """A sign, its word and its one meaning."""

    sign: str
    word: str
    meaning: str


@dataclass(frozen=True, slots=True)
class AboutView:
    """The page of words, signs and cautions."""

    words: tuple[tuple[str, str], ...]
    layers: tuple[tuple[str, str], ...]
    levels: tuple[tuple[str, str], ...]
    moves: tuple[SignView, ...]
    verdicts: tuple[tuple[str, str], ...]
    cautions: tuple[tuple[str, str], ...]


def about_view(rules: RuleBook) -> AboutView:
    """The page of words, signs and cautions; the cautions are those of the rule book."""
    return AboutView(
        words=WORDS,
        layers=LAYERS,
        levels=LEVELS,
        moves=move_signs(),
        verdicts=tuple((str(verdict), words) for verdict, words in VERDICT_MEANINGS.items()),
        cautions=tuple(
            (name, rules.word(key).partition(": ")[2] or rules.word(key)) for name, key in CAUTIONS
        ),
    )


def move_signs() -> tuple[SignView, ...]:
    """Every move with its sign and meaning."""
    return tuple(SignView(move_sign(move), move.value, sentence(MEANINGS[move])) for move in Move)
