"""What did somebody type into a form? As text by field, nothing thrown away, files apart."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated, TypeVar

from fastapi import Depends, Request
from pydantic import BaseModel
from starlette.datastructures import UploadFile

from api.errors import VersionMissingError

MOST_FIELDS = 2_000
VERSION = "version"

Checked = TypeVar("Checked", bound=BaseModel)


@dataclass(frozen=True, slots=True)
class Typed:
    """The fields of a form. A field that was left empty counts as not there."""

    values: Mapping[str, tuple[str, ...]]
    files: Mapping[str, UploadFile]

    def text(self, name: str) -> str:
        """What stands in a field, without blanks around it."""
        return next(iter(self.values.get(name, ())), "").strip()

    def all(self, name: str) -> tuple[str, ...]:
        """Everything under one name that is not empty."""
        return tuple(value.strip() for value in self.values.get(name, ()) if value.strip())

    def column(self, name: str) -> tuple[str, ...]:
        """Every line of a column of fields, empty ones too."""
        return tuple(value.strip() for value in self.values.get(name, ()))

    def file(self, name: str) -> UploadFile | None:
        """A file, None when none was chosen."""
        upload = self.files.get(name)
        return upload if upload is not None and upload.filename else None

    def filled(self, *names: str) -> dict[str, str]:
        """The fields of these names that were not left empty."""
        return {name: self.text(name) for name in names if self.text(name)}

    def seen_version(self) -> int:
        """The version that the form was filled in from.

        Raises:
            VersionMissingError: the form does not say.
        """
        version = self.text(VERSION)
        if not (version.isascii() and version.isdigit() and len(version) < 10):
            raise VersionMissingError
        return int(version)


async def typed(request: Request) -> Typed:
    """What was typed into the form of this request."""
    sent = await request.form(max_fields=MOST_FIELDS)
    values: dict[str, tuple[str, ...]] = {}
    files: dict[str, UploadFile] = {}
    for name, value in sent.multi_items():
        if isinstance(value, UploadFile):
            files[name] = value
        else:
            # A browser sends line ends as CR LF; the library keeps LF.
            values[name] = (*values.get(name, ()), value.replace("\r\n", "\n"))
    return Typed(values, files)


TypedDep = Annotated[Typed, Depends(typed)]
