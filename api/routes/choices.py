"""What was settled about single notes of an event, over HTTP: marks by hand, and agreements."""

from __future__ import annotations

from datetime import datetime
from fractions import Fraction
from typing import Annotated, Literal

from fastapi import Response
from pydantic import Field

from api.actions import choices as act
from api.actions.records import HandMark, Kept, Lift, Place, Settled
from api.dependencies import BandDep, SeenVersionDep, SessionDep
from api.routes.etag import created, tag
from api.routes.form import Answer, Form, LineText, NameText, RowKey, RowNumber, TempoBpm
from api.routes.later import LaterRouter
from planner.event.event import Occasion, Sort
from planner.licence.licence import Level
from planner.marks.marks import Move
from planner.music.tune import Address

router = LaterRouter(prefix="/events/{number}", tags=["choices"])

PartNumber = Annotated[int, Field(ge=1, le=40)]
BarNumber = Annotated[int, Field(ge=0, le=500)]
Ending = Annotated[int, Field(ge=0, le=9)]
Milliseconds = Annotated[float, Field(ge=-500, le=500, description="later is positive")]

# Which settings the mark will get is the event's business; the action fills them in.
UNSET = (Occasion.PARADE, Sort.OWN_BAND)


class HandMarkForm(Form):
    """Lock a move on one printed note, or forbid any; ``index`` counts a bar's notes from 0."""

    tune_key: RowKey
    part: PartNumber
    bar: BarNumber
    ending: Ending = 0
    index: Annotated[int, Field(ge=0, le=200)]
    will: Literal["locked", "forbidden"]
    move: Move | None = None
    ms: Milliseconds | None = None
    set_by: LineText = ""

    def mark(self) -> HandMark:
        """The mark as the library keeps it."""
        place = Place(self.part, self.bar, self.ending, self.index)
        return HandMark(
            self.tune_key, place, self.will, *UNSET, move=self.move, ms=self.ms, set_by=self.set_by
        )


class SettledForm(Form):
    """What pipes and drums settled on one mark: a note's address, the move, and who said so."""

    tune_key: RowKey
    part: PartNumber
    bar: BarNumber
    ending: Ending = 0
    beat: Annotated[float, Field(ge=0, le=64, description="felt beats from 1")]
    move: Move
    ms: Milliseconds
    tempo_bpm: TempoBpm
    is_agreed: bool
    who: NameText
    remark: LineText = ""

    def settled(self) -> Settled:
        """The outcome as the library keeps it."""
        # Beats are thirds, quarters and the like; a JSON number has lost the last digits.
        beat = Fraction(self.beat).limit_denominator(96)
        address = Address(self.part, self.bar, self.ending, beat)
        return Settled(
            self.tune_key,
            address,
            self.move,
            self.ms,
            self.tempo_bpm,
            self.is_agreed,
            self.who,
            *UNSET,
            remark=self.remark,
        )


class LiftForm(Form):
    """Layers of one tune to open above the occasion's ceiling, and who takes it on themselves."""

    within_beat: Level | None = None
    across_bar: Level | None = None
    across_phrase: Level | None = None
    between_tunes: Level | None = None
    lifted_by: NameText

    def lift(self, tune_key: str) -> Lift:
        """The lift as the library keeps it; the action fills in the event."""
        told = self.model_dump(exclude={"lifted_by"}, exclude_none=True)
        levels = tuple((layer, str(level)) for layer, level in sorted(told.items()))
        return Lift("", tune_key, levels, self.lifted_by)


class LiftAnswer(Answer):
    """Layers of one tune that stand above the occasion's ceiling, by whom and since when."""

    tune_key: str
    levels: dict[str, str]
    lifted_by: str
    lifted_at: datetime | None


class HandMarkAnswer(Answer):
    """A mark by hand; ``is_for_event`` False: it holds at every such occasion."""

    number: int
    tune_key: str
    part: int
    bar: int
    ending: int
    index: int
    will: str
    move: str | None
    ms: float | None
    set_by: str
    is_for_event: bool


class SettledAnswer(Answer):
    """What was settled on one mark, by whom and when."""

    tune_key: str
    part: int
    bar: int
    ending: int
    beat: float
    move: str
    ms: float
    tempo_bpm: float
    is_agreed: bool
    who: str
    remark: str
    agreed_at: datetime | None
    is_for_event: bool


class ChoicesAnswer(Answer):
    """Everything settled for an event."""

    hand_marks: list[HandMarkAnswer]
    agreements: list[SettledAnswer]
    lifts: list[LiftAnswer]


