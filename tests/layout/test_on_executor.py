"""Any executor and a Dask cluster search as the processes of this machine do; what is lost is said or done again."""

import os
import signal
import time
from concurrent.futures import Executor, Future, ThreadPoolExecutor

import pytest

from clothwright.layout import (
    ClusterUnreached,
    Effort,
    OnExecutor,
    Searchers,
    best,
    faults,
    find,
    searching_by,
    staircase,
)
from clothwright.layout.searchers import Asked
from layout.cases import published, waistcoat
from layout.test_staircase import yarn_m

JACKET = published("synthetic_jacket")[1]
WIDTHS = (45.0, 52.0, 60.0)


@pytest.fixture(scope="module")
def cluster():
    """A scheduler and two workers with a thread each, in processes of this machine, reached by its address."""
    distributed = pytest.importorskip("distributed", reason="the extra “cluster” is not installed")
    with distributed.LocalCluster(
        n_workers=2, threads_per_worker=1, processes=True, dashboard_address=None, silence_logs=50
    ) as local:
        yield local


def test_a_cluster_finds_valid_layouts_and_gives_the_same_by_rounds_as_this_machine(cluster):
    with searching_by(cluster.scheduler_address) as there, searching_by() as here:
        assert (there.count, here.count) == (2, 2)
        found = find(JACKET, 60.0, effort=Effort(2.0), by=there)
        assert faults(JACKET, found.layout) == ()
        far, near = (
            staircase(JACKET, WIDTHS, effort=Effort(rounds=2), seed=3, by=by, yarn_m=yarn_m) for by in (there, here)
        )
        assert far == near


def test_a_cluster_worker_that_is_killed_takes_nobody_along(cluster):
    with searching_by(cluster.scheduler_address) as by:
        pid = next(worker.pid for worker in cluster.workers.values())
        os.kill(pid, signal.SIGKILL)
        steps = staircase(JACKET, WIDTHS, effort=Effort(4.0), by=by, yarn_m=yarn_m)
    assert all(faults(JACKET, step.layout) == () for step in steps)


def test_a_search_on_a_cluster_is_stopped_at_its_next_pulse(cluster):
    asked_at = []

    def pulse():
        if asked_at and time.monotonic() > asked_at[0]:
            raise InterruptedError

    with searching_by(cluster.scheduler_address, pulse=pulse) as by:
        asked_at.append(time.monotonic() + 2)
        with pytest.raises(InterruptedError):
            staircase(JACKET, WIDTHS, effort=Effort(30.0), by=by, yarn_m=yarn_m)
        assert time.monotonic() - asked_at[0] < 1.0


def test_without_an_address_this_machine_searches():
    with searching_by(None, count=1) as by:
        assert isinstance(by, Searchers)
        assert find(waistcoat(), 48.0, effort=Effort(0.5), by=by).layout.length_cm == pytest.approx(190)


def test_a_cluster_that_is_not_there_is_one_sentence(monkeypatch):
    pytest.importorskip("distributed", reason="the extra “cluster” is not installed")
    monkeypatch.setattr("clothwright.layout.on_executor.CONNECTING_S", 0.5)
    sentence = r"tcp://127.0.0.1:9 .*write the address of its scheduler"
    with pytest.raises(ClusterUnreached, match=sentence), searching_by("tcp://127.0.0.1:9"):
        pass


def test_without_the_extra_the_sentence_says_what_to_install(monkeypatch):
    monkeypatch.setitem(__import__("sys").modules, "distributed", None)
    sentence = r"pip install 'clothwright\[cluster\]'"
    with pytest.raises(ClusterUnreached, match=sentence), searching_by("tcp://127.0.0.1:9"):
        pass


class Losing(Executor):
    """An executor that loses the first answers it is asked for."""

    def __init__(self, losing: int) -> None:
        self.losing, self.inner = losing, ThreadPoolExecutor(1)

    def submit(self, function, /, *args, **more):
        if self.losing > 0:
            self.losing -= 1
            future = Future()
            future.set_exception(OSError("the wire was cut"))
            return future
        return self.inner.submit(function, *args, **more)


def test_what_is_lost_once_is_done_again_and_what_is_lost_twice_is_no_answer():
    asked = [Asked(sorted, ([3, 1],)), Asked(sorted, ([9],))]
    once = [told.found for told in OnExecutor(Losing(1)).told(asked) if not told.ended]
    assert sorted(once) == [[1, 3], [9]]
    assert [told for told in OnExecutor(Losing(4)).told(asked) if not told.ended] == []


def test_a_staircase_by_an_executor_whose_answers_are_lost_is_that_of_the_guesses():
    steps = staircase(waistcoat(), (47.0, 48.0), effort=Effort(2.0), by=Losing(10**6), yarn_m=yarn_m)
    assert best(steps).width_cm == 48.0
