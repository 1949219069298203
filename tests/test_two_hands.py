"""Sharing work gives what working alone gives, also when the helper comes to grief."""

import os
import signal
import time

import pytest

from hullcut import two_hands
from hullcut.two_hands import share_out


def squares(count):
    return [lambda i=i: i * i for i in range(count)]


@pytest.mark.parametrize("count", [0, 1, 2, 3, 6])
@pytest.mark.parametrize("shared", [True, False])
def test_results_come_in_the_order_of_the_tasks(monkeypatch, count, shared):
    monkeypatch.setattr(two_hands, "_can_share", lambda: shared)
    assert share_out(squares(count), [1.0] * count) == [i * i for i in range(count)]


def test_the_second_task_runs_in_another_process(monkeypatch):
    monkeypatch.setattr(two_hands, "_can_share", lambda: True)
    here, there = share_out([os.getpid, os.getpid], [1.0, 1.0])
    assert here == os.getpid()
    assert there != here


def test_work_of_a_helper_that_dies_is_done_again(monkeypatch):
    monkeypatch.setattr(two_hands, "_can_share", lambda: True)
    parent = os.getpid()

    def fatal_elsewhere():
        if os.getpid() != parent:
            os._exit(9)
        return "done here"

    assert share_out([lambda: 1, fatal_elsewhere], [2.0, 1.0]) == [1, "done here"]


def test_a_fault_is_told_by_the_parent(monkeypatch):
    monkeypatch.setattr(two_hands, "_can_share", lambda: True)

    def faulty():
        raise ValueError("the second task")

    with pytest.raises(ValueError, match="the second task"):
        share_out([lambda: 1, faulty], [2.0, 1.0])


def test_each_hand_gets_half_of_the_work(monkeypatch):
    monkeypatch.setattr(two_hands, "_can_share", lambda: True)
    ran = share_out([os.getpid] * 5, [1.0, 4.0, 2.0, 1.0, 2.0])
    here = [weight for pid, weight in zip(ran, [1.0, 4.0, 2.0, 1.0, 2.0], strict=True) if pid == os.getpid()]
    assert sum(here) == 5.0
    assert max(here) == 4.0


def until_stopped():
    try:
        time.sleep(60.0)
    except KeyboardInterrupt:
        return "stopped"
    return "done"


def test_a_helper_is_stopped_with_its_parent(monkeypatch):
    monkeypatch.setattr(two_hands, "_can_share", lambda: True)
    parent = os.getpid()

    def stopped_here():
        time.sleep(0.3)
        assert os.getpid() == parent
        return "stopped"

    began = time.monotonic()
    assert share_out([stopped_here, until_stopped], [2.0, 1.0], lambda result: result == "stopped") == ["stopped"] * 2
    assert time.monotonic() - began < 30.0


def test_a_stop_while_waiting_is_handed_on(monkeypatch):
    monkeypatch.setattr(two_hands, "_can_share", lambda: True)

    def interrupted(_signal, _frame):
        raise KeyboardInterrupt

    before = signal.signal(signal.SIGALRM, interrupted)
    signal.setitimer(signal.ITIMER_REAL, 0.5)
    try:
        assert share_out([lambda: "done", until_stopped], [2.0, 1.0], lambda result: result == "stopped") == [
            "done",
            "stopped",
        ]
        signal.setitimer(signal.ITIMER_REAL, 0.5)
        with pytest.raises(KeyboardInterrupt):
            share_out([lambda: "done", until_stopped], [2.0, 1.0])
    finally:
        signal.setitimer(signal.ITIMER_REAL, 0.0)
        signal.signal(signal.SIGALRM, before)
