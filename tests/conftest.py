"""One profile for every property test: a busy machine is no reason to fail.

``--approve`` keeps what the engine says now as the golden plans.
"""

import pytest
from hypothesis import HealthCheck, settings

settings.register_profile("pacestick", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("pacestick")


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--approve", action="store_true", help="keep the plans as they are now")


@pytest.fixture
def approve(request: pytest.FixtureRequest) -> bool:
    return bool(request.config.getoption("--approve"))
