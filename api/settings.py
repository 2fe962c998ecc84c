"""How is this service set up, and where do its folders lie?

Every setting can be given as an environment variable with the prefix ``PACESTICK_``, such as
``PACESTICK_DATABASE_URL``. Nothing is read when this module is imported: make a ``Settings`` and
hand it to ``create_app``.
"""

from __future__ import annotations

import socket
from enum import StrEnum
from pathlib import Path
from typing import Annotated
from urllib.parse import urlsplit

from platformdirs import user_data_path
from pydantic import Field
from pydantic_settings import BaseSettings, SettingsConfigDict

PACKAGE = Path(__file__).parent
LOOPBACK_NAMES = frozenset({"localhost", "127.0.0.1", "::1"})


class PrintFormat(StrEnum):
    """The paper in the printer; cards and half sheets are cut or folded from it."""

    A4 = "a4"
    LETTER = "letter"


class Settings(BaseSettings):
    """What an operator may choose.

    ``database_url`` empty means a SQLite file in ``data_dir``. ``public_address`` is the address
    people type, when it is not the host and port of this process; its name is let in beside the
    loopback names. ``share`` opens the players' pages for reading from elsewhere, by a link with a
    key, and puts that link on the sheets. ``paper`` is what lies in the printer. The noticeboard
    names who is out of a tune only if ``noticeboard_names_outs`` says so.
    """

    model_config = SettingsConfigDict(env_prefix="PACESTICK_", frozen=True)

    database_url: str = ""
    data_dir: Path = Field(default_factory=lambda: user_data_path("pacestick"))
    host: str = "127.0.0.1"
    port: Annotated[int, Field(ge=0, le=65535)] = 8000
    public_address: str = ""
    share: bool = False
    band_name: Annotated[str, Field(min_length=1, max_length=120)] = "Our band"
    demo: bool = False
    paper: PrintFormat = PrintFormat.A4
    noticeboard_names_outs: bool = False
    largest_request_bytes: Annotated[int, Field(gt=0)] = 11_000_000
    largest_tune_file_bytes: Annotated[int, Field(gt=0)] = 2_000_000
    largest_attachment_bytes: Annotated[int, Field(gt=0)] = 10_000_000

    @property
    def address_of_database(self) -> str:
        """The database's URL: the one given, else the SQLite file in the data folder."""
        return self.database_url or f"sqlite:///{self.data_dir / 'pacestick.sqlite3'}"

    @property
    def is_loopback(self) -> bool:
        """True when only this machine can reach the service."""
        return self.host in LOOPBACK_NAMES

    @property
    def address(self) -> str:
        """The address people type, without a slash at the end."""
        if self.public_address:
            return self.public_address.rstrip("/")
        host = f"[{self.host}]" if ":" in self.host else self.host
        return f"http://{host}:{self.port}"

    @property
    def known_hosts(self) -> frozenset[str]:
        """The host names a request may carry; an open network's numbers are looked at apart."""
        named = urlsplit(self.public_address).hostname if self.public_address else None
        machine = socket.gethostname().lower() if self.share else ""
        machines = {machine, f"{machine}.local"} if machine else set()
        return LOOPBACK_NAMES | {self.host} | machines | ({named} if named else set())


def templates_dir() -> Path:
    """The folder of templates: in the checkout, else inside the installed wheel."""
    return _beside_or_inside("templates", "_templates")


def seed_data_dir() -> Path:
    """The folder of the demo band: in the checkout, else inside the installed wheel."""
    return _beside_or_inside("seed_data", "_seed_data")


def _beside_or_inside(beside: str, inside: str) -> Path:
    packed = PACKAGE / inside
    return packed if packed.is_dir() else PACKAGE.parent / beside
