"""The demo band on the pages, and the means to read them."""

from __future__ import annotations

import pytest
from fastapi.testclient import TestClient

from api.actions.demo import load_demo
from api.settings import seed_data_dir


@pytest.fixture
def demo(client: TestClient) -> TestClient:
    """The service with the demo band in it."""
    database = client.app.state.database  # type: ignore[attr-defined]
    with database.writing() as session:
        load_demo(session, database.home_band(), seed_data_dir())
    return client
