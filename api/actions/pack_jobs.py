"""How is a pack printed while whoever asked for it does something else?

A pack takes from seconds to minutes. A job prints it in a thread of its own; the heavy work is done
by the printer's and the engraver's own processes. Whoever shows how far it is (a page that is
loaded again, a stream of events) asks ``PackJobs.state`` as often as it likes: that costs a look
into a dictionary. The page can be left and come back to: a pack is kept until newer ones push it
out, or the service ends.
"""

from __future__ import annotations

import io
import logging
import zipfile
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass, replace
from threading import Lock, Thread
from typing import Any

from api.actions.pack import Progress
from api.storage.database import BandId
from planner.errors import PacestickError

LOG = logging.getLogger(__name__)

PrintPack = Callable[[Progress], bytes]
"""Prints a whole pack, telling after every sheet how many are done; gives the zip file."""

# How many packs are kept? One is some megabytes.
MOST_PACKS = 6
FAULT = "This is a fault of ours, not yours: try again, and tell us if it happens again."


@dataclass(frozen=True, slots=True)
class PackKey:
    """Whose pack, and of which event."""

    band: BandId
    event: int


@dataclass(frozen=True, slots=True)
class PackState:
    """How far a pack is: ``done`` sheets of ``total``, which is 0 until they have been counted.

    ``made_of`` changes with whatever it is made from. When it is over, ``version`` says which it
    is and ``files`` has the name and the title of everything in it, or ``problem`` says in one
    sentence why there is nothing.
    """

    done: int = 0
    total: int = 0
    made_of: str = ""
    is_over: bool = False
    version: str = ""
    files: tuple[tuple[str, str], ...] = ()
    problem: str = ""

    @property
    def is_ready(self) -> bool:
        """True when there is a pack to take away."""
        return self.is_over and not self.problem


@dataclass
class _Job:
    state: PackState
    content: bytes = b""


class PackJobs:
    """The packs of one service, by event: being printed, or ready to be taken away."""

    def __init__(self) -> None:
        self._jobs: OrderedDict[PackKey, _Job] = OrderedDict()
        self._lock = Lock()

    def start(self, key: PackKey, made_of: str, print_pack: PrintPack) -> None:
        """Begin to print the pack of an event, unless it is being printed already."""
        with self._lock:
            running = self._jobs.get(key)
            if running is not None and not running.state.is_over:
                return
            job = _Job(PackState(made_of=made_of))
            self._jobs[key] = job
            self._jobs.move_to_end(key)
            self._drop_old()
        Thread(target=self._run, args=(job, print_pack), daemon=True, name="pack").start()

    def state(self, key: PackKey) -> PackState | None:
        """How far the pack of an event is; None where nobody has asked for one."""
        with self._lock:
            job = self._jobs.get(key)
            return None if job is None else job.state

    def content(self, key: PackKey) -> bytes | None:
        """The zip file of a pack that is ready; None where there is none."""
        with self._lock:
            job = self._jobs.get(key)
            return job.content if job is not None and job.state.is_ready else None

    def file(self, key: PackKey, name: str) -> bytes | None:
        """One paper out of a pack that is ready; None where there is none of this name."""
        content = self.content(key)
        if content is None:
            return None
        with zipfile.ZipFile(io.BytesIO(content)) as pack:
            return pack.read(name) if name in pack.namelist() else None

    def _run(self, job: _Job, print_pack: PrintPack) -> None:
        try:
            content = print_pack(lambda done, total: self._tell(job, done=done, total=total))
            with zipfile.ZipFile(io.BytesIO(content)) as pack:
                files = tuple((each.filename, each.comment.decode()) for each in pack.infolist())
                version = pack.comment.decode()
        except PacestickError as problem:
            self._tell(job, is_over=True, problem=str(problem))
        except Exception:
            LOG.exception("a pack could not be printed")
            self._tell(job, is_over=True, problem=FAULT)
        else:
            job.content = content
            self._tell(job, is_over=True, version=version, files=files)

    def _tell(self, job: _Job, **news: Any) -> None:
        with self._lock:
            job.state = replace(job.state, **news)

    def _drop_old(self) -> None:
        """Let go of the oldest packs that are over; what is being printed stays."""
        over = [key for key, job in self._jobs.items() if job.state.is_over]
        for key in over[: max(0, len(self._jobs) - MOST_PACKS)]:
            del self._jobs[key]
