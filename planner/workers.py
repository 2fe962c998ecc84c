"""How is heavy or fragile work kept away from the service?

A ``Worker`` is one spawned process (never forked) that does one job at a time for whoever asks.
Its time and memory are watched from outside; a process that overruns or dies is killed, and the
next call gets a fresh one. Start-up and warm-up do not count against a job's time.

Functions and arguments travel by pickle: a function must live at the top level of an importable
module (not of a script). What a job prints goes to stderr, so stdout stays the caller's.
"""

from __future__ import annotations

import atexit
import gc
import multiprocessing
import os
import pickle
import signal
import sys
import threading
import time
import traceback
import weakref
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from multiprocessing.connection import Connection
from multiprocessing.context import SpawnProcess
from types import ModuleType
from typing import Any, TypeVar, TypeVarTuple

import psutil

from planner.errors import WorkerCrashed, WorkerOutOfMemory, WorkerTimeout

# How often is the memory looked at? Often enough to stop a runaway before it hurts the machine.
WATCH_INTERVAL_S = 0.02
# After how many new objects is garbage looked for? A drawing makes many, most of which stay to its
# end; the usual step costs a seventh of its time.
GARBAGE_STEP = 50_000
# How long may a killed process take to go?
FAREWELL_S = 5.0

Answer = TypeVar("Answer")
Arguments = TypeVarTuple("Arguments")

_spawning = multiprocessing.get_context("spawn")
_start_lock = threading.Lock()
_workers: weakref.WeakSet[Worker] = weakref.WeakSet()


class Worker:
    """One process for one kind of work, started at the first call.

    ``name`` ends up in sentences ("The engraver needed more than 20 s"). ``time_limit_s`` counts
    from the moment the process is warm, that is after ``warm_up()`` has run in it, which may take
    ``warm_up_limit_s``. ``memory_limit_mb`` is the resident size of the whole process.
    ``processor_limit_s`` counts the job's own seconds of processor, which a busy machine leaves
    alone; None sets no such limit.
    """

    def __init__(
        self,
        name: str,
        *,
        time_limit_s: float,
        memory_limit_mb: int,
        processor_limit_s: float | None = None,
        warm_up: Callable[[], object] | None = None,
        warm_up_limit_s: float = 60.0,
    ) -> None:
        self.name = name
        self.processor_limit_s = processor_limit_s
        self.time_limit_s = time_limit_s
        self.memory_limit_mb = memory_limit_mb
        self._warm_up = warm_up
        self._warm_up_limit_s = warm_up_limit_s
        self._lock = threading.Lock()
        self._process: SpawnProcess | None = None
        self._connection: Connection | None = None
        _workers.add(self)

    def call(self, function: Callable[[*Arguments], Answer], *args: *Arguments) -> Answer:
        """``function(*args)``, worked out in the process; an error raised there is raised here.

        Raises:
            WorkerTimeout: the job took longer than the limit.
            WorkerOutOfMemory: the process grew beyond the limit.
            WorkerCrashed: the process ended without an answer.
        """
        job = pickle.dumps((function, args))
        with self._lock:
            try:
                reply = self._ask(job)
            except BaseException:
                self._discard()  # an answer that comes too late must not reach the next caller
                raise
        return _unpack(reply)  # type: ignore[no-any-return]

    def close(self) -> None:
        """End the process; a later call starts a new one."""
        process = self._process
        if process is not None:
            _kill(process)  # before taking the lock: whoever waits for an answer is set free
        with self._lock:
            self._discard()

    @property
    def pid(self) -> int | None:
        """Process number of the running process, None when there is none."""
        process = self._process
        return None if process is None else process.pid

    def _ask(self, job: bytes) -> bytes:
        try:
            self._ready_connection().send_bytes(job)
        except OSError:
            self._discard()  # it died before it was asked: nobody's job is to blame
            self._ready_connection().send_bytes(job)
        return self._wait(self.time_limit_s, self.processor_limit_s)

    def _ready_connection(self) -> Connection:
        if self._process is not None and not self._process.is_alive():
            self._discard()  # it died while nobody had asked it for anything
        if self._connection is None:
            self._start()
            _unpack(self._wait(self._warm_up_limit_s))
        assert self._connection is not None
        return self._connection

    def _start(self) -> None:
        ours, theirs = _spawning.Pipe()
        with _start_lock, _hidden_main_module():
            process = _spawning.Process(
                target=_serve, args=(theirs, self._warm_up), name=self.name, daemon=True
            )
            process.start()
        theirs.close()
        self._process, self._connection = process, ours

    def _wait(self, limit_s: float, processor_limit_s: float | None = None) -> bytes:
        """The next answer, with an eye on clock, processor and memory."""
        assert self._connection is not None
        assert self._process is not None
        deadline = time.monotonic() + limit_s
        worked_s = _processor_s(self._process.pid)
        while not self._connection.poll(WATCH_INTERVAL_S):
            if _resident_mb(self._process.pid) > self.memory_limit_mb:
                raise WorkerOutOfMemory(self.name, self.memory_limit_mb)
            if time.monotonic() > deadline:
                raise WorkerTimeout(self.name, limit_s)
            if processor_limit_s and _processor_s(self._process.pid) - worked_s > processor_limit_s:
                raise WorkerTimeout(self.name, processor_limit_s)
        try:
            return self._connection.recv_bytes()
        except (EOFError, OSError) as gone:
            raise WorkerCrashed(self.name) from gone

    def _discard(self) -> None:
        process, connection = self._process, self._connection
        self._process = self._connection = None
        if connection is not None:
            connection.close()
        if process is not None:
            _kill(process)
            process.join(FAREWELL_S)


