"""What was worked out once is remembered, but not without end."""

import pytest

from api.actions.memo import Memo


def test_a_result_is_made_once() -> None:
    made: list[int] = []
    memo = Memo[int](limit=2)
    for _ in range(3):
        memo.get("key", lambda: made.append(1) or 7)
    assert (made, memo.get("key", lambda: 0)) == ([1], 7)


def test_the_result_unused_for_longest_goes_first() -> None:
    memo = Memo[str](limit=2)
    for key in ("first", "second", "first", "third"):
        memo.get(key, lambda: "made")
    assert ("first" in memo, "second" in memo, "third" in memo) == (True, False, True)
    assert len(memo) == 2


def test_what_raises_is_not_remembered() -> None:
    memo = Memo[int](limit=2)
    with pytest.raises(ZeroDivisionError):
        memo.get("key", lambda: 1 // 0)
    assert memo.get("key", lambda: 3) == 3
