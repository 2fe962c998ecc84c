r"""How do the text lines of an ABC file spell accents and signs, and how are they spelt again?

ABC 2.1, 8.2: mnemonics (``\'e``), named entities (``&eacute;``), fixed width (``\u00e9``), and
``\\ \% \&`` for the three signs that mean something themselves.
"""

from __future__ import annotations

import html
import re
import unicodedata

_COMBINING = {
    "`": "\u0300",
    "'": "\u0301",
    "^": "\u0302",
    "~": "\u0303",
    '"': "\u0308",
    "v": "\u030c",
    "u": "\u0306",
    "c": "\u0327",
    "H": "\u030b",
    ";": "\u0328",
}
_LIGATURES = {
    "AE": "Æ",
    "ae": "æ",
    "OE": "Œ",
    "oe": "œ",
    "ss": "ß",
    "DH": "Ð",
    "dh": "ð",
    "TH": "Þ",
    "th": "þ",
    "/O": "Ø",
    "/o": "ø",
    "AA": "Å",
    "aa": "å",
}
_ESCAPE = re.compile(
    r"""\\u(?P<four>[0-9a-fA-F]{4})
    |\\U(?P<eight>[0-9a-fA-F]{8})
    |\\(?P<sign>[\\%&])
    |\\(?P<pair>AE|ae|OE|oe|ss|DH|dh|TH|th|/O|/o|AA|aa)
    |\\(?P<accent>[`'^~"vucH;])(?P<letter>[A-Za-z])
    |(?P<entity>&\#?[A-Za-z0-9]{2,8};)""",
    re.VERBOSE,
)


def decoded_text(value: str) -> str:
    """The text an ABC string stands for, without control characters."""
    if "\\" in value or "&" in value:
        value = _ESCAPE.sub(_sign, value)
    return " ".join("".join(c if c.isprintable() else " " for c in value).split())


def encoded_text(value: str) -> str:
    """A text as an ABC string that reads back the same."""
    return re.sub(r"([\\%&])", r"\\\1", value)


def without_comment(line: str) -> str:
    r"""The line up to its ``%``; a ``\%`` is no comment."""
    if "%" not in line:
        return line
    position = line.find("%")
    while position > 0 and _is_escaped(line, position):
        position = line.find("%", position + 1)
    return line if position < 0 else line[:position]


def _is_escaped(line: str, position: int) -> bool:
    slashes = 0
    while position > slashes and line[position - slashes - 1] == "\\":
        slashes += 1
    return slashes % 2 == 1


def _sign(match: re.Match[str]) -> str:
    found = match.groupdict()
    if found["four"] or found["eight"]:
        code = int(found["four"] or found["eight"], 16)
        is_character = code < 0x110000 and not 0xD800 <= code < 0xE000
        return chr(code) if is_character else match.group()
    if found["sign"]:
        return str(found["sign"])
    if found["pair"]:
        return _LIGATURES[found["pair"]]
    if found["accent"]:
        return unicodedata.normalize("NFC", found["letter"] + _COMBINING[found["accent"]])
    return html.unescape(match.group())
