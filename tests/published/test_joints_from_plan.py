"""Anyone can recompute every joint from the plan alone: its lines, offsets, and the parts' rulings.

Nothing of hullcut's own geometry is used below: a joint side's length follows from its flat line, the turn of the
part's rulings and the line's offset. The rule is derived, not published: a step in the flat keeps its component along
the ruling, and its component across the ruling grows by offset times turn.
"""

import functools
import json
from pathlib import Path

import numpy as np
import pytest

from hullcut.design.reader import read_order
from hullcut.pipeline import plan_order
from hullcut.plan import plan_json

SAMPLES = Path(__file__).resolve().parents[2] / "sample_designs"
FILES = sorted(path.name for path in SAMPLES.glob("*.toml"))


@functools.cache
def plan(name):
    text = json.dumps(plan_json(plan_order(read_order(SAMPLES / name))))
    return json.loads(text)


def turns_and_directions(line, rulings):
    """At each point of a line: the turn, radians, and the unit direction across the rulings."""
    ends = np.array([[each["x0"], each["y0"], each["x1"], each["y1"]] for each in rulings])
    turns = np.radians([each["turn"] for each in rulings])
    up = ends[:, 2:] - ends[:, :2]
    up /= np.linalg.norm(up, axis=1)[:, None]
    middles = (ends[:, :2] + ends[:, 2:]) / 2.0
    # Across the rulings, from each towards the next in the plan's order: the way in which turn is counted.
    across = np.column_stack([up[:, 1], -up[:, 0]])
    onward = middles[-1] - middles[0]
    across *= np.where(across @ onward < 0.0, -1.0, 1.0)[:, None]
    # Signed distances of every point from every ruling, carried on as a whole line.
    away = np.einsum("prk,rk->pr", line[:, None, :] - middles[None, :, :], across)
    before = np.clip((away >= 0.0).sum(axis=1) - 1, 0, len(turns) - 2)
    rows = np.arange(len(line))
    near, far = away[rows, before], away[rows, before + 1]
    share = near / (near - far)
    turn = turns[before] + share * (turns[before + 1] - turns[before])
    direction = across[before] + share[:, None] * (across[before + 1] - across[before])
    return turn, direction / np.linalg.norm(direction, axis=1)[:, None]


def recomputed(side, part):
    line = np.array(side["line"])
    steps = np.diff(line, axis=0)
    if not part["rulings"]:
        return float(np.linalg.norm(steps, axis=1).sum())
    turn, across = turns_and_directions(line, part["rulings"])
    mean = across[1:] + across[:-1]
    mean /= np.linalg.norm(mean, axis=1)[:, None]
    over = (steps * mean).sum(axis=1) + side["offset"] * np.diff(turn)
    along = steps[:, 1] * mean[:, 0] - steps[:, 0] * mean[:, 1]
    return float(np.hypot(over, along).sum())


def joints(name):
    parts = {part["id"]: part for part in plan(name)["parts"]}
    for design in plan(name)["designs"]:
        for joint in design["joints"]:
            yield joint, parts[joint["a"]["part"]], parts[joint["b"]["part"]]


@pytest.mark.parametrize("name", FILES)
def test_both_sides_of_every_joint_come_out_as_stated(name):
    count = 0
    for joint, a, b in joints(name):
        for side, part in ((joint["a"], a), (joint["b"], b)):
            assert recomputed(side, part) == pytest.approx(side["length"], abs=0.01), (joint["name"], side["part"])
            flat = np.linalg.norm(np.diff(np.array(side["line"]), axis=0), axis=1).sum()
            assert flat == pytest.approx(side["flat_length"], abs=1e-3)
            count += 1
    # A chine cleat that bends in one piece has two joints fewer a side than one in two.
    assert count >= (32 if any("chine-cleat-port" in part["id"] for part in plan(name)["parts"]) else 40)


@pytest.mark.parametrize("name", FILES)
def test_both_sides_of_every_joint_agree(name):
    for joint, a, b in joints(name):
        lengths = (recomputed(joint["a"], a), recomputed(joint["b"], b))
        assert abs(lengths[0] - lengths[1]) <= 0.1, joint["name"]
        assert joint["mismatch"] <= 0.1
        assert joint["mismatch"] == pytest.approx(abs(joint["a"]["length"] - joint["b"]["length"]), abs=2e-6)


@pytest.mark.parametrize("name", FILES)
def test_without_the_correction_for_turn_bent_joints_would_not_agree(name):
    """The flat lengths of a chine on bottom and side differ by half the bottom's thickness times the bow's turn."""
    misses = [
        abs(joint["a"]["flat_length"] - joint["b"]["flat_length"])
        for joint, _, _ in joints(name)
        if joint["name"].startswith("chine, ")
    ]
    assert len(misses) >= 2
    assert min(misses) > 0.5
