"""The laws are asserted outside the test files; a broken one says what it found all the same."""

import pytest

pytest.register_assert_rewrite("tests.properties.laws_of_choice", "tests.properties.laws_of_timing")
