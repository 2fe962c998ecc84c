"""What does a set card say?

A card is read in the car park and in the gaps, at arm's length, in the rain: few words, large. The
view holds finished words; which of them are printed large is the template's business.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class CardTuneView:
    """One tune on a card. Empty text and empty tuples are left out of the print.

    ``opening`` is the address of the picture of the first two bars. ``mine`` is set on a card for
    one player: what that player does in this tune.
    """

    number: int
    title: str
    facts: str
    opening: str = ""
    start: str = ""
    stop: str = ""
    join: str = ""
    out: str = ""
    harmony: str = ""
    mine: str = ""
    warning: str = ""
    flags: tuple[str, ...] = ()
    flags_elsewhere: str = ""


@dataclass(frozen=True, slots=True)
class SetCardView:
    """The card of one set. ``tempos`` holds each tempo in order, once."""

    event: str
    occasion: str
    tempos: tuple[str, ...]
    tempo_unit: str
    strictness: str
    strictness_note: str
    set_number: str
    set_name: str
    tunes: tuple[CardTuneView, ...]
    set_facts: str = ""
    stop_signal: str = ""
    reader: str = ""
    version: str = ""


@dataclass(frozen=True, slots=True)
class FrontCardView:
    """The card in front of several sets: each by number, short name, tempo and strictness."""

    event: str
    occasion: str
    day: str
    times: tuple[tuple[str, str], ...]
    sets: tuple[tuple[str, str, str, str], ...]
    stop_signal: str = ""
    reader: str = ""
    version: str = ""
