"""How does an answer carry its version? As a strong ETag made of the row's version."""

from __future__ import annotations

from fastapi import Response


def tag(response: Response, version: int) -> None:
    """Write a version on an answer."""
    response.headers["ETag"] = f'"{version}"'


def created(response: Response, address: str, version: int) -> None:
    """Write on an answer that a thing was made, where it is, and its version."""
    response.status_code = 201
    response.headers["Location"] = address
    tag(response, version)
