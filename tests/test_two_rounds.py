"""Two rounds shared between two processes give what working alone gives, also when the helper comes to grief."""

import os
import select
import signal
import time
from pathlib import Path

import pytest

from hullcut import two_hands, two_rounds
from hullcut.two_rounds import share_two_rounds


@pytest.fixture(params=[True, False], ids=["shared", "alone"])
def shared(request, monkeypatch):
    monkeypatch.setattr(two_rounds, "can_share", lambda: request.param)
    return request.param


@pytest.fixture
def together(monkeypatch):
    monkeypatch.setattr(two_rounds, "can_share", lambda: True)


def never(_result):
    return False


def named(word, count):
    return [(1.0, lambda i=i: f"{word} {i}") for i in range(count)]


@pytest.mark.parametrize("sizes", [(1, 0, 1), (1, 3, 0), (2, 2, 2), (5, 1, 7), (0, 0, 2), (3, 0, 0)])
def test_results_come_in_the_order_of_the_tasks(shared, sizes):
    first, meanwhile, second = sizes

    def then(found):
        return tuple(found), [(1.0, lambda i=i: (found[:1], i)) for i in range(second)]

    kept, aside, late = share_two_rounds(named("first", first), named("aside", meanwhile), then, never)
    assert kept == tuple(f"first {i}" for i in range(first))
    assert aside == [f"aside {i}" for i in range(meanwhile)]
    assert late == [(list(kept[:1]), i) for i in range(second)]


def test_more_tasks_than_the_queues_hold(together):
    count = 2 * two_hands.MOST
    kept, aside, late = share_two_rounds(
        named("first", count), named("aside", count), lambda found: (len(found), named("second", count)), never
    )
    assert kept == count
    assert aside == [f"aside {i}" for i in range(count)]
    assert late == [f"second {i}" for i in range(count)]


def test_one_helper_takes_part_in_both_rounds(together):
    def slow():
        time.sleep(0.3)
        return os.getpid()

    first, late = [(1.0, slow)] * 2, [(1.0, slow)] * 2
    kept, _, found = share_two_rounds(first, [], lambda pids: (pids, late), never)
    assert os.getpid() in kept
    assert len(set(kept)) == 2
    assert set(found) == set(kept)


def test_the_helper_works_on_while_the_first_round_takes_long(together):
    def long():
        time.sleep(0.6)
        return os.getpid()

    # The parent has the one task of the first round; all the rest is done before it ends.
    _, aside, _ = share_two_rounds([(9.0, long)], [(1.0, os.getpid)] * 3, lambda found: (found, []), never)
    assert len(set(aside)) == 1
    assert aside[0] != os.getpid()


def read_some(end, count):
    """Wait until another process has written so many bytes."""
    for _ in range(count):
        assert select.select([end], [], [], 20.0)[0], "nobody wrote"
        os.read(end, 1)


def test_who_waits_for_the_helper_takes_the_lightest_and_the_helper_the_heaviest(together):
    parent = os.getpid()
    by_parent, told_helper = os.pipe()
    by_helper, told_parent = os.pipe()

    def first_of_helper():
        # The parent, done with its own at once, does two tasks meanwhile.
        read_some(by_parent, 2)

    def aside(weight):
        here = os.getpid() == parent
        os.write(told_helper if here else told_parent, b".")
        # The second task of the parent lasts until the helper has told that its first round is done.
        time.sleep(0.5 if here else 0.0)
        return weight, here

    def second_round():
        read_some(by_helper, 2)
        return os.getpid() == parent

    first = [(2.0, lambda: "short"), (1.0, first_of_helper)]
    meanwhile = [(weight, lambda weight=weight: aside(weight)) for weight in (3.0, 1.0, 2.0, 4.0)]
    _, found, late = share_two_rounds(first, meanwhile, lambda found: (found, [(9.0, second_round)]), never)
    for end in (by_parent, told_helper, by_helper, told_parent):
        os.close(end)
    assert [weight for weight, _ in found] == [3.0, 1.0, 2.0, 4.0]
    assert {weight for weight, here in found if here} == {1.0, 2.0}
    assert late == [True]


