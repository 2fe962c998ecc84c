"""An opened service for each test, with an empty library in a folder of its own."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from api.app import create_app
from api.settings import Settings
from api.storage.database import Database, Session
from api.storage.library import open_library

HERE = "http://127.0.0.1:8000"


@pytest.fixture
def settings(tmp_path: Path) -> Settings:
    return Settings(data_dir=tmp_path / "library", database_url="", band_name="Testing band")


@pytest.fixture
def client(settings: Settings) -> Iterator[TestClient]:
    with TestClient(create_app(settings), base_url=HERE) as opened:
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
