"""The demo band, moved in for the stories that need real music."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from fastapi import FastAPI
from fastapi.testclient import TestClient

from api.settings import Settings
from tests.api.library import AT_THIS_MACHINE


@pytest.fixture
def demo(app: FastAPI, tmp_path: Path) -> Iterator[TestClient]:
    """The service with the demo band in it."""
    app.state.settings = Settings(data_dir=tmp_path / "demo", database_url="", demo=True)
    with TestClient(app, base_url="http://127.0.0.1:8000", client=AT_THIS_MACHINE) as opened:
        yield opened