def _kill(process: SpawnProcess) -> None:
    # never started, or gone: nothing to do
    if process.pid is not None and process.exitcode is None:
        process.kill()


@contextmanager
def _hidden_main_module() -> Iterator[None]:
    """Keep spawn from importing the caller's script again in the new process.

    A script without a main guard would run twice, and one read from stdin cannot be found at all.
    """
    main = sys.modules["__main__"]
    sys.modules["__main__"] = ModuleType("__main__")
    try:
        yield
    finally:
        sys.modules["__main__"] = main


def _resident_mb(pid: int | None) -> float:
    try:
        return float(psutil.Process(pid).memory_info().rss) / 1e6
    except psutil.Error:
        return 0.0  # gone already: reading the answer will tell


def _processor_s(pid: int | None) -> float:
    try:
        used = psutil.Process(pid).cpu_times()
    except psutil.Error:
        return 0.0
    return float(used.user + used.system)


def _serve(connection: Connection, warm_up: Callable[[], object] | None) -> None:
    """The life of the process: warm up, then answer jobs until the caller is gone."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C is the caller's to handle
    os.dup2(2, 1)
    sys.stdout = sys.stderr  # at once: what waits in a buffer is lost when the process is ended
    connection.send_bytes(_answer(pickle.dumps((warm_up or _nothing, ()))))
    gc.freeze()  # what is loaded stays, and is not looked through again
    gc.set_threshold(GARBAGE_STEP)
    while True:
        try:
            job = connection.recv_bytes()
        except (EOFError, OSError):
            return
        connection.send_bytes(_answer(job))


def _nothing() -> None:
    """Warm-up of a worker that needs none."""


def _answer(job: bytes) -> bytes:
    try:
        function, args = pickle.loads(job)
        return pickle.dumps((True, function(*args)))
    except Exception as error:
        return _packed_error(error)


def _packed_error(error: Exception) -> bytes:
    story = "In the worker process:\n" + traceback.format_exc()
    try:
        packed = pickle.dumps((False, (error, story)))
        pickle.loads(packed)  # some errors can be packed but not unpacked
    except Exception:
        return pickle.dumps((False, (RuntimeError(f"{type(error).__name__}: {error}"), story)))
    return packed


def _unpack(reply: bytes) -> Any:
    is_answer, content = pickle.loads(reply)
    if is_answer:
        return content
    error, story = content
    error.add_note(story)
    raise error


@atexit.register
def _close_all() -> None:
    for worker in list(_workers):
        worker.close()
