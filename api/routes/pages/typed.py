"""What did somebody type into a form? As text by field, nothing thrown away, files apart."""

from __future__ import annotations

from collections.abc import AsyncIterator, Mapping
from dataclasses import dataclass
from typing import Annotated, Any

from fastapi import Depends, Request, UploadFile
from starlette.datastructures import FormData
from starlette.datastructures import UploadFile as SentFile

from api.display.form import FormView
from api.errors import VersionMissingError

MOST_FIELDS = 5_000
LARGEST_FIELD = 4_000_000
"""A music file that goes to and fro while it is looked at, as text: a third larger."""
VERSION = "version"


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

    def file(self, name: str) -> UploadFile | None:
        """A file, None when none was chosen."""
        upload = self.files.get(name)
        return upload if upload is not None and upload.filename else None

    def seen_version(self) -> int:
        """The version that the form was filled in from.

        Raises:
            VersionMissingError: the form does not say.
        """
        version = self.text(VERSION)
        if not (version.isascii() and version.isdigit() and len(version) < 10):
            raise VersionMissingError
        return int(version)

    def form(self, action: str, newer: str = "") -> FormView:
        """The form as it was sent; ``newer`` is where the newest version can be seen."""
        return FormView(action, self.values, version=self.text(VERSION), newer=newer)

    def with_values(self, values: Mapping[str, tuple[str, ...]]) -> Typed:
        """The same form with other values in its fields."""
        return Typed(values, self.files)

    def tree(self) -> dict[str, Any]:
        """The filled fields by their dotted names: ``clock.meet`` is ``{"clock": {"meet": ...}}``.

        A field that was left empty is not there, and neither is the version.
        """
        tree: dict[str, Any] = {}
        for name in self.values:
            if self.text(name) and name != VERSION:
                _plant(tree, name.split("."), self.text(name))
        return tree


def _plant(tree: dict[str, Any], path: list[str], value: str) -> None:
    for step in path[:-1]:
        tree = tree.setdefault(step, {})
        if not isinstance(tree, dict):
            return  # a field and a group of the same name: no form of ours has that
    tree[path[-1]] = value


async def typed(request: Request) -> AsyncIterator[Typed]:
    """What was typed into the form of this request; its files are closed when it is answered."""
    form = request.form(max_fields=MOST_FIELDS, max_part_size=LARGEST_FIELD)
    async with form as sent:
        yield _typed(sent)


def _typed(sent: FormData) -> Typed:
    values: dict[str, tuple[str, ...]] = {}
    files: dict[str, UploadFile] = {}
    for name, value in sent.multi_items():
        if isinstance(value, SentFile):
            files[name] = UploadFile(value.file, filename=value.filename, headers=value.headers)
        else:
            # A browser sends line ends as CR LF; the library keeps LF.
            values[name] = (*values.get(name, ()), value.replace("\r\n", "\n"))
    return Typed(values, files)


TypedDep = Annotated[Typed, Depends(typed)]
