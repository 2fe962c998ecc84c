"""May this file be attached to a tune? PDF, PNG and JPEG are told by their first bytes."""

from __future__ import annotations

from dataclasses import replace

from api.actions.faults import TooLargeError, WrongKindError
from api.storage.records import NewFile

# How large may a picture or PDF be?
MOST_BYTES = 10_000_000

# How does a file of each kind begin? From the specifications of PDF, PNG and JPEG.
BEGINNINGS = {
    b"%PDF-": "application/pdf",
    b"\x89PNG\r\n\x1a\n": "image/png",
    b"\xff\xd8\xff": "image/jpeg",
}


def check_attachment(file: NewFile) -> NewFile:
    """The file with the media type its content has, whatever it claims to be.

    Raises:
        TooLargeError: it has more than 10 MB.
        WrongKindError: it is neither PDF, PNG nor JPEG.
    """
    if len(file.content) > MOST_BYTES:
        raise TooLargeError(file.name, MOST_BYTES)
    for beginning, media_type in BEGINNINGS.items():
        if file.content.startswith(beginning):
            return replace(file, media_type=media_type)
    raise WrongKindError(file.name, "a PDF, PNG or JPEG file")
