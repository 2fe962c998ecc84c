"""Invented sheets to print."""

import base64

from api.display.paper.call_sheet import CallSheetView, NumbersView, OrderLineView
from api.display.paper.drum_sheet import BarView, DrumSheetView, DrumTuneView, StripView
from api.display.paper.phrased_music import (
    LegendView,
    MarkView,
    PhrasedMusicView,
    PhrasedTuneView,
    PictureView,
)
from api.display.paper.set_card import (
    CardTuneView,
    FlagView,
    FrontCardView,
    FrontSetView,
    SetCardView,
)

FIVE_LINES = "".join(
    f'<path d="M0 {30 + i * 15}H860" stroke="#000" stroke-width="4"/>' for i in range(5)
)
STAFF = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="86mm" height="12mm" viewBox="0 0 860 120">'
    f"{FIVE_LINES}</svg>"
)
PICTURE = "data:image/svg+xml;base64," + base64.b64encode(STAFF.encode()).decode()
SIGN = PictureView(PICTURE, 4, 2, "hold")


def card_tune(number: int = 1, title: str = "The Lantern on Harrow Brae", **changes: object):
    told = {
        "facts": "march · 2/4 · 84 · twice through",
        "opening": PICTURE,
        "start": "two three-pace rolls",
        "stop": "end of part 4",
        "join": "straight on, same pace",
        "out": "Jo Pell",
        "harmony": "Isla Rennick, Tom Farr",
        "flags": (FlagView("part 1, bar 3, beat 2: hold the D", SIGN),),
    }
    return CardTuneView(number, title, **(told | changes))


def set_card(*tunes: CardTuneView, **changes: object) -> SetCardView:
    told = {
        "event": "Harvest parade",
        "occasion": "parade",
        "tempos": ("84",),
        "tempo_unit": "crotchets a minute",
        "strictness": "strict",
        "strictness_note": "Drums strict: nothing moves on a stroke.",
        "set_number": "Set 1",
        "set_name": "Street set",
        "stop_signal": "mace raised and held level",
        "version": "version 3, made 12 Jun 2031 18:04",
    }
    return SetCardView(tunes=tunes or (card_tune(),), **(told | changes))


def front_card(**changes: object) -> FrontCardView:
    told = {
        "event": "Harvest parade",
        "occasion": "parade",
        "day": "Saturday 14 June 2031",
        "times": (("Meet", "09:15"), ("Tune up", "09:45"), ("Step-off", "10:30")),
        "sets": (
            FrontSetView("1", "Street set", "84", "strict", ("The Lantern on Harrow Brae",)),
            FrontSetView("2", "Hill set", "84", "strict"),
        ),
        "stop_signal": "mace raised and held level",
        "version": "version 3, made 12 Jun 2031 18:04",
    }
    return FrontCardView(**(told | changes))


VERSION = "version 3, made 12 Jun 2031 18:04"
LINE = PictureView(PICTURE, 180, 12, "line 1")
MARK = MarkView("Part 1, bar 3, beat 2", "Hold D, C pays", "strict", "It opens a line.")


def phrased_tune(title: str = "The Lantern on Harrow Brae", **changes: object) -> PhrasedTuneView:
    told = {
        "facts": "march · 2/4 · 84 crotchets a minute · 4 parts · twice through",
        "layers": (("Within the beat", "slight"), ("Across the bar", "none")),
        "set_name": "Street set",
        "occasion": "Parade",
        "credits": ("A. Tarn", "arranged by B. Moss"),
        "reasons": ("Parade, own band: within the beat slight.",),
        "systems": (LINE,) * 8,
        "legend": (LegendView(SIGN, "hold", "Stay on this note."),),
        "paying": "A note that pays gives the time back.",
        "marks": (
            MarkView("Part 1, bar 3, beat 2", "Hold D, C pays", "strict", "It opens a line."),
        ),
        "left_out": (("part 2, bar 1, beat 1", "No room"),),
    }
    return PhrasedTuneView(title, **(told | changes))


def phrased_music(*tunes: PhrasedTuneView) -> PhrasedMusicView:
    return PhrasedMusicView("Harvest parade", "Parade", tunes or (phrased_tune(),), VERSION)


def drum_tune(title: str = "The Lantern on Harrow Brae", bars: int = 8) -> DrumTuneView:
    strict = tuple(BarView(str(number), "strict") for number in range(2, bars + 1))
    follow = BarView("1", "follow", ("beat 2", "35 ms later"))
    return DrumTuneView(
        number="Set 1",
        title=title,
        tempo="84",
        tempo_unit="crotchets a minute",
        tempo_word="agreed tempo",
        facts="march, pointed · 2/4 · tonal centre A · 4 parts",
        strips=tuple(StripView(f"Part {n}", (follow, *strict)) for n in range(1, 5)),
        asks=("Part 1, bar 1, beat 2: follow, to be agreed: 35 ms later.",),
        notes=("No drum score.",),
    )


def drum_sheet(*tunes: DrumTuneView, **changes: object) -> DrumSheetView:
    told = {
        "event": "Harvest parade",
        "occasion": "Parade",
        "day": "Saturday 14 June 2031",
        "verdict": "Strict tempo but for one mark to follow.",
        "changes": ("The Lantern on Harrow Brae now leans in bar 1.",),
        "legend": tuple((word, f"{word} means this.") for word in VERDICTS),
        "version": VERSION,
    }
    return DrumSheetView(tunes=tunes or (drum_tune(),), **(told | changes))


VERDICTS = ("strict", "watch", "follow", "conflict")


def call_sheet(**changes: object) -> CallSheetView:
    told = {
        "event": "Harvest parade",
        "occasion": "Parade",
        "day": "Saturday 14 June 2031",
        "times": (("Meet", "09:15"), ("Tune up", "09:45"), ("Step-off", "10:30")),
        "details": (("Place", "the mill green"), ("Dress", "day dress")),
        "order": (OrderLineView("10:30", "Set 1: Street set", "3 min 20 s", "The Lantern"),),
        "numbers": (NumbersView("Pipes", "8", "6", "enough"),),
        "hazards": "wet cobbles",
        "cautions": ("Hearing: wear ear protection at practices indoors.",),
        "version": VERSION,
    }
    return CallSheetView(**(told | changes))
