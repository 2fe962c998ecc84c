"""No input, however odd, is a fault of ours; every answer has the shape the schema promises.

Thousands of requests are made up from our own OpenAPI schema and sent to a library with the demo
band. A server error, an undocumented status or content type, or a body of another shape fails.
"""

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
import schemathesis
from fastapi.testclient import TestClient
from hypothesis import HealthCheck, settings
from schemathesis.checks import not_a_server_error
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    response_schema_conformance,
    status_code_conformance,
)

from api.app import create_app
from api.settings import Settings

CHECKS = [
    not_a_server_error,
    content_type_conformance,
    response_schema_conformance,
    status_code_conformance,
]
NAME = "http://testserver"  # the host under which requests are made up


APP = create_app(Settings(public_address=NAME))
schema = schemathesis.openapi.from_asgi("/api/openapi.json", APP).include(path_regex="^/api/")


@pytest.fixture(scope="module", autouse=True)
def demo_library(empty_library: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """The library that is asked, opened for all requests of this file."""
    folder = Path(shutil.copytree(empty_library, tmp_path_factory.mktemp("fuzzed") / "library"))
    APP.state.settings = Settings(data_dir=folder, demo=True, public_address=NAME)
    with TestClient(APP, base_url=NAME, raise_server_exceptions=False):
        yield


@pytest.mark.slow
@schema.parametrize()
@settings(max_examples=5, deadline=None, suppress_health_check=list(HealthCheck), derandomize=True)
def test_no_input_is_a_fault_of_ours(case: schemathesis.Case) -> None:
    case.call_and_validate(checks=CHECKS)
