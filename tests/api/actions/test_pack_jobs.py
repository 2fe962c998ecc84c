import io
import zipfile
from threading import Event

import pytest

from api.actions.pack_jobs import FAULT, MOST_PACKS, PackJobs, PackKey, PackState
from api.storage.database import BandId
from planner.errors import WorkerTimeout

KEY = PackKey(BandId(1), 7)
LONG_ENOUGH_S = 10


def a_zip() -> bytes:
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as pack:
        pack.comment = b"version 2"
        entry = zipfile.ZipInfo("players/jo.pdf")
        entry.comment = b"Mill Day: sheets of Jo"
        pack.writestr(entry, b"paper")
    return packed.getvalue()


def over(jobs: PackJobs, key: PackKey = KEY) -> PackState:
    """The state when the printing has ended."""
    tick = Event()
    for _ in range(LONG_ENOUGH_S * 100):
        state = jobs.state(key)
        if state is not None and state.is_over:
            return state
        tick.wait(0.01)
    raise AssertionError("the printing never ended")


def test_a_pack_nobody_asked_for_is_nothing() -> None:
    jobs = PackJobs()
    assert jobs.state(KEY) is None
    assert jobs.content(KEY) is None
    assert jobs.file(KEY, "players/jo.pdf") is None


def test_a_pack_tells_how_far_it_is_and_is_there_when_one_comes_back() -> None:
    jobs, halfway, go_on = PackJobs(), Event(), Event()

    def printing(progress):
        progress(3, 8)
        halfway.set()
        go_on.wait(LONG_ENOUGH_S)
        progress(8, 8)
        return a_zip()

    jobs.start(KEY, "oats", printing)
    assert halfway.wait(LONG_ENOUGH_S)
    assert jobs.state(KEY) == PackState(3, 8, made_of="oats")
    assert jobs.content(KEY) is None
    go_on.set()
    state = over(jobs)
    assert state.is_ready
    assert (state.done, state.total) == (8, 8)
    assert (state.version, state.made_of) == ("version 2", "oats")
    assert state.files == (("players/jo.pdf", "Mill Day: sheets of Jo"),)
    assert jobs.content(KEY) == a_zip()
    assert jobs.file(KEY, "players/jo.pdf") == b"paper"
    assert jobs.file(KEY, "../secret") is None


def test_a_pack_that_is_being_printed_is_not_begun_again() -> None:
    jobs, go_on, begun = PackJobs(), Event(), []

    def printing(_progress):
        begun.append(1)
        go_on.wait(LONG_ENOUGH_S)
        return a_zip()

    jobs.start(KEY, "", printing)
    jobs.start(KEY, "", printing)
    go_on.set()
    over(jobs)
    assert begun == [1]
    jobs.start(KEY, "", printing)
    over(jobs)
    assert begun == [1, 1]


@pytest.mark.parametrize(
    ("fault", "said"),
    [(WorkerTimeout("printer", 180.0), "180 s"),
     (RuntimeError("a secret"), FAULT)],
)  # fmt: skip
def test_what_goes_wrong_is_told_in_one_sentence(fault, said, caplog) -> None:
    jobs = PackJobs()

    def printing(_progress):
        raise fault

    jobs.start(KEY, "", printing)
    state = over(jobs)
    assert not state.is_ready
    assert said in state.problem
    assert "secret" not in state.problem
    caplog.clear()


def test_old_packs_make_room_and_other_bands_have_their_own() -> None:
    jobs = PackJobs()
    keys = [PackKey(BandId(1), number) for number in range(MOST_PACKS + 1)]
    for key in keys:
        jobs.start(key, "", lambda _progress: a_zip())
        over(jobs, key)
    assert jobs.state(keys[0]) is None
    assert jobs.content(keys[-1]) is not None
    assert jobs.state(PackKey(BandId(2), keys[-1].event)) is None
