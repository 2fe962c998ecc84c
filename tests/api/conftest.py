"""An opened service for each test, with an empty library in a folder of its own."""

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from fastapi import FastAPI
from fastapi.testclient import TestClient

from api.app import create_app
from api.settings import Settings
from api.storage.database import Database, Session
from api.storage.library import open_library
from tests.api.library import AT_THIS_MACHINE

HERE = "http://127.0.0.1:8000"
BAND = "Testing band"


@pytest.fixture(scope="session")
def empty_library(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An empty library, brought up to date once: the migrations take longer than most tests."""
    settings = Settings(data_dir=tmp_path_factory.mktemp("empty"), database_url="")
    open_library(settings.address_of_database, BAND).close()
    return settings.data_dir


@pytest.fixture
def settings(tmp_path: Path, empty_library: Path) -> Settings:
    folder = Path(shutil.copytree(empty_library, tmp_path / "library"))
    return Settings(data_dir=folder, database_url="", band_name=BAND)


@pytest.fixture(scope="session")
def app(empty_library: Path) -> FastAPI:
    """One app for all tests, since its routes are costly to lay; it opens a library a test."""
    return create_app(Settings(data_dir=empty_library, database_url="", band_name=BAND))


@pytest.fixture
def client(app: FastAPI, settings: Settings) -> Iterator[TestClient]:
    app.state.settings = settings
    with TestClient(app, base_url=HERE, client=AT_THIS_MACHINE) as opened:
        yield opened


@pytest.fixture
def database(settings: Settings) -> Iterator[Database]:
    opened = open_library(settings.address_of_database, settings.band_name)
    yield opened
    opened.close()


@pytest.fixture
def session(database: Database) -> Iterator[Session]:
    with database.writing() as opened:
        yield opened