@router.get("/choices")
def get_choices(number: RowNumber, session: SessionDep, band: BandDep) -> ChoicesAnswer:
    """The marks by hand and the agreements of an event, earliest first."""
    choices = act.choices_of_event(session, band, number)
    return ChoicesAnswer(
        hand_marks=[_hand_mark(kept) for kept in choices.hand_marks],
        agreements=[_settled(outcome) for outcome in choices.agreements],
        lifts=[_lift(lift) for lift in choices.lifts],
    )


@router.post("/hand-marks", status_code=201)
def mark_by_hand(
    number: RowNumber,
    form: HandMarkForm,
    session: SessionDep,
    band: BandDep,
    seen: SeenVersionDep,
    response: Response,
) -> HandMarkAnswer:
    """Lock or forbid a mark; If-Match and ETag are the event's."""
    kept, event = act.mark_by_hand(session, band, number, seen, form.mark())
    created(response, f"/api/events/{number}/hand-marks/{kept.id}", event.version)
    return _hand_mark(kept)


@router.delete("/hand-marks/{mark}", status_code=204)
def leave_to_planner(
    number: RowNumber,
    mark: RowNumber,
    session: SessionDep,
    band: BandDep,
    seen: SeenVersionDep,
    response: Response,
) -> None:
    """Take a mark by hand away; If-Match and ETag are the event's."""
    tag(response, act.leave_to_planner(session, band, number, seen, mark).version)


@router.post("/tunes/{tune}/undo", status_code=204)
def undo_by_hand(
    number: RowNumber,
    tune: RowNumber,
    session: SessionDep,
    band: BandDep,
    seen: SeenVersionDep,
    response: Response,
) -> None:
    """Take back the last word on a note of a tune: mark, size or leave; If-Match is the event's."""
    tag(response, act.undo_by_hand(session, band, number, seen, tune).version)


@router.post("/agreements", status_code=201)
def settle(
    number: RowNumber,
    form: SettledForm,
    session: SessionDep,
    band: BandDep,
    seen: SeenVersionDep,
    response: Response,
) -> SettledAnswer:
    """Note that pipes and drums agreed or refused; If-Match and ETag are the event's."""
    outcome, event = act.settle(session, band, number, seen, form.settled())
    tag(response, event.version)
    return _settled(outcome)


@router.put("/tunes/{tune}/lift")
def lift_ceiling(
    number: RowNumber,
    tune: RowNumber,
    form: LiftForm,
    session: SessionDep,
    band: BandDep,
    seen: SeenVersionDep,
    response: Response,
) -> LiftAnswer:
    """Lift a tune's ceiling on a named person's word; If-Match and ETag are the event's."""
    lift, event = act.lift_ceiling(session, band, number, seen, form.lift(str(tune)))
    tag(response, event.version)
    return _lift(lift)


@router.delete("/tunes/{tune}/lift", status_code=204)
def take_lift_back(
    number: RowNumber,
    tune: RowNumber,
    session: SessionDep,
    band: BandDep,
    seen: SeenVersionDep,
    response: Response,
) -> None:
    """Let the occasion's own ceiling hold again; If-Match and ETag are the event's."""
    tag(response, act.take_lift_back(session, band, number, seen, str(tune)).version)


def _lift(lift: Lift) -> LiftAnswer:
    return LiftAnswer(
        tune_key=lift.tune_key,
        levels=dict(lift.levels),
        lifted_by=lift.lifted_by,
        lifted_at=lift.lifted_at,
    )


def _hand_mark(kept: Kept[HandMark]) -> HandMarkAnswer:
    mark, place = kept.noun, kept.noun.place
    return HandMarkAnswer(
        number=kept.id,
        tune_key=mark.tune_key,
        part=place.part,
        bar=place.bar,
        ending=place.ending,
        index=place.index,
        will=mark.will,
        move=mark.move,
        ms=mark.ms,
        set_by=mark.set_by,
        is_for_event=bool(mark.event_key),
    )


def _settled(outcome: Settled) -> SettledAnswer:
    address = outcome.address
    return SettledAnswer(
        tune_key=outcome.tune_key,
        part=address.part,
        bar=address.bar,
        ending=address.ending,
        beat=float(address.beat),
        move=outcome.move,
        ms=outcome.ms,
        tempo_bpm=outcome.tempo_bpm,
        is_agreed=outcome.is_agreed,
        who=outcome.who,
        remark=outcome.remark,
        agreed_at=outcome.agreed_at,
        is_for_event=bool(outcome.event_key),
    )
