"""Invented sheets to print."""

import base64

from api.display.set_card import CardTuneView, FrontCardView, SetCardView

FIVE_LINES = "".join(f'<path d="M0 {30 + i * 15}H860" stroke="#000"/>' for i in range(5))
STAFF = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="86mm" height="12mm" viewBox="0 0 860 120">'
    f"{FIVE_LINES}</svg>"
)
PICTURE = "data:image/svg+xml;base64," + base64.b64encode(STAFF.encode()).decode()


def card_tune(number: int = 1, title: str = "The Lantern on Harrow Brae", **changes: object):
    told = {
        "facts": "march · 2/4 · 84 · twice through",
        "opening": PICTURE,
        "start": "two three-pace rolls",
        "stop": "end of part 4",
        "join": "straight on, same pace",
        "out": "Jo Pell",
        "harmony": "Isla Rennick, Tom Farr",
        "flags": ("part 1, bar 3, beat 2: hold the D",),
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
        "version": "version 3, made 12 June 2031 18:04",
    }
    return SetCardView(tunes=tunes or (card_tune(),), **(told | changes))


def front_card(**changes: object) -> FrontCardView:
    told = {
        "event": "Harvest parade",
        "occasion": "parade",
        "day": "Saturday 14 June 2031",
        "times": (("Meet", "09:15"), ("Tune up", "09:45"), ("Step-off", "10:30")),
        "sets": (("1", "Street set", "84", "strict"), ("2", "Hill set", "84", "strict")),
        "stop_signal": "mace raised and held level",
        "version": "version 3, made 12 June 2031 18:04",
    }
    return FrontCardView(**(told | changes))
