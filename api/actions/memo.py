"""How is a result kept, so that it is worked out once for the same content?"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Hashable
from threading import Lock
from typing import Generic, TypeVar

Result = TypeVar("Result")


class Memo(Generic[Result]):
    """The latest results by key, at most ``limit``; the one unused for longest goes first."""

    def __init__(self, limit: int) -> None:
        self.limit = limit
        self._results: OrderedDict[Hashable, Result] = OrderedDict()
        self._lock = Lock()

    def get(self, key: Hashable, make: Callable[[], Result]) -> Result:
        """The result for a key; made now when it is not there. What raises is not kept."""
        with self._lock:
            if key in self._results:
                self._results.move_to_end(key)
                return self._results[key]
        result = make()
        with self._lock:
            self._results[key] = result
            while len(self._results) > self.limit:
                self._results.popitem(last=False)
        return result

    def clear(self) -> None:
        """Forget everything."""
        with self._lock:
            self._results.clear()

    def __contains__(self, key: Hashable) -> bool:
        with self._lock:
            return key in self._results

    def __len__(self) -> int:
        return len(self._results)
