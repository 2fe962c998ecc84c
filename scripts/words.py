"""Which words do people see? Every label of every page and sheet, written into ``docs/words.md``.

A label is what a person reads to find their way: a heading, the name of a field, of a column, of a
fact, a button, a choice, a name that is only heard. The labels are taken from the pages and sheets
themselves, filled with the demo band; what the band wrote itself (tunes, names, places) is left out
as ``…`` and figures stand as ``0``. ``docs/glossary.toml`` says what each word is: a term of the
trade, of an open standard, of our own, or plain English.

    scripts/words            write docs/words.md anew
    scripts/words --check    say what is not in it, and which words the glossary does not know
"""

from __future__ import annotations

import re
import sys
import tempfile
import tomllib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT))

from fastapi.testclient import TestClient  # noqa: E402 - the checkout comes first

from api.actions.demo import load_demo  # noqa: E402
from api.actions.sheets import OF_ONE_PLAYER, Sheet, Wish, draft_sheet  # noqa: E402
from api.app import create_app  # noqa: E402
from api.settings import Settings, seed_data_dir  # noqa: E402
from api.storage.library import open_library  # noqa: E402
from tests.pages import ALWAYS, OF_THE_DEMO  # noqa: E402

WORDS, GLOSSARY = ROOT / "docs" / "words.md", ROOT / "docs" / "glossary.toml"
KINDS = {
    "trade": "Words of the trade",
    "standard": "Words of open standards",
    "own": "Words of our own",
}
LABELS = {
    **dict.fromkeys(("h1", "h2", "h3", "h4"), "Headings"),
    **dict.fromkeys(("button", "summary"), "Buttons and what opens"),
    **dict.fromkeys(("label", "legend"), "Fields"),
    **dict.fromkeys(("dt", "th"), "Names of facts and columns"),
    "option": "Choices",
    "a": "Links",
}
HEARD = "Heard only"
HAND_MADE = ("events", "tunes", "sets", "people", "band", "contest-rules")
COUNTED = r"\b(?:[Oo]ne|[Tt]wo|[Tt]hree|[Ff]our|[Ff]ive|[Ss]ix|[Ss]even|[Ee]ight|[Nn]ine|[Tt]en)" \
          r"(?= (?:marks?|strict|watch|follow|conflict)\b)"  # fmt: skip
FIELD = {"input", "select", "textarea"}
LISTS_OF_RULES = ("/rules/contests", "/rules/contests/new")
SILENT = {"svg", "script", "style"}
VOID = {"input", "meta", "link", "br", "img", "hr"}
READER = 3
"""A player of the demo band, whose own sheets are looked at too."""


@dataclass(frozen=True, slots=True)
class Label:
    """What is read, and as what."""

    kind: str
    text: str


class Labels(HTMLParser):
    """Gathers the labels of one page."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[Label] = []
        self._open: list[tuple[str, list[str], bool]] = []
        self._silent = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Begin to listen, or to stop listening; a name that is only heard is taken at once."""
        told = dict(attrs)
        if told.get("aria-label"):
            self.found.append(Label(HEARD, told["aria-label"] or ""))
        if tag in SILENT:
            self._silent += 1
        if tag in (*FIELD, "br"):  # what stands in a field is no part of its label
            self.handle_data(" ")
        if tag not in VOID:
            self._open.append((tag, [], _names_a_rule(told)))

    def handle_endtag(self, tag: str) -> None:
        """Take the label that ends here."""
        if tag in SILENT:
            self._silent -= 1
        if not self._open or tag in VOID:
            return
        closed, heard, is_rule = self._open.pop()
        if is_rule:
            return
        text = " ".join("".join(heard).split())
        if closed in LABELS and text:
            self.found.append(Label(LABELS[closed], text))
        if self._open and closed not in ("select", "details", "option"):
            self._open[-1][1].append(f" {text} " if closed in LABELS else "".join(heard))

    def handle_data(self, data: str) -> None:
        """Hear what is said inside whatever is open."""
        if self._open and not self._silent:
            self._open[-1][1].append(data)


def _names_a_rule(told: dict[str, str | None]) -> bool:
    """Is this the name of a row of the rule book, or of a source? They are listed there."""
    leads_to, name = told.get("href") or "", told.get("id") or ""
    is_row = leads_to.startswith("/rules/") and leads_to not in LISTS_OF_RULES
    return is_row or name.startswith("source-") or "rule-key" in (told.get("class") or "")


def every_label() -> set[Label]:
    """The labels of all pages and sheets, without what the band wrote itself."""
    found: set[Label] = set()
    with tempfile.TemporaryDirectory() as folder:
        settings = Settings(data_dir=Path(folder), database_url="", band_name="Demo band")
        database = open_library(settings.address_of_database, settings.band_name)
        with TestClient(create_app(settings), base_url="http://127.0.0.1:8000",
                        client=("127.0.0.1", 50_000)) as client:  # fmt: skip
            for address in ALWAYS:
                found |= labels_of(client.get(address).text)
            with database.writing() as session:
                load_demo(session, database.home_band(), seed_data_dir())
                session.commit()
            for page in (*OF_THE_DEMO, *ALWAYS):
                found |= labels_of(client.get(page).text)
            found |= set(answers_to_forms(client))
            for sheet in Sheet:
                reader = READER if sheet in OF_ONE_PLAYER else None
                draft = draft_sheet(database, database.home_band(), 3, sheet, reader, Wish())
                for section in draft.sections:
                    found |= labels_of(section.html)
            names = written_by_the_band(client)
        database.close()
    return {Label(each.kind, text) for each in found for text in [plain(each.text, names)] if text}


