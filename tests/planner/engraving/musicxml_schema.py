"""Does a document keep to the MusicXML schema?

Reads the official musicxml.xsd as music21 ships it, and turns the content model of each element
into a regular expression over the names of its children. Attributes are checked by name. That
copy is of version 2.0; MusicXML 4.0 keeps all its orders and has since (in 3.1) given notes and
measures an ``id``.
"""

import functools
import re
from importlib.util import find_spec
from pathlib import Path
from xml.etree import ElementTree
from xml.etree.ElementTree import Element

SINCE_VERSION_3_1 = {("note", "id"), ("measure", "id")}
XS = "{http://www.w3.org/2001/XMLSchema}"


def schema_faults(document: str) -> list[str]:
    """What in the document the schema does not allow, in words."""
    root = ElementTree.fromstring(document)
    faults: list[str] = []
    _check(root, _named("element", root.tag), faults)
    return faults


@functools.cache
def _schema() -> Element:
    spec = find_spec("music21")
    assert spec is not None
    assert spec.origin is not None
    return ElementTree.parse(Path(spec.origin).parent / "musicxml" / "musicxml.xsd").getroot()


def _named(kind: str, name: str) -> Element:
    found = _schema().find(f"{XS}{kind}[@name='{name}']")
    assert found is not None, f"the schema has no {kind} {name}"
    return found


def _check(element: Element, declared: Element, faults: list[str]) -> None:
    model = _model_of(declared)
    children = "".join(f"<{child.tag}>" for child in element)
    if model is None:
        if len(element):
            faults.append(f"{element.tag} holds {children}")
        return
    if not re.fullmatch(_pattern(model), children):
        faults.append(f"{element.tag} holds {children}")
    allowed = set(_attributes(model)) | {n for tag, n in SINCE_VERSION_3_1 if tag == element.tag}
    faults += [f"{element.tag} has {name}" for name in set(element.keys()) - allowed]
    inner = {each.get("name"): each for each in _elements(model)}
    for child in element:
        if child.tag in inner:
            _check(child, inner[child.tag], faults)


def _model_of(declared: Element) -> Element | None:
    inline = declared.find(f"{XS}complexType")
    if inline is not None:
        return inline
    name = declared.get("type", "")
    return _schema().find(f"{XS}complexType[@name='{name}']")


def _pattern(node: Element) -> str:
    kind = node.tag.removeprefix(XS)
    if kind == "element":
        inner = f"<{node.get('name')}>"
    elif kind == "group" and node.get("ref"):
        inner = _pattern(_named("group", node.get("ref", "")))
    elif kind == "choice":
        inner = "|".join(_pattern(child) for child in node)
    elif kind in ("sequence", "complexType", "group", "complexContent", "extension"):
        inner = "".join(_pattern(child) for child in node)
    else:
        return ""
    most = node.get("maxOccurs", "1")
    return f"(?:{inner}){{{node.get('minOccurs', '1')},{'' if most == 'unbounded' else most}}}"


def _elements(node: Element) -> list[Element]:
    found = list(node.iter(f"{XS}element"))
    for group in node.iter(f"{XS}group"):
        if group.get("ref"):
            found += _elements(_named("group", group.get("ref", "")))
    return found


def _attributes(node: Element) -> list[str]:
    found = [each.get("name", "") for each in node.iter(f"{XS}attribute")]
    for group in node.iter(f"{XS}attributeGroup"):
        if group.get("ref"):
            found += _attributes(_named("attributeGroup", group.get("ref", "")))
    for extension in node.iter(f"{XS}extension"):
        base = _schema().find(f"{XS}complexType[@name='{extension.get('base')}']")
        found += _attributes(base) if base is not None else []
    return found