@pytest.mark.parametrize("waits", [True, False])
def test_the_helper_works_ahead_where_it_would_only_wait(together, waits):
    done = []

    def in_second_round():
        time.sleep(0.1)
        return os.getpid(), list(done)

    # The parent has the one heavy task of the first round, or none.
    first = [(9.0, lambda: time.sleep(0.6 if waits else 0.0)), (1.0, lambda: time.sleep(0.0 if waits else 0.6))]
    then = share_two_rounds(
        first, [], lambda found: (found, [(1.0, in_second_round)] * 2), never, lambda: done.append("ahead")
    )
    by_helper = [made for pid, made in then[2] if pid != os.getpid()]
    assert by_helper == [["ahead"] if waits else []]
    assert done == []


def test_large_results_of_the_first_round_do_not_wait_for_the_other_to_read(together):
    def large():
        return b"x" * 10_000_000

    def long():
        time.sleep(0.5)
        return b""

    first = [(2.0, long), (1.0, large)]
    kept, aside, _ = share_two_rounds(first, [(1.0, time.monotonic)], lambda found: (found, []), never)
    assert [len(each) for each in kept] == [0, 10_000_000]
    assert len(aside) == 1


@pytest.mark.parametrize("where", ["first", "aside", "second"])
def test_work_of_a_helper_that_dies_is_done_again(together, where):
    parent = os.getpid()

    def fatal(word):
        def task():
            if word == where and os.getpid() != parent:
                os._exit(9)
            time.sleep(0.05)
            return word

        return (1.0, task)

    kept, aside, late = share_two_rounds(
        [fatal("first")] * 4, [fatal("aside")] * 4, lambda found: (found, [fatal("second")] * 4), never
    )
    assert (kept, aside, late) == (["first"] * 4, ["aside"] * 4, ["second"] * 4)


@pytest.mark.parametrize("where", ["first", "aside", "then", "second"])
def test_a_fault_is_told_by_the_parent(shared, where):
    def faulty(word):
        def task():
            if word == where:
                raise ValueError(word)
            return word

        return (1.0, task)

    def then(found):
        if where == "then":
            raise ValueError(where)
        return found, [faulty("second")] * 2

    with pytest.raises(ValueError, match=where):
        share_two_rounds([faulty("first")] * 2, [faulty("aside")] * 2, then, never)


def until_stopped():
    try:
        time.sleep(60.0)
    except KeyboardInterrupt:
        return "stopped"
    return "done"


def test_a_helper_is_stopped_with_its_parent(together):
    def stopped_here():
        time.sleep(0.3)
        return "stopped"

    began = time.monotonic()
    kept, _, late = share_two_rounds(
        [(2.0, stopped_here), (1.0, until_stopped)],
        [],
        lambda found: (found, named("second", 2)),
        lambda result: result == "stopped",
    )
    assert kept == ["stopped"] * 2
    assert late == ["second 0", "second 1"]
    assert time.monotonic() - began < 30.0


def test_a_stop_while_waiting_for_the_first_round_is_handed_on(together):
    def interrupted(_signal, _frame):
        raise KeyboardInterrupt

    before = signal.signal(signal.SIGALRM, interrupted)
    signal.setitimer(signal.ITIMER_REAL, 0.5)
    try:
        kept, _, _ = share_two_rounds(
            [(2.0, lambda: "done"), (1.0, until_stopped)],
            [],
            lambda found: (found, []),
            lambda result: result == "stopped",
        )
    finally:
        signal.setitimer(signal.ITIMER_REAL, 0.0)
        signal.signal(signal.SIGALRM, before)
    assert kept == ["done", "stopped"]


def test_nothing_is_left_open(together):
    listed = Path("/proc/self/fd")

    def open_ends():
        return len(list(listed.iterdir()))

    if not listed.is_dir():
        pytest.skip("no list of open files here")
    share_two_rounds(named("first", 2), named("aside", 2), lambda found: (found, named("second", 2)), never)
    before = open_ends()
    share_two_rounds(named("first", 2), named("aside", 2), lambda found: (found, named("second", 2)), never)
    assert open_ends() == before