def answers_to_forms(client: TestClient) -> Iterator[Label]:
    """What is shown when a form is refused or asks again."""
    text = "X:1\nT:An Example with Marks\nR:march\nM:2/4\nL:1/8\nK:HP\n|: {g}A2 {d}A2 | {g}B2 :|\n"
    sent: tuple[tuple[str, dict[str, Any]], ...] = (
        ("/tunes/new/check", {"text": text}),
        ("/tunes/new/check", {"text": "Hark"}),
        ("/tunes/new/outline", {"title": ""}),
        ("/events/new", {"name": "", "do": "add"}),
        ("/events/new", {"name": ""}),
        ("/events/1/drums", {"version": "0"}),
        ("/sets/new", {"name": ""}),
        ("/people/new", {"name": ""}),
    )
    for address, form in sent:
        yield from labels_of(client.post(address, data=form).text)
    yield from labels_of(client.get("/nowhere").text)


def labels_of(page: str) -> set[Label]:
    """The labels of one page."""
    reader = Labels()
    reader.feed(page)
    return set(reader.found)


def written_by_the_band(client: TestClient) -> list[str]:
    """Every name and sentence that the library holds, the longest first."""
    names: set[str] = set()
    for noun in HAND_MADE:
        names |= set(_texts(client.get(f"/api/{noun}").json()))
    for number in range(1, 5):
        names |= set(_texts(client.get(f"/api/events/{number}").json()))
    return sorted((name for name in names if " " in name or name[:1].isupper()), key=len)[::-1]


def _texts(value: Any) -> Iterator[str]:
    if isinstance(value, dict):
        for name, inner in value.items():
            if name != "source_text":
                yield from _texts(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from _texts(inner)
    elif isinstance(value, str) and len(value) > 2:
        yield value


def plain(text: str, names: Iterable[str]) -> str:
    """A label with the band's own words as ``…`` and figures as 0; empty if nothing is left."""
    for name in names:
        whole = re.IGNORECASE if " " in name else re.NOFLAG
        text = re.sub(re.escape(name), "…", text, flags=whole)
    text = re.sub(r"\b[\w-]+\.(?:abc|mid|mei|musicxml|xml|pdf|png)\b", "…", text)  # a file's name
    text = re.sub(r"\d+(?:[.,:]\d+)*", "0", text)
    text = re.sub(COUNTED, "0", text)
    text = re.sub(r"(?:… ?[,.;]? ?)+…", "…", text)
    is_label = re.search(r"[^\W\d_]{2}", text) and not text.endswith(".")
    return text if is_label else ""


def unknown_words(labels: Iterable[Label], known: set[str]) -> dict[str, str]:
    """Words that the glossary does not know, each with a label it stands in."""
    found: dict[str, str] = {}
    for label in sorted(labels, key=lambda each: each.text):
        for word in words_of(label.text):
            if word not in known:
                found.setdefault(word, label.text)
    return found


def words_of(text: str) -> list[str]:
    """The words of a label in small letters: ``step-off`` is one, ``players'`` is ``players``."""
    found = re.findall(r"[^\W\d_][\w'’\-]*", text.replace("’", "'"))
    return [word.lower().strip("-'").removesuffix("'s") for word in found]


def glossary() -> dict[str, Any]:
    """What ``docs/glossary.toml`` says."""
    with GLOSSARY.open("rb") as file:
        return tomllib.load(file)


def known_words(told: dict[str, Any]) -> set[str]:
    """Every word of the glossary: those of the terms, names of the rule book, plain English."""
    terms = [term for kind in KINDS for term in told[kind]]
    texts = (*terms, told["plain"]["names"], told["plain"]["words"])
    return {word for text in texts for word in words_of(text)}


def document(labels: set[Label], told: dict[str, Any]) -> str:
    """The text of ``docs/words.md``."""
    parts = [HEAD]
    for kind, heading in KINDS.items():
        parts.append(f"## {heading}\n")
        terms = sorted(told[kind].items(), key=lambda each: each[0].lower())
        parts.append("".join(f"- **{term}**: {meaning}\n" for term, meaning in terms))
    parts.append("## Every label\n")
    for kind in dict.fromkeys([*LABELS.values(), HEARD]):
        own = sorted({label.text for label in labels if label.kind == kind}, key=_by_letter)
        parts.append(f"### {kind}\n")
        parts.append("".join(f"- {_quoted(text)}\n" for text in own))
    return "\n".join(parts)


def _by_letter(text: str) -> tuple[str, str]:
    return text.casefold(), text


def _quoted(text: str) -> str:
    return re.sub(r"([*_`\[\]<>|])", r"\\\1", text)


HEAD = """# Words

Written by `scripts/words` from the pages and sheets themselves: change a label there, or a meaning
in `docs/glossary.toml`, and run it again. What a band wrote itself stands as …, a figure as 0.

A label is made of words of the trade, of open standards, a few of our own that are explained in the
pages, and plain English. A test refuses a word that the glossary does not know.
"""


def main(arguments: list[str]) -> int:
    """Write the document, or check it."""
    told, labels = glossary(), every_label()
    unknown = unknown_words(labels, known_words(told))
    for word, label in unknown.items():
        print(f"not in docs/glossary.toml: {word!r}, as in {label!r}")
    text = document(labels, told)
    if "--check" not in arguments:
        WORDS.write_text(text, encoding="utf-8")
        return 1 if unknown else 0
    is_same = WORDS.read_text(encoding="utf-8") == text
    print("docs/words.md is as the pages are" if is_same else "docs/words.md is not up to date")
    return 0 if is_same and not unknown else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
