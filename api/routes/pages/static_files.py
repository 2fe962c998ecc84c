"""How do style sheets, fonts and scripts reach the browser?

Their address carries a stamp of everything in the folder, so that a browser may keep them for a
year and still never shows a page in old clothes. Without the stamp they are asked for each time.
"""

from __future__ import annotations

import hashlib
from functools import cache

from starlette.responses import Response
from starlette.staticfiles import StaticFiles
from starlette.types import Scope

from api.templating import static_folder

ADDRESS = "/static"
FOR_A_YEAR = "public, max-age=31536000, immutable"
ASK_AGAIN = "no-cache"


def static_address(path: str) -> str:
    """The address of a file below the static folder, with its stamp."""
    return f"{ADDRESS}/{stamp()}/{path}"


@cache
def stamp() -> str:
    """A short word that changes when any file of the folder changes."""
    digest = hashlib.sha256()
    for file in sorted(static_folder().rglob("*")):
        if file.is_file():
            digest.update(file.relative_to(static_folder()).as_posix().encode())
            digest.update(hashlib.sha256(file.read_bytes()).digest())
    return digest.hexdigest()[:12]


class StampedFiles(StaticFiles):
    """The static folder, with or without the stamp in front of the path."""

    def __init__(self) -> None:
        super().__init__(directory=static_folder())

    async def get_response(self, path: str, scope: Scope) -> Response:
        """A file, and how long it may be kept."""
        first, _, rest = path.partition("/")
        is_stamped = first == stamp()
        answer = await super().get_response(rest if is_stamped else path, scope)
        answer.headers["Cache-Control"] = FOR_A_YEAR if is_stamped else ASK_AGAIN
        return answer
