"""Which gracenotes may stand before which note, coming from which note?

A small table of its own, so that the demo tunes are not judged by the engine that plans them. The
nine notes are written as in ABC: G A B c d e f g a from low G to high A. Spellings follow the
tutors cited in ``planner/rules/data/sources.toml``: strikes ("lesson on strikes"), doublings with
their thumb and half forms ("what a doubling is"), throws ("where the beat falls in the throw on
D"), grips and taorluaths ("lessons on the taorluath and the grip"; GdGe on low A also stands in the
ABC standard 2.1, section 4.12). The birls, the half throw and the half forms of grip and
taorluath are from memory.
"""

CUT_OF_A_DOUBLING = {"G": "d", "A": "d", "B": "d", "c": "d", "d": "e", "e": "f", "f": "g"}
STRIKE = {"A": "G", "B": "G", "c": "G", "d": "cG", "e": "A", "f": "e", "g": "f", "a": "g"}

# name, gracenotes, on these notes, coming from these notes
SINGLE_GRACENOTES = (
    ("high G gracenote", "g", "GABcdef", "GABcdef"),
    ("thumb gracenote", "a", "GABcdefg", "g"),
    ("D gracenote", "d", "GABc", "GABc"),
    ("E gracenote", "e", "GABcd", "GABcd"),
    ("F gracenote", "f", "e", "GABcde"),
)
STRIKES = tuple(
    ("strike", strike, note, note) for note, strikes in STRIKE.items() for strike in strikes
)
DOUBLINGS = (
    *(
        (kind, first + note + cut, note, came_from)
        for note, cut in CUT_OF_A_DOUBLING.items()
        for kind, first, came_from in (
            ("doubling", "g", "GABcdef"),
            ("thumb doubling", "a", "g"),
            ("half doubling", "", "a"),
        )
    ),
    ("doubling", "gf", "g", "GABcdefa"),
    ("thumb doubling", "agf", "g", "GABcdefg"),
    ("doubling", "ag", "a", "GABcdefg"),
)
# A movement that begins with low G cannot be heard from low G: there its half form is played.
LOW_HAND_MOVEMENTS = (
    ("throw on D", "Gdc", "d", "ABcdefga"),
    ("heavy throw on D", "GdGc", "d", "ABcdefga"),
    ("half throw on D", "dc", "d", "G"),
    ("heavy half throw on D", "dGc", "d", "G"),
    ("grip", "GdG", "ABcdefga", "ABcefga"),
    ("grip from D", "GBG", "ABcdefga", "d"),
    ("half grip", "dG", "ABcdefga", "G"),
    ("taorluath", "GdGe", "GABcd", "ABcefga"),
    ("taorluath from D", "GBGe", "GABcd", "d"),
    ("half taorluath", "dGe", "GABcd", "G"),
    ("birl", "AGAG", "A", "GBcdefga"),
    ("birl from low A", "GAG", "A", "A"),
    ("G gracenote birl", "gAGAG", "A", "GABcdef"),
    ("thumb birl", "aAGAG", "A", "g"),
)
MOVEMENTS = (*SINGLE_GRACENOTES, *STRIKES, *DOUBLINGS, *LOW_HAND_MOVEMENTS)


def movement_name(gracenotes: str, note: str, came_from: str) -> str | None:
    """The movement these gracenotes make here, or None where they make none."""
    for name, spelling, on, coming_from in MOVEMENTS:
        if spelling == gracenotes and note in on and came_from in coming_from:
            return name
    return None
