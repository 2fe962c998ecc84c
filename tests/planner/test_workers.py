"""Is the work of a worker done, watched, stopped and started again?"""

import os
import socket
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import httpx
import psutil
import pytest

from planner.errors import NotationError, WorkerCrashed, WorkerOutOfMemory, WorkerTimeout
from planner.workers import Worker

ROOT = Path(__file__).parents[2]


def raise_notation_error() -> None:
    raise NotationError("gig.abc", "line 3", "the bar is too long", "shorten it")


def raise_unpicklable() -> None:
    class LocalError(Exception):
        pass

    raise LocalError("of this function only")


def hold_memory(size_mb: int, seconds: float) -> int:
    block = bytearray(os.urandom(1000)) * (size_mb * 1000)
    time.sleep(seconds)
    return len(block)


def speak_on_stdout() -> str:
    print("chatter")  # noqa: T201 - a job that prints is what is tried
    return "answer"


def count_for_ever() -> None:
    number = 0
    while True:
        number += 1


def warm_slowly() -> None:
    time.sleep(0.5)
    os.environ["WARM"] = "yes"


def fail_to_warm() -> None:
    raise NotationError("engraver", "", "not installed", "install it")


@pytest.fixture
def worker() -> Iterator[Worker]:
    worker = Worker("test worker", time_limit_s=10, memory_limit_mb=150)
    yield worker
    worker.close()


def test_an_answer_comes_from_another_process_that_stays(worker: Worker) -> None:
    first = worker.call(os.getpid)
    assert first != os.getpid()
    assert worker.call(os.getpid) == first


def test_nothing_is_started_before_the_first_call(worker: Worker) -> None:
    assert worker.pid is None
    worker.call(os.getpid)
    assert worker.pid is not None


def test_our_own_errors_pass_through_with_all_they_hold(worker: Worker) -> None:
    with pytest.raises(NotationError) as caught:
        worker.call(raise_notation_error)
    assert str(caught.value) == "gig.abc, line 3: the bar is too long; shorten it."
    assert (caught.value.file, caught.value.remedy) == ("gig.abc", "shorten it")


def test_other_errors_keep_their_type_and_tell_where_they_came_from(worker: Worker) -> None:
    with pytest.raises(ZeroDivisionError) as caught:
        worker.call(divmod, 1, 0)
    assert "In the worker process" in caught.value.__notes__[0]


def test_an_error_that_cannot_travel_is_told_in_words(worker: Worker) -> None:
    with pytest.raises(RuntimeError, match="LocalError: of this function only"):
        worker.call(raise_unpicklable)


def test_an_error_does_not_cost_the_process(worker: Worker) -> None:
    first = worker.call(os.getpid)
    with pytest.raises(ZeroDivisionError):
        worker.call(divmod, 1, 0)
    assert worker.call(os.getpid) == first


def test_an_overrun_is_stopped_and_the_process_replaced(worker: Worker) -> None:
    worker.time_limit_s = 0.4
    first = worker.call(os.getpid)
    with pytest.raises(WorkerTimeout, match=r"The test worker needed more than 0\.4 s"):
        worker.call(time.sleep, 30)
    assert not psutil.pid_exists(first)
    assert worker.call(os.getpid) != first


def test_a_job_is_stopped_by_the_processor_it_uses_and_not_by_the_time_it_waits() -> None:
    worker = Worker("thinker", time_limit_s=60, memory_limit_mb=150, processor_limit_s=0.2)
    assert worker.call(time.sleep, 0.5) is None
    with pytest.raises(WorkerTimeout, match=r"The thinker needed more than 0\.2 s"):
        worker.call(count_for_ever)
    worker.close()


def test_a_runaway_is_stopped_by_its_memory() -> None:
    worker = Worker("glutton", time_limit_s=30, memory_limit_mb=150)
    with pytest.raises(WorkerOutOfMemory, match="more than 150 MB"):
        worker.call(hold_memory, 300, 20)
    assert worker.call(hold_memory, 10, 0) == 10_000_000
    worker.close()


def test_a_crash_is_reported_and_the_next_job_is_done(worker: Worker) -> None:
    with pytest.raises(WorkerCrashed, match="broke off without an answer"):
        worker.call(os._exit, 3)
    assert worker.call(abs, -3) == 3


def test_a_process_that_died_idle_is_replaced_without_a_word(worker: Worker) -> None:
    first = psutil.Process(worker.call(os.getpid))
    first.kill()
    psutil.wait_procs([first], timeout=5)
    assert worker.call(abs, -3) == 3


def test_warming_up_does_not_count_against_the_time_of_a_job() -> None:
    worker = Worker("slow starter", time_limit_s=0.3, memory_limit_mb=150, warm_up=warm_slowly)
    assert worker.call(os.getenv, "WARM") == "yes"
    worker.close()


