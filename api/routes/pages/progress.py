"""How does a page learn how far long work is? By server-sent events (HTML Living Standard, 9.2).

A stream says the state whenever it has changed, and ends when the work is over or after a while; a
browser that still waits asks again by itself. Without a script the page is loaded again.
"""

from __future__ import annotations

import asyncio
import json
from collections.abc import AsyncIterator, Callable
from dataclasses import asdict, dataclass

from fastapi.responses import StreamingResponse

LOOK_EVERY_S = 0.25
# A stream ends after this, so that nothing is held open for somebody who went away.
LONGEST_S = 30.0
ASK_AGAIN_MS = 500


@dataclass(frozen=True, slots=True)
class Step:
    """How far the work is: ``done`` of ``total``, 0 until it has been counted, and in words."""

    done: int
    total: int
    said: str
    is_over: bool = False


LookAtWork = Callable[[], Step]


def progress_stream(look: LookAtWork) -> StreamingResponse:
    """The steps of some work as they come; ``look`` is asked often and must be quick."""
    return StreamingResponse(_steps(look), media_type="text/event-stream")


async def _steps(look: LookAtWork) -> AsyncIterator[str]:
    yield f"retry: {ASK_AGAIN_MS}\n\n"
    told: Step | None = None
    for _ in range(round(LONGEST_S / LOOK_EVERY_S)):
        step = look()
        if step != told:
            yield _event(step)
            told = step
        if step.is_over:
            return
        await asyncio.sleep(LOOK_EVERY_S)


def _event(step: Step) -> str:
    kind = "over" if step.is_over else "step"
    return f"event: {kind}\ndata: {json.dumps(asdict(step))}\n\n"
