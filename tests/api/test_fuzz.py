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
from starlette.types import Receive, Scope, Send

from api.app import create_app
from api.settings import Settings

CHECKS = [
    not_a_server_error,
    content_type_conformance,
    response_schema_conformance,
    status_code_conformance,
]
HERE = "http://localhost"
AT_HERE = ("127.0.0.1", 50_000)
APP = create_app(Settings())


async def at_this_machine(scope: Scope, receive: Receive, send: Send) -> None:
    """The app as somebody at this machine reaches it: made-up requests come from nowhere."""
    headers = [(name, value) for name, value in scope.get("headers", ()) if name != b"host"]
    here = {"client": AT_HERE, "headers": [*headers, (b"host", b"localhost")]}
    await APP({**scope, **here}, receive, send)


schema = schemathesis.openapi.from_asgi("/api/openapi.json", at_this_machine).include(
    path_regex="^/api/"
)


@pytest.fixture(scope="module", autouse=True)
def demo_library(empty_library: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """The library that is asked, opened for all requests of this file."""
    folder = Path(shutil.copytree(empty_library, tmp_path_factory.mktemp("fuzzed") / "library"))
    APP.state.settings = Settings(data_dir=folder, demo=True)
    with TestClient(
        APP, base_url=HERE, client=("127.0.0.1", 50_000), raise_server_exceptions=False
    ):
        yield


@pytest.mark.slow
@schema.parametrize()
@settings(max_examples=5, deadline=None, suppress_health_check=list(HealthCheck), derandomize=True)
def test_no_input_is_a_fault_of_ours(case: schemathesis.Case) -> None:
    case.call_and_validate(checks=CHECKS)