def test_a_failing_warm_up_is_raised_to_the_caller_each_time() -> None:
    worker = Worker("no starter", time_limit_s=10, memory_limit_mb=150, warm_up=fail_to_warm)
    for _ in range(2):
        with pytest.raises(NotationError, match="not installed"):
            worker.call(abs, -3)
    assert worker.pid is None


def test_many_threads_get_their_own_answers(worker: Worker) -> None:
    answers: dict[int, int] = {}

    def ask(number: int) -> None:
        answers[number] = worker.call(pow, number, 2)

    threads = [threading.Thread(target=ask, args=(number,)) for number in range(20)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert answers == {number: number**2 for number in range(20)}


def test_closing_ends_the_process_and_a_later_call_starts_another(worker: Worker) -> None:
    first = worker.call(os.getpid)
    worker.close()
    assert not psutil.pid_exists(first)
    assert worker.call(os.getpid) != first


def test_closing_sets_a_waiting_caller_free() -> None:
    worker = Worker("sleeper", time_limit_s=60, memory_limit_mb=150)
    worker.call(abs, -3)
    outcome: list[type[Exception]] = []

    def wait() -> None:
        try:
            worker.call(time.sleep, 50)
        except WorkerCrashed as error:
            outcome.append(type(error))

    thread = threading.Thread(target=wait)
    thread.start()
    time.sleep(0.2)
    worker.close()
    thread.join(5)
    assert outcome == [WorkerCrashed]


PROGRAM = """
import os
from planner.workers import Worker
worker = Worker("from a program", time_limit_s=5, memory_limit_mb=150)
print(worker.call(pow, 6, 2), worker.call(os.getpid))
"""


def run(*command: str, text: str = "") -> str:
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    done = subprocess.run(
        [sys.executable, *command],
        input=text,
        env=environment,
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )
    assert (done.returncode, done.stderr) == (0, "")
    return done.stdout


def test_a_script_without_a_main_guard_runs_once(tmp_path: Path) -> None:
    script = tmp_path / "gig.py"
    script.write_text(PROGRAM)
    assert run(str(script)).count("36 ") == 1


def test_a_one_line_program_may_use_a_worker() -> None:
    assert run("-c", PROGRAM).startswith("36 ")


def test_a_program_read_from_stdin_may_use_a_worker() -> None:
    assert run("-", text=PROGRAM).startswith("36 ")


def test_no_process_is_left_when_the_program_ends() -> None:
    pid = int(run("-c", PROGRAM).split()[1])
    assert not psutil.pid_exists(pid)


def test_a_program_that_is_killed_leaves_no_process_behind() -> None:
    program = PROGRAM.replace("print(", "print(os.getpid(), ") + "\nos.kill(os.getpid(), 9)"
    program = program.replace("os.getpid))", "os.getpid), flush=True)")
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    done = subprocess.run(
        [sys.executable, "-c", program], env=environment, capture_output=True, check=False
    )
    orphan = int(done.stdout.split()[2])
    deadline = time.monotonic() + 5
    while psutil.pid_exists(orphan) and time.monotonic() < deadline:
        time.sleep(0.05)
    assert not psutil.pid_exists(orphan)


def test_what_a_job_prints_stays_out_of_the_callers_output() -> None:
    program = (
        "from planner.workers import Worker\n"
        "from tests.planner.test_workers import speak_on_stdout\n"
        "worker = Worker('talker', time_limit_s=5, memory_limit_mb=150)\n"
        "print(worker.call(speak_on_stdout))\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", program],
        cwd=ROOT,
        capture_output=True,
        text=True,
        timeout=60,
        check=True,
    )
    assert (done.stdout, done.stderr) == ("answer\n", "chatter\n")


def test_a_web_server_may_use_a_worker(tmp_path: Path) -> None:
    (tmp_path / "gig_app.py").write_text(WEB_PROGRAM)
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    command = [sys.executable, "-m", "uvicorn", "gig_app:app", "--port", str(port)]
    environment = {**os.environ, "PYTHONPATH": f"{ROOT}{os.pathsep}{tmp_path}"}
    server = subprocess.Popen(command, env=environment, stderr=subprocess.DEVNULL)
    try:
        assert fetch_when_up(f"http://127.0.0.1:{port}/") == "36"
    finally:
        server.terminate()
        server.wait(10)


WEB_PROGRAM = """
from planner.workers import Worker
worker = Worker("in a server", time_limit_s=5, memory_limit_mb=150)

async def app(scope, receive, send):
    if scope["type"] == "http":
        body = str(worker.call(pow, 6, 2)).encode()
        await send({"type": "http.response.start", "status": 200, "headers": []})
        await send({"type": "http.response.body", "body": body})
"""


def fetch_when_up(address: str) -> str:
    deadline = time.monotonic() + 20
    while True:
        try:
            return httpx.get(address, timeout=10).text
        except httpx.ConnectError:
            assert time.monotonic() < deadline
            time.sleep(0.1)
