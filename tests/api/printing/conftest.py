import logging
from collections.abc import Iterator

import pytest


@pytest.fixture(autouse=True)
def no_complaints_of_the_printer(caplog: pytest.LogCaptureFixture) -> Iterator[None]:
    """A warning of the printing library fails the test that caused it, unless the test took it."""
    with caplog.at_level(logging.WARNING):
        yield
    heard = [r.getMessage() for r in caplog.get_records("call") if r.name == "api.printing.pdf"]
    assert not heard, heard
