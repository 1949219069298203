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
    monkeypatch.setattr(two_hands, "can_share", lambda: shared)
    assert share_out(squares(count), [1.0] * count) == [i * i for i in range(count)]


def test_the_second_task_runs_in_another_process(monkeypatch):
    monkeypatch.setattr(two_hands, "can_share", lambda: True)
    here, there = share_out([os.getpid, os.getpid], [1.0, 1.0])
    assert here == os.getpid()
    assert there != here


def test_work_of_a_helper_that_dies_is_done_again(monkeypatch):
    monkeypatch.setattr(two_hands, "can_share", lambda: True)
    parent = os.getpid()

    def fatal_elsewhere():
        if os.getpid() != parent:
            os._exit(9)
        return "done here"

    assert share_out([lambda: 1, fatal_elsewhere], [2.0, 1.0]) == [1, "done here"]


def test_a_fault_is_told_by_the_parent(monkeypatch):
    monkeypatch.setattr(two_hands, "can_share", lambda: True)

    def faulty():
        raise ValueError("the second task")

    with pytest.raises(ValueError, match="the second task"):
        share_out([lambda: 1, faulty], [2.0, 1.0])


def test_a_hand_that_is_free_takes_the_next_task(monkeypatch):
    monkeypatch.setattr(two_hands, "can_share", lambda: True)

    def long():
        time.sleep(1.0)
        return os.getpid()

    # The first task takes longer than its weight says: all others are done by the helper meanwhile.
    ran = share_out([os.getpid, os.getpid, long, os.getpid, os.getpid], [1.0, 1.0, 2.0, 1.5, 1.0])
    assert ran[2] == os.getpid()
    assert len({ran[0], ran[1], ran[3], ran[4]}) == 1
    assert ran[0] != os.getpid()


def test_more_tasks_than_the_queue_holds(monkeypatch):
    monkeypatch.setattr(two_hands, "can_share", lambda: True)
    count = 3 * two_hands.MOST
    assert share_out(squares(count), [1.0] * count) == [i * i for i in range(count)]


def until_stopped():
    try:
        time.sleep(60.0)
    except KeyboardInterrupt:
        return "stopped"
    return "done"


def test_a_helper_is_stopped_with_its_parent(monkeypatch):
    monkeypatch.setattr(two_hands, "can_share", lambda: True)
    parent = os.getpid()

    def stopped_here():
        time.sleep(0.3)
        assert os.getpid() == parent
        return "stopped"

    began = time.monotonic()
    assert share_out([stopped_here, until_stopped], [2.0, 1.0], lambda result: result == "stopped") == ["stopped"] * 2
    assert time.monotonic() - began < 30.0


def test_a_helper_is_stopped_where_interrupts_are_ignored(monkeypatch):
    monkeypatch.setattr(two_hands, "can_share", lambda: True)

    def stopped_here():
        time.sleep(0.3)
        return "stopped"

    before = signal.signal(signal.SIGINT, signal.SIG_IGN)
    try:
        found = share_out([stopped_here, until_stopped], [2.0, 1.0], lambda result: result == "stopped")
    finally:
        signal.signal(signal.SIGINT, before)
    assert found == ["stopped"] * 2


def test_a_stop_while_waiting_is_handed_on(monkeypatch):
    monkeypatch.setattr(two_hands, "can_share", lambda: True)

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
