"""Sharing work gives what working alone gives, also when the helper comes to grief."""

import os

import pytest

from hullcut import two_hands
from hullcut.two_hands import share_out


def squares(count):
    return [lambda i=i: i * i for i in range(count)]


@pytest.mark.parametrize("count", [0, 1, 2, 3, 6])
@pytest.mark.parametrize("shared", [True, False])
def test_results_come_in_the_order_of_the_tasks(monkeypatch, count, shared):
    monkeypatch.setattr(two_hands, "_can_share", lambda: shared)
    assert share_out(squares(count)) == [i * i for i in range(count)]


def test_the_second_task_runs_in_another_process(monkeypatch):
    monkeypatch.setattr(two_hands, "_can_share", lambda: True)
    here, there = share_out([os.getpid, os.getpid])
    assert here == os.getpid()
    assert there != here


def test_work_of_a_helper_that_dies_is_done_again(monkeypatch):
    monkeypatch.setattr(two_hands, "_can_share", lambda: True)
    parent = os.getpid()

    def fatal_elsewhere():
        if os.getpid() != parent:
            os._exit(9)
        return "done here"

    assert share_out([lambda: 1, fatal_elsewhere]) == [1, "done here"]


def test_a_fault_is_told_by_the_parent(monkeypatch):
    monkeypatch.setattr(two_hands, "_can_share", lambda: True)

    def faulty():
        raise ValueError("the second task")

    with pytest.raises(ValueError, match="the second task"):
        share_out([lambda: 1, faulty])
