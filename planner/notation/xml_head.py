"""Is an XML music file sound, what is it, and what does its head say?

Read before anything else sees the file, with the standard library's parser and limits of our own:
no entities are declared, nothing is fetched, nesting and size are bounded. Titles, credits and
the ``pacestick-`` fields are taken from here, since music21 drops some of them.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any
from xml.parsers import expat

from planner.errors import NotationError
from planner.notation.formats import Format

PREFIX = "pacestick-"
# How deep and how large may a file be? A score nests some ten elements deep.
DEEPEST = 60
MOST_ELEMENTS = 200_000
LONGEST_TEXT = 200_000
_ROOTS = {"score-partwise": Format.MUSICXML, "score-timewise": Format.XML, "mei": Format.MEI}
_KEPT = {
    "work-title",
    "movement-title",
    "creator",
    "source",
    "miscellaneous-field",
    "title",
    "persName",
}
# Numbers a tune never reaches, but which would keep the library busy for hours.
_LARGEST = {
    "beats": 64,
    "beat-type": 128,
    "divisions": 1_000_000,
    "duration": 50_000_000,
    "actual-notes": 99,
    "normal-notes": 99,
}
_MEI_SYMBOLS = {"common": "C", "cut": "C|"}


@dataclass(slots=True)
class XmlHead:
    """What the head of a MusicXML or MEI file says, and how many measures its music has.

    ``own`` are our fields without their prefix, ``metre`` is the first one an MEI file names.
    """

    kind: Format = Format.XML
    texts: dict[str, str] = field(default_factory=dict)
    own: dict[str, str] = field(default_factory=dict)
    metre: str = ""
    measures: int = 0

    @property
    def title(self) -> str:
        """The work's title, else the movement's, else that of an MEI file."""
        texts = (self.texts.get(key, "") for key in ("work-title", "movement-title", "title"))
        return next(filter(None, texts), "")

    def creator(self, role: str) -> str:
        """The composer or arranger."""
        return self.texts.get(f"creator {role}") or self.texts.get(f"persName {role}", "")


def read_xml_head(name: str, content: bytes) -> XmlHead:
    """The head of an XML music file.

    Raises:
        NotationError: the XML is broken or unsafe, or it is no music.
    """
    scan = _Scan(name)
    try:
        scan.parser.Parse(content, True)
    except expat.ExpatError as error:
        where = f"line {error.lineno}, column {error.offset + 1}"
        problem = f"the XML is broken ({expat.errors.messages[error.code]})"
        raise NotationError(name, where, problem, "export the file again") from error
    except (LookupError, UnicodeError, ValueError) as error:
        raise NotationError(
            name, "", "its character encoding is not known", "save it in UTF-8"
        ) from error
    return scan.head


class _Scan:
    """One pass over the elements of a file."""

    def __init__(self, name: str) -> None:
        self.head = XmlHead()
        self.parser = expat.ParserCreate()
        self.parser.StartElementHandler = self._start
        self.parser.EndElementHandler = self._end
        self.parser.EntityDeclHandler = self._refuse_entity
        self._name = name
        self._depth = self._count = self._length = 0
        self._key = ""
        self._words: list[str] = []

    def _start(self, element: str, attributes: dict[str, str]) -> None:
        local = element.rpartition(":")[2]
        if self._depth == 0:
            self._set_kind(local)
        self._depth += 1
        self._count += 1
        if self._depth > DEEPEST or self._count > MOST_ELEMENTS:
            raise self._refused("the XML is too deep or too large to be a tune")
        self.head.measures += local == "measure"
        if self.head.kind is Format.MEI and not self.head.metre:
            self.head.metre = _mei_metre(attributes)
        if local in _KEPT or local in _LARGEST:
            self._key = f"{local} {_mark(local, attributes)}".strip()
            self._words = []
            # Most text is white space between elements: the parser is asked for it only here.
            self.parser.CharacterDataHandler = self._text

    def _set_kind(self, root: str) -> None:
        kind = _ROOTS.get(root)
        if kind is None:
            raise self._refused(f"it is XML but no music (its root is <{root[:40]}>)")
        if kind is Format.XML:
            raise NotationError(
                self._name, "", "it is timewise MusicXML", "export it as partwise MusicXML"
            )
        self.head.kind = kind

    def _text(self, text: str) -> None:
        if self._key:
            self._length += len(text) if self._key not in _LARGEST else 0
            if self._length > LONGEST_TEXT or len(self._words) > LONGEST_TEXT:
                raise self._refused("the texts of its head are too long to be a tune's")
            self._words.append(text)

    def _end(self, element: str) -> None:
        self._depth -= 1
        if not self._key or element.rpartition(":")[2] != self._key.split(" ")[0]:
            return
        self.parser.CharacterDataHandler = None
        text = "".join(self._words).strip()
        if self._key in _LARGEST:
            self._check_number(text)
        field_name = self._key.partition("miscellaneous-field ")[2]
        if field_name.startswith(PREFIX):
            self.head.own.setdefault(field_name.removeprefix(PREFIX), text)
        elif text and self._key not in _LARGEST:
            self.head.texts.setdefault(self._key, text)
        self._key = ""

    def _check_number(self, text: str) -> None:
        if text.isdecimal() and int(text[:12]) > _LARGEST[self._key]:
            where = f"line {self.parser.CurrentLineNumber}"
            problem = f"a <{self._key}> of {text[:12]} cannot be meant"
            raise NotationError(self._name, where, problem, "correct it and export the file again")

    def _refuse_entity(self, *_: Any) -> None:
        raise self._refused("the XML declares entities, which are not read for safety")

    def _refused(self, problem: str) -> NotationError:
        remedy = "export the tune as MusicXML from your music program"
        return NotationError(self._name, "", problem, remedy)


def _mark(element: str, attributes: dict[str, str]) -> str:
    names = {"creator": "type", "miscellaneous-field": "name", "persName": "role"}
    return attributes.get(names.get(element, ""), "")


def _mei_metre(attributes: dict[str, str]) -> str:
    """The metre an MEI element names, in a child of its own or in attributes of the score."""
    symbol = attributes.get("sym") or attributes.get("meter.sym", "")
    count = attributes.get("meter.count") or attributes.get("count", "")
    unit = attributes.get("meter.unit") or attributes.get("unit", "")
    return _MEI_SYMBOLS.get(symbol, "") or (f"{count}/{unit}" if count and unit else "")
