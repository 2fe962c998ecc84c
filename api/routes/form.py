"""What have all forms in common? Nothing unknown is taken, and text has no blanks around it."""

from __future__ import annotations

from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field, StringConstraints

LineText = Annotated[str, StringConstraints(max_length=300, pattern=r"^[^\x00-\x08\x0b-\x1f]*$")]
LongText = Annotated[str, StringConstraints(max_length=4_000, pattern=r"^[^\x00-\x08\x0b-\x1f]*$")]
NameText = Annotated[
    str, StringConstraints(min_length=1, max_length=120, pattern=r"^[^\x00-\x1f]*$")
]
TempoBpm = Annotated[float, Field(ge=20, le=300, description="felt beats a minute")]
Seconds = Annotated[float, Field(ge=0, le=86_400)]
RowNumber = Annotated[int, Field(gt=0, lt=2**31)]
RowKey = Annotated[str, StringConstraints(pattern=r"^[1-9][0-9]{0,8}$")]
TimesThrough = Annotated[int, Field(ge=0, le=50, description="0: until the cue")]


class Form(BaseModel):
    """Something a person or program fills in."""

    model_config = ConfigDict(extra="forbid", frozen=True, str_strip_whitespace=True)


class Answer(BaseModel):
    """Something that is read back."""

    model_config = ConfigDict(frozen=True)


class FindingAnswer(Answer):
    """One thing a person should know: ``gravity`` is note, warn or refuse."""

    code: str
    text: str
    where: str
    gravity: str
