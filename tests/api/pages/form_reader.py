"""Reading a page's form as a browser would send it."""

from __future__ import annotations

import html
import re

FIELD = re.compile(r"<input[^>]*>|<select.*?</select>|<textarea.*?</textarea>", re.DOTALL)


def fields_of(page: str, within: str = "") -> dict[str, list[str]]:
    """Every field that would be sent, by name; ``within`` is the action of the form, if named."""
    if within:
        page = re.findall(rf'<form[^>]*action="{re.escape(within)}".*?</form>', page, re.DOTALL)[0]
    fields: dict[str, list[str]] = {}
    for element in FIELD.findall(page):
        name, value = attribute(element, "name"), value_of(element)
        if name and value is not None:
            fields.setdefault(name, []).append(html.unescape(value))
    return fields


def value_of(element: str) -> str | None:
    """What an element would send; None for a box that is not ticked, and for files."""
    if element.startswith("<textarea"):
        return re.sub(r"^\n", "", element.partition(">")[2].rpartition("</textarea>")[0])
    if element.startswith("<select"):
        options = re.findall(r"<option[^>]*>", element)
        chosen = [option for option in options if " selected" in option] or options
        return attribute(chosen[0], "value") if chosen else None
    kind = attribute(element, "type")
    if kind == "file" or (kind in ("checkbox", "radio") and " checked" not in element):
        return None
    return attribute(element, "value") or ""


def attribute(element: str, name: str) -> str:
    """An attribute of an element, empty text when it has none."""
    found = re.search(rf' {name}="([^"]*)"', element.partition(">")[0])
    return found.group(1) if found else ""
