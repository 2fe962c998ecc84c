"""Where are the words and boxes, and how are they filled in?

One Jinja2 environment for pages and paper: everything is escaped, and a name that the view does
not have is an error, not an empty space. Which view goes with which template is said by the
routes and by ``api.printing``.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

from jinja2 import Environment, FileSystemLoader, StrictUndefined


def render(template: str, **context: object) -> str:
    """The filled-in text of a template, named by its path below ``templates``."""
    return environment().get_template(template).render(**context)


@cache
def environment() -> Environment:
    """The one environment: escaping on, undefined names refused."""
    return Environment(
        loader=FileSystemLoader(templates_folder()),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )


def static_folder() -> Path:
    """Style sheets, fonts and scripts."""
    return templates_folder() / "static"


@cache
def templates_folder() -> Path:
    """The templates: inside the package once installed, else at the top of the project."""
    installed = Path(__file__).parent / "_templates"
    return installed if installed.is_dir() else Path(__file__).parent.parent / "templates"
