"""Which link lets somebody elsewhere read, and what can they read by it?

From this machine everything is open. From elsewhere nothing is, unless the service was started with
``--share``: then the players' pages can be read below an address with a random key in it. The key
is a file in the data folder that only its owner may read. It is looked at for every request from
elsewhere, so a new key counts at once, and is no part of any backup.
"""

from __future__ import annotations

import hmac
import os
import secrets
import socket
from pathlib import Path

from api.settings import Settings

KEY_FILE = "reading-key"
KEY_BYTES = 16
OWNER_ONLY = 0o600
READING = "/reading"
PLAYERS = "/players"
WILDCARDS = frozenset({"0.0.0.0", "::", ""})
# An address kept for documents (RFC 5737): asked which way leads there, nothing is ever sent.
ANYWHERE = ("192.0.2.1", 9)

WHO_READS_WHAT = (
    "Whoever has this link can read the names, cards, sheets, outs, times and places of the "
    "players at the events; nothing can be changed through it, and every other page stays on "
    "this machine."
)


def reading_key(folder: Path) -> str:
    """The key of the reading link; empty when there is none yet."""
    try:
        return (folder / KEY_FILE).read_text(encoding="ascii").strip()
    except (OSError, UnicodeDecodeError):
        return ""


def keep_reading_key(folder: Path) -> str:
    """The key of the reading link, made when there is none; only its owner may read the file."""
    kept = reading_key(folder)
    if kept:
        (folder / KEY_FILE).chmod(OWNER_ONLY)
        return kept
    return new_reading_key(folder)


def new_reading_key(folder: Path) -> str:
    """A new key in the place of the one before, whose links and codes no longer work."""
    folder.mkdir(parents=True, exist_ok=True)
    key = secrets.token_urlsafe(KEY_BYTES)
    fresh = folder / f"{KEY_FILE}.{secrets.token_hex(4)}"
    opened = os.open(fresh, os.O_WRONLY | os.O_CREAT | os.O_EXCL, OWNER_ONLY)
    with os.fdopen(opened, "w", encoding="ascii") as file:
        file.write(key)
    fresh.replace(folder / KEY_FILE)
    return key


def below_reading_link(path: str, settings: Settings) -> str:
    """The part of a path that is the reading link, such as ``/reading/KEY``; empty if it is none.

    Keys are compared in constant time.
    """
    start, _, rest = path.removeprefix("/").partition("/")
    given = rest.partition("/")[0]
    if not settings.share or f"/{start}" != READING or not given:
        return ""
    key = reading_key(settings.data_dir)
    is_right = bool(key) and hmac.compare_digest(given.encode(), key.encode())
    return f"{READING}/{given}" if is_right else ""


def reading_address(settings: Settings) -> str:
    """The whole address of the players' pages for readers elsewhere; empty when nothing is shared.

    It goes on the sheets: whoever holds a sheet may read its newest version.
    """
    key = reading_key(settings.data_dir) if settings.share else ""
    return f"{address_elsewhere(settings)}{READING}/{key}{PLAYERS}" if key else ""


def address_elsewhere(settings: Settings) -> str:
    """The address of the service for other machines, without a slash at the end."""
    if settings.public_address or settings.host not in WILDCARDS:
        return settings.address
    return f"http://{own_address()}:{settings.port}"


def own_address() -> str:
    """This machine's address in its network; its name where it is in none."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(ANYWHERE)
        except OSError:
            return socket.gethostname()
        return str(probe.getsockname()[0])
