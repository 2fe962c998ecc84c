"""The demo band on the pages, moved in once and copied for each test."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from fastapi import FastAPI
from fastapi.testclient import TestClient

from api.actions.demo import load_demo
from api.settings import Settings, seed_data_dir
from api.storage.library import open_library
from tests.api.library import AT_THIS_MACHINE

HERE = "http://127.0.0.1:8000"


@pytest.fixture(scope="session")
def demo_library(tmp_path_factory: pytest.TempPathFactory, empty_library: Path) -> Path:
    """A library with the demo band in it."""
    folder = Path(shutil.copytree(empty_library, tmp_path_factory.mktemp("demo") / "library"))
    database = open_library(Settings(data_dir=folder, database_url="").address_of_database, "")
    with database.writing() as session:
        load_demo(session, database.home_band(), seed_data_dir())
    database.close()
    return folder


@pytest.fixture
def demo(app: FastAPI, demo_library: Path, tmp_path: Path) -> Iterator[TestClient]:
    """The service with the demo band in it."""
    folder = Path(shutil.copytree(demo_library, tmp_path / "demo"))
    app.state.settings = Settings(data_dir=folder, database_url="")
    with TestClient(app, base_url=HERE, client=AT_THIS_MACHINE) as opened:
        yield opened
